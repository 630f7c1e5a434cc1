import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { deadPaths } from '../../apps/local/src/markdown-paths.ts'
import { readTally } from '../../apps/local/src/tally.ts'

describe('readTally', () => {
  const report = (change: object) => () =>
    JSON.stringify({
      numPassedTests: 3,
      numFailedTests: 0,
      numPendingTests: 0,
      numTodoTests: 0,
      testResults: [],
      ...change,
    })

  it('counts what passed, failed and was skipped', () => {
    const counts = { numFailedTests: 2, numPendingTests: 1, numTodoTests: 1 }
    expect(readTally(report(counts), 1)).toEqual({ passed: 3, failed: 2, skipped: 2 })
    expect(readTally(report({}), 0)).toEqual({ passed: 3, failed: 0, skipped: 0 })
  })

  it.each([
    ['a test file that does not load', report({ testResults: [{ status: 'failed', assertionResults: [] }] }), 1],
    ['an error outside of every test', report({}), 1],
    ['a run without tests', report({ numPassedTests: 0 }), 0],
    ['a run that left no report', () => '', 0],
  ])('counts %s as a failure', (_, read, exitCode) => {
    expect(readTally(read, exitCode).failed).toBe(1)
  })
})

describe('deadPaths', () => {
  const root = mkdtempSync(join(tmpdir(), 'sightglass-markdown-'))
  mkdirSync(join(root, 'docs'))
  mkdirSync(join(root, 'apps/api'), { recursive: true })
  writeFileSync(join(root, 'docs/operations.md'), '# Operations\n\n## Back up, restore\n')
  const dead = (markdown: string, file = 'README.md') => deadPaths(markdown, file, root).map(({ path }) => path)

  it('finds links and paths in code that lead nowhere, with their line', () => {
    const markdown = '[ok](docs/operations.md)\n[gone](docs/gone.md) and `apps/api` and `apps/gone/here.ts`'
    expect(deadPaths(markdown, 'README.md', root)).toEqual([
      { line: 2, path: 'docs/gone.md' },
      { line: 2, path: 'apps/gone/here.ts' },
    ])
  })

  it('follows links from where the file is, and headings', () => {
    expect(dead('[up](../apps/api) [gone](docs/operations.md)', 'docs/other.md')).toEqual(['docs/operations.md'])
    expect(dead('[a](docs/operations.md#back-up-restore) [b](docs/operations.md#upgrade)')).toEqual([
      'docs/operations.md#upgrade',
    ])
  })

  it('lets addresses and placeholders be, but not the folder before a placeholder', () => {
    expect(dead('[x](https://example.test/a) `apps/<name>/src` `docs/*.md` `tests/<kind>`')).toEqual(['tests/<kind>'])
    rmSync(root, { recursive: true })
  })
})

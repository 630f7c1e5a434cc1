import { spawnSync } from 'node:child_process'
import { cpSync, mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { dirname, join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'

const refused = [
  'Date.now()',
  'new Date()',
  'Math.random()',
  'performance.now()',
  'crypto.randomUUID()',
  'process.env.Z',
]
const allowed = ['new Date(0).getUTCHours()', 'Date.UTC(2026, 0)', 'Math.round(7.4)']

describe('the lint rule on clocks and chance', () => {
  let root: string
  let said: string

  beforeAll(() => {
    root = mkdtempSync(join(tmpdir(), 'sightglass-lint-'))
    cpSync('.config', join(root, '.config'), { recursive: true })
    const source = [...refused, ...allowed].map((text, index) => `export const value${index} = ${text}\n`).join('')
    for (const file of ['packages/chemistry/src/findings/x.ts', 'apps/api/src/x.ts']) {
      mkdirSync(dirname(join(root, file)), { recursive: true })
      writeFileSync(join(root, file), source)
    }
    const biome = join(process.cwd(), 'node_modules/@biomejs/biome/bin/biome')
    const run = spawnSync(process.execPath, [biome, 'lint', '--config-path=.config', 'packages', 'apps'], {
      cwd: root,
      encoding: 'utf8',
    })
    said = run.stdout + run.stderr
  })
  afterAll(() => rmSync(root, { recursive: true }))

  const at = (file: string, line: number) => new RegExp(`${file}:${line}:\\d+ plugin`)

  it.each(refused.map((text, index) => [text, index + 1] as const))(
    'refuses %s in chemistry, and only there',
    (_, line) => {
      expect(said).toMatch(at('chemistry/src/findings/x.ts', line))
      expect(said).not.toMatch(at('apps/api/src/x.ts', line))
    },
  )

  it.each(allowed.map((text, index) => [text, refused.length + index + 1] as const))('lets %s be', (_, line) => {
    expect(said).not.toMatch(at('x.ts', line))
  })
})

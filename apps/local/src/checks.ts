import { spawn } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { repository } from './settings.ts'
import { readTally, type Tally } from './tally.ts'

export interface Check {
  name: string
  run(): Promise<Tally>
}

const program = (path: string) => join(repository, 'node_modules', path)

/** A tool that passes or fails as a whole: it counts as one. */
function tool(name: string, args: string[]): Check {
  return {
    name,
    async run() {
      const failed = (await runNode(args)) !== 0
      return { passed: failed ? 0 : 1, failed: failed ? 1 : 0, skipped: 0 }
    },
  }
}

/** Tests are counted one by one, from what Vitest reports. */
function tests(name: string, ...projects: string[]): Check {
  return {
    name,
    async run() {
      const folder = mkdtempSync(join(tmpdir(), 'sightglass-report-'))
      const report = join(folder, 'report.json')
      try {
        const args = ['run', '--config', '.config/vitest.config.ts', ...projects.flatMap((one) => ['--project', one])]
        const reporters = ['--reporter=default', '--reporter=json', `--outputFile.json=${report}`]
        const code = await runNode([program('vitest/vitest.mjs'), ...args, ...reporters])
        return readTally(() => readFileSync(report, 'utf8'), code)
      } finally {
        rmSync(folder, { recursive: true, force: true })
      }
    },
  }
}

const cruise = ['--require', './.config/cruise-tsx.cjs', program('dependency-cruiser/bin/dependency-cruise.mjs')]

export const withoutDatabase: Check[] = [
  tool('Lint and format', [
    program('@biomejs/biome/bin/biome'),
    'check',
    '--config-path=.config',
    '--error-on-warnings',
    '.',
  ]),
  tool('Types', [program('typescript/bin/tsc'), '-p', 'tsconfig.json']),
  tool('Import rules', [...cruise, '--config', '.dependency-cruiser.cjs', 'apps', 'packages', 'seed', 'tests']),
  tool('Unused code', [program('knip/bin/knip.js'), '--config', '.config/knip.json', '--no-config-hints']),
  tool('Paths in Markdown', ['--import', 'tsx', 'apps/local/src/markdown-paths.ts']),
  tests('Chemistry, contract, web', 'chemistry', 'contract', 'web'),
]

export const withDatabase: Check[] = [
  tests('API on a real PostgreSQL', 'api'),
  tests('Large facilities: plans and counts', 'scale'),
  tests('Demo company', 'seed'),
  tests('Starting and stopping', 'local'),
  tests('Browser journeys', 'journeys'),
]

/** Runs them one after another, all of them whatever fails, and ends with "N passed, N failed". */
export async function runChecks(checks: Check[]): Promise<never> {
  const started = Date.now()
  const lines: string[] = []
  const total: Tally = { passed: 0, failed: 0, skipped: 0 }
  for (const check of checks) {
    console.log(`\n──── ${check.name} ${'─'.repeat(Math.max(0, 70 - check.name.length))}`)
    const since = Date.now()
    const tally = await check.run()
    total.passed += tally.passed
    total.failed += tally.failed
    total.skipped += tally.skipped
    lines.push(`  ${tally.failed ? 'FAILED' : 'ok    '}  ${check.name.padEnd(28)} ${inWords(tally)}, ${seconds(since)}`)
  }
  console.log(`\n──── Summary ${'─'.repeat(63)}\n${lines.join('\n')}\n  in ${seconds(started)}`)
  if (total.skipped) console.log(`${total.skipped} skipped`)
  console.log(`${total.passed} passed, ${total.failed} failed`)
  process.exit(total.failed ? 1 : 0)
}

const inWords = ({ passed, failed, skipped }: Tally) =>
  `${passed} passed, ${failed} failed${skipped ? `, ${skipped} skipped` : ''}`
const seconds = (since: number) => `${((Date.now() - since) / 1000).toFixed(1)} s`

function runNode(args: string[]): Promise<number> {
  return new Promise((resolve) => {
    const child = spawn(process.execPath, args, { cwd: repository, stdio: 'inherit' })
    child.on('error', (error) => {
      console.error(error.message)
      resolve(1)
    })
    child.on('close', (code) => resolve(code ?? 1))
  })
}

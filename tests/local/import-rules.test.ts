// Breaks each import rule once, in a small copy of the layout, and keeps them once. A rule that nothing can break is none.
import { spawnSync } from 'node:child_process'
import { mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { tmpdir } from 'node:os'
import { dirname, join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'

const repository = process.cwd()
const { forbidden } = createRequire(import.meta.url)('../../.dependency-cruiser.cjs') as {
  forbidden: { name: string; severity: string }[]
}

/** What must be refused: the rule, the file that breaks it, what that file says. */
const broken: [rule: string, file: string, source: string][] = [
  ['no-cycles', 'apps/web/shared/one.ts', `import { two } from './two.ts'\nexport const one = () => two`],
  ['resolvable', 'apps/web/shared/lost.ts', `import './nowhere.ts'`],
  ['chemistry-imports-nothing', 'packages/chemistry/src/zod.ts', `import { z } from 'zod'\nexport default z`],
  [
    'chemistry-imports-nothing',
    'packages/chemistry/src/node.ts',
    `import { readFileSync } from 'node:fs'\nreadFileSync`,
  ],
  [
    'chemistry-imports-nothing',
    'packages/chemistry/src/up.ts',
    `import type { C } from '@sightglass/contract'\nexport type D = C`,
  ],
  ['contract-knows-zod-and-chemistry', 'packages/contract/src/http.ts', `import 'fastify'`],
  ['contract-knows-zod-and-chemistry', 'packages/contract/src/node.ts', `import 'node:crypto'`],
  ['api-knows-no-screen', 'apps/api/src/jobs/screen.ts', `import '../../../web/shared/two.ts'`],
  ['capability-by-its-index', 'apps/api/src/capabilities/visits/deep.ts', `import '../readings/record.ts'`],
  ['capability-by-its-index', 'apps/api/src/capabilities/visits/deeper.ts', `import '../readings/queries.ts'`],
  ['routes-hold-no-work', 'apps/api/src/capabilities/visits/routes.ts', `import 'pg'`],
  ['routes-hold-no-work', 'apps/api/src/capabilities/readings/routes.ts', `import './queries.ts'`],
  [
    'queries-know-no-http',
    'apps/api/src/capabilities/visits/queries.ts',
    `import type { F } from 'fastify'\nexport type G = F`,
  ],
  ['platform-knows-no-capability', 'apps/api/src/platform/all.ts', `import '../capabilities/readings/index.ts'`],
  ['web-speaks-through-the-contract', 'apps/web/lib/data.ts', `import 'pg'`],
  [
    'web-speaks-through-the-contract',
    'apps/web/lib/server.ts',
    `import type { A } from '@sightglass/api'\nexport type B = A`,
  ],
  [
    'browser-has-no-node',
    'apps/web/screens/triage/Screen.tsx',
    `import 'node:path'\nexport const S = () => <p>water</p>`,
  ],
  ['drawing-decides-nothing', 'apps/web/charts/draw/Line.tsx', `import '@sightglass/chemistry'`],
  ['seed-uses-the-doors', 'seed/src/sql.ts', `import '../../apps/api/src/platform/database.ts'`],
  ['nobody-needs-tests-or-seed', 'apps/api/src/jobs/seed.ts', `import '../../../../seed/src/index.ts'`],
  ['starter-is-outside', 'apps/local/src/inside.ts', `import '../../api/src/index.ts'`],
  ['packages-by-their-exports', 'apps/web/lib/deep.ts', `import '../../../packages/chemistry/src/inner.ts'`],
]

/** What must pass. */
const sound: Record<string, string> = {
  'packages/chemistry/src/index.ts': `export * from './inner.ts'`,
  'packages/chemistry/src/inner.ts': 'export const ph = 7.4',
  'packages/contract/src/index.ts': `import { z } from 'zod'\nimport { ph } from '@sightglass/chemistry'\nexport type C = typeof ph\nz`,
  'apps/api/src/index.ts': `export type A = 1`,
  'apps/api/src/platform/database.ts': `import 'pg'`,
  'apps/api/src/capabilities/readings/index.ts': `export * from './record.ts'`,
  'apps/api/src/capabilities/readings/record.ts': `import './queries.ts'\nimport '@sightglass/chemistry'`,
  'apps/api/src/capabilities/readings/queries.ts': `import '../../platform/database.ts'`,
  'apps/api/src/capabilities/visits/record.ts': `import '../readings/index.ts'`,
  'apps/web/shared/two.ts': `import { one } from './one.ts'\nexport const two = () => one`,
  'apps/web/next.config.ts': `import 'node:url'`,
  'apps/web/charts/prepare/line.ts': `import '@sightglass/chemistry'\nimport '@sightglass/contract'`,
  'apps/local/src/write-demo.ts': `import '@sightglass/seed'`,
  'seed/src/index.ts': `import '@sightglass/api'`,
}

describe('the import rules', () => {
  let found: string[]
  let root: string

  beforeAll(() => {
    root = mkdtempSync(join(tmpdir(), 'sightglass-imports-'))
    const write = (file: string, text: string) => {
      mkdirSync(dirname(join(root, file)), { recursive: true })
      writeFileSync(join(root, file), `${text}\n`)
    }
    for (const [file, text] of Object.entries(sound)) write(file, text)
    for (const [, file, text] of broken) write(file, text)
    write('package.json', '{"type":"module","dependencies":{"zod":"1","pg":"1","fastify":"1"}}')
    mkdirSync(join(root, 'node_modules/@sightglass'), { recursive: true })
    const workspaces = { chemistry: 'packages/chemistry', contract: 'packages/contract', api: 'apps/api', seed: 'seed' }
    for (const [name, folder] of Object.entries(workspaces)) {
      write(`${folder}/package.json`, `{"name":"@sightglass/${name}","exports":{".":"./src/index.ts"}}`)
      symlinkSync(join(root, folder), join(root, 'node_modules/@sightglass', name))
    }
    for (const name of ['zod', 'pg', 'fastify']) {
      write(`node_modules/${name}/package.json`, `{"name":"${name}","main":"index.js"}`)
      write(`node_modules/${name}/index.js`, 'export {}')
    }
    found = cruise(root)
  })
  afterAll(() => rmSync(root, { recursive: true }))

  it.each(broken)('%s refuses what %s does', (rule, file) => {
    expect(found).toContain(`${rule} ${file}`)
  })

  it('refuse nothing else', () => {
    const files = new Set(broken.map(([, file]) => file))
    const others = found.filter((line) => !files.has(line.split(' ')[1] ?? ''))
    expect(others).toEqual([])
  })

  it('are each broken above, and each an error', () => {
    expect(new Set(broken.map(([rule]) => rule))).toEqual(new Set(forbidden.map(({ name }) => name)))
    expect(forbidden.every(({ severity }) => severity === 'error')).toBe(true)
  })
})

function cruise(root: string): string[] {
  const tool = join(repository, 'node_modules/dependency-cruiser/bin/dependency-cruise.mjs')
  const config = ['--config', join(repository, '.dependency-cruiser.cjs'), '--output-type', 'json']
  const { stdout, stderr } = spawnSync(
    process.execPath,
    ['--require', join(repository, '.config/cruise-tsx.cjs'), tool, ...config, 'apps', 'packages', 'seed'],
    { cwd: root, encoding: 'utf8' },
  )
  if (!stdout) throw new Error(stderr)
  const { summary } = JSON.parse(stdout) as { summary: { violations: { rule: { name: string }; from: string }[] } }
  return [...new Set(summary.violations.map(({ rule, from }) => `${rule.name} ${from}`))]
}

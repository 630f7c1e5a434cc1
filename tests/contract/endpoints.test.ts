// Every call of the contract's table is served, and nothing else is.
import { readFileSync } from 'node:fs'
import { type Endpoint, endpoints, PROBLEM_KINDS } from '@sightglass/contract'
import pino from 'pino'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { buildApp, openDatabase, readConfig } from '../../apps/api/src/index.ts'

const url = 'postgresql://nobody@127.0.0.1:1/nowhere'
const database = openDatabase(url, 2, () => undefined)
let app: Awaited<ReturnType<typeof buildApp>>
beforeAll(async () => {
  const deps = { database, logger: pino({ level: 'silent' }), now: () => new Date(0) }
  app = await buildApp(readConfig({ DATABASE_URL: url }), deps)
})
afterAll(async () => {
  await app.close()
  await database.close()
})

const table: [string, Endpoint][] = Object.entries(endpoints)

describe('the table of endpoints', () => {
  it.each(table)('%s is served', (_name, { method, path }) => {
    expect(app.hasRoute({ method, url: path })).toBe(true)
  })

  it('names each call once', () => {
    const calls = table.map(([, { method, path }]) => `${method} ${path}`)
    expect(new Set(calls).size).toBe(calls.length)
  })

  it('has a schema for every parameter of a path', () => {
    for (const [name, { path, params }] of table) {
      const named = [...path.matchAll(/:(\w+)/g)].map(([, key]) => key)
      const known = params ? Object.keys((params as unknown as { shape: object }).shape) : []
      expect(known.sort(), name).toEqual(named.sort())
    }
  })

  it('holds no route of the API that it does not name', () => {
    const known = new Set(table.map(([, { method, path }]) => `${method} ${path}`))
    const extra = new Set(['GET /openapi.json', 'GET /imports/:importId/rejects.csv'])
    const served = routesOf(app.printRoutes({ commonPrefix: false }))
    expect(served.length).toBeGreaterThan(30)
    const unknown = served.filter((route) => !known.has(route) && !extra.has(route) && !route.includes(' /docs'))
    expect(unknown).toEqual([])
  })
})

/** Fastify prints a tree: each line's depth is its indentation, its text a part of the path and the methods in brackets. */
function routesOf(tree: string): string[] {
  const parts: string[] = []
  return tree.split('\n').flatMap((line) => {
    const read = /^([│ ]*)[├└]── (\S*)(?: \(([A-Z, ]+)\))?/.exec(line)
    if (!read) return []
    const depth = (read[1] ?? '').length / 4
    parts.length = depth
    parts[depth] = read[2] ?? ''
    const path = parts.join('').replace(/(?<=.)\/$/, '')
    const methods = (read[3] ?? '').split(', ').filter((method) => method && method !== 'HEAD' && method !== 'OPTIONS')
    return methods.map((method) => `${method} ${path}`)
  })
}

describe('kinds of problem', () => {
  it('have a status that is an error and a title that says what', () => {
    for (const { status, title } of Object.values(PROBLEM_KINDS)) {
      expect(status).toBeGreaterThanOrEqual(400)
      expect(title.length).toBeGreaterThan(10)
    }
  })
})

describe('docs/api.md', () => {
  const page = readFileSync(new URL('../../docs/api.md', import.meta.url), 'utf8')

  it.each(table)('lists %s as it is', (_name, { method, path, summary, status }) => {
    expect(page).toContain(`| \`${method} ${path}\` | ${summary} | ${status} |`)
  })

  it('lists every kind of problem', () => {
    for (const [kind, { status }] of Object.entries(PROBLEM_KINDS))
      expect(page).toContain(`| ${status} | \`${kind}\` |`)
  })
})

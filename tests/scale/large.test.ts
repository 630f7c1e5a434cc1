// A large company: what is read grows with what is asked for, not with what is stored. No timing: bench measures that.
import pino from 'pino'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { assessDue, snapshotsFor } from '../../apps/api/src/capabilities/assessment/index.ts'
import { triageSql, triageValues } from '../../apps/api/src/capabilities/triage/queries.ts'
import { buildApp, type Database, openDatabase, readConfig } from '../../apps/api/src/index.ts'
import { fillCompany } from '../bench/company.ts'
import { startTestDatabase, type TestDatabase } from '../support/database.ts'
import { explaining, openedOf, rowsOf } from './plans.ts'

const NOW = new Date('2026-11-25T06:30:00Z')
const SIZE = { facilities: 700, bodies: 2000, days: 10 }
const MONTHS = 24
const ASKED = 200
const deps = () => ({ database, logger: pino({ level: 'silent' }), now: () => NOW })

let db: TestDatabase
let database: Database
let ids: string[]
beforeAll(async () => {
  db = await startTestDatabase()
  database = openDatabase(db.url, 5, () => undefined)
  await db.pool.query(`SELECT ensure_sample_partitions($1::timestamptz - interval '${MONTHS - 1} months', $1)`, [NOW])
  await fillCompany(database.pool, SIZE, NOW)
  // two years of samples, thinly: every month has some of every body
  await db.pool.query(
    `INSERT INTO sample (body_id, at, ph) SELECT b.id, $1::timestamptz - m * interval '1 month' - interval '1 day', 7.4
    FROM body b, generate_series(0, ${MONTHS - 2}) m ON CONFLICT DO NOTHING`,
    [NOW],
  )
  await db.pool.query('ANALYZE')
  const { rows } = await db.pool.query('SELECT id FROM body ORDER BY id')
  ids = rows.map(({ id }) => id)
})
afterAll(async () => {
  await database.close()
  await db.stop()
})

describe('a snapshot of some bodies of a large company', () => {
  let accesses: Awaited<ReturnType<typeof read>>
  async function read(bodyIds: readonly string[]) {
    const { client, queries } = explaining(database.pool)
    const snapshots = await snapshotsFor(client, bodyIds, NOW)
    return { snapshots, all: queries.flat(), queries: queries.length }
  }
  beforeAll(async () => {
    accesses = await read(ids.slice(0, ASKED))
  })

  it('is whole', () => {
    expect(accesses.snapshots).toHaveLength(ASKED)
    const heard = accesses.snapshots.filter(({ snapshot }) => snapshot.controller)
    expect(heard).toHaveLength(ASKED * 0.9)
    for (const { snapshot } of heard) {
      expect(snapshot.controller?.latest?.ph).toBeGreaterThan(7)
      expect(snapshot.controller?.hours).toHaveLength(24)
      expect(Object.keys(snapshot.tests).length).toBeGreaterThan(4)
    }
  })

  it('opens the partition of the newest hour and no other of the two years', async () => {
    const { rows } = await db.pool.query(
      `SELECT count(*)::int AS n FROM pg_inherits WHERE inhparent = 'sample'::regclass`,
    )
    expect(rows[0].n).toBe(MONTHS)
    expect(openedOf(accesses.all, /^sample_\d/)).toEqual(['sample_2026_11'])
  })

  it('reads the last quarter of an hour of samples, 24 hours of the roll-up, one value for each parameter and the vials of three days', () => {
    expect(rowsOf(accesses.all, /^sample_\d/)).toBeLessThanOrEqual(ASKED * 8)
    expect(rowsOf(accesses.all, /^sample_hour$/)).toBeLessThanOrEqual(ASKED * (24 + 2))
    expect(rowsOf(accesses.all, /^reading$/)).toBeLessThanOrEqual(ASKED * (10 + 3))
    expect(accesses.all.filter(({ table, how }) => table === 'reading' && how === 'Seq Scan')).toEqual([])
  })

  it('takes as many queries for one body as for all', async () => {
    expect((await read(ids.slice(0, 1))).queries).toBe(accesses.queries)
    expect((await read(ids)).queries).toBe(accesses.queries)
  })
})

describe('assessing what is due', () => {
  it('goes through all of it in sets and leaves every body with one standing', async () => {
    const sets: number[] = []
    for (let set = await assessDue(deps()); set > 0; set = await assessDue(deps())) sets.push(set)
    expect(sets).toEqual([500, 500, 500, 500])
    const { rows } = await db.pool.query(
      `SELECT count(*)::int AS bodies, count(DISTINCT body_id)::int AS single, bool_and(assessed_at = $1) AS now,
        bool_and(due_at > $1) AS later, bool_and(view IS NOT NULL) AS seen FROM standing`,
      [NOW],
    )
    expect(rows[0]).toEqual({ bodies: SIZE.bodies, single: SIZE.bodies, now: true, later: true, seen: true })
  })

  it('does not show a body without controller or with old tests as fine', async () => {
    const { rows } = await db.pool.query(
      `SELECT count(*)::int AS n FROM standing WHERE severity = 'fine' AND heard_at < $1::timestamptz - interval '1 day'`,
      [NOW],
    )
    expect(rows[0].n).toBe(0)
  })
})

describe('the morning list', () => {
  const filter = { sort: 'worst', limit: 100, offset: 0, pattern: null, at: NOW } as const

  it('is one query over what is already assessed, and opens nothing else', async () => {
    const { client, queries } = explaining(database.pool)
    await client.query(triageSql(filter), triageValues(filter))
    const [accesses = []] = queries
    expect(openedOf(accesses, /./)).toEqual(['body', 'facility', 'standing'])
  })

  it('looks into each standing once, and into those of the page once more', async () => {
    const { client, queries } = explaining(database.pool)
    await client.query(triageSql(filter), triageValues(filter))
    expect(rowsOf(queries.flat(), /^standing$/)).toBeLessThanOrEqual(SIZE.bodies + filter.limit)
  })

  it('gives every body exactly once, page by page', async () => {
    const app = await buildApp(readConfig({ DATABASE_URL: db.url }), deps())
    const seen: string[] = []
    for (let offset = 0; offset < SIZE.bodies; offset += 500) {
      const answer = await app.inject({ url: `/triage?limit=500&offset=${offset}&byFacility=true` })
      seen.push(...answer.json().rows.map(({ bodyId }: { bodyId: string }) => bodyId))
      expect(answer.json().total).toBe(SIZE.bodies)
    }
    await app.close()
    expect(seen).toHaveLength(SIZE.bodies)
    expect(new Set(seen).size).toBe(SIZE.bodies)
  })
})

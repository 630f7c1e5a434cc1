import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { seedDemo } from '../../seed/src/index.ts'
import { startTestDatabase, type TestDatabase } from '../support/database.ts'

const NOW = new Date('2026-11-25T12:12:34Z')
const DAYS = 2

/** Everything that one moment and seed decide, as one text. */
const FINGERPRINT = `
SELECT md5(string_agg(line, ',' ORDER BY line)) AS print FROM (
  SELECT concat_ws('|', body_id, at, ph, orp_mv, temp_c, flow_l_min, sanitizer_feed_pct, ph_feed_pct) AS line FROM sample
  UNION ALL SELECT concat_ws('|', body_id, id, at, person, free_chlorine_mg_l, ph) FROM reading
  UNION ALL SELECT concat_ws('|', drum_id, id, at, level_l, delivered_l) FROM drum_level
  UNION ALL SELECT concat_ws('|', id, facility_id, name, volume_l) FROM body
  UNION ALL SELECT concat_ws('|', body_id, id, kind, at, person) FROM work
  UNION ALL SELECT concat_ws('|', body_id, id, kind, happened_at, person, note) FROM incident_version
) everything`

describe('seeding a database', () => {
  let first: TestDatabase
  let second: TestDatabase
  const progress: { part: number; doing: string }[] = []
  let seeded: Awaited<ReturnType<typeof seedDemo>>

  beforeAll(async () => {
    first = await startTestDatabase()
    second = await startTestDatabase()
    seeded = await seedDemo({
      databaseUrl: first.url,
      now: NOW,
      days: DAYS,
      onProgress: (part, doing) => progress.push({ part, doing }),
    })
  })
  afterAll(async () => {
    await first.stop()
    await second.stop()
  })

  const one = async (database: TestDatabase, sql: string) => (await database.pool.query(sql)).rows[0]

  it('stores what it says, and a standing for every body', async () => {
    const counted = await one(
      first,
      `SELECT (SELECT count(*) FROM facility)::int AS facilities, (SELECT count(*) FROM body)::int AS bodies,
        (SELECT count(*) FROM sample)::int AS samples, (SELECT count(*) FROM reading)::int AS readings,
        (SELECT count(*) FROM drum_level)::int AS "drumLevels",
        (SELECT count(*) FROM work)::int AS work`,
    )
    expect(counted).toEqual(seeded)
    expect(seeded).toMatchObject({ facilities: 51, bodies: 110 })
    expect(seeded.work).toBeGreaterThan(50)
    const judged = await one(first, 'SELECT count(*)::int AS n, count(assessed_at)::int AS judged FROM standing')
    expect(judged).toEqual({ n: 110, judged: 110 })
  })

  it('has one incident under treatment and one closed, as the API judged them', async () => {
    const { rows } = await first.pool.query(
      `SELECT v.kind, i.closing -> 'contact' ->> 'state' AS closed, f.found -> 'value' ->> 'value' AS pct
      FROM incident i JOIN incident_version v ON v.incident_id = i.id
      LEFT JOIN finding f ON f.body_id = i.body_id AND f.kind = 'incidentOpen' ORDER BY v.kind`,
    )
    expect(rows).toEqual([
      // 65 · 22.8 + 60 · 22 + 65 · 21.5 + 65 · 22.5 + 60 · 22 of 15,300, what stands between 245 and 330 minutes left out
      { kind: 'diarrhea', closed: null, pct: '45' },
      { kind: 'formedStool', closed: 'reached', pct: null },
    ])
  })

  it('ends at the last full five minutes before now, and begins so many days earlier', async () => {
    const span = await one(first, 'SELECT min(at) AS from, max(at) AS to FROM sample')
    expect(span.to.toISOString()).toBe('2026-11-25T12:10:00.000Z')
    expect(span.from.toISOString()).toBe('2026-11-23T12:15:00.000Z')
  })

  it('tells how far it is, from nothing to all, never backwards', () => {
    const parts = progress.map(({ part }) => part)
    expect(parts).toEqual([...parts].sort((a, b) => a - b))
    expect(parts[0]).toBe(0)
    expect(parts.at(-1)).toBe(1)
    expect(progress.every(({ doing }) => doing.length > 0)).toBe(true)
  })

  it('writes the same into another database', async () => {
    await seedDemo({ databaseUrl: second.url, now: NOW, days: DAYS })
    expect(await one(second, FINGERPRINT)).toEqual(await one(first, FINGERPRINT))
  })

  it('refuses a database that holds facilities, and leaves it alone', async () => {
    const before = await one(first, FINGERPRINT)
    await expect(seedDemo({ databaseUrl: first.url, now: NOW, days: DAYS })).rejects.toThrow(/holds 51 facilities/)
    expect(await one(first, FINGERPRINT)).toEqual(before)
  })
})

describe('a seed that fails half-way', () => {
  let database: TestDatabase
  beforeAll(async () => {
    database = await startTestDatabase()
  })
  afterAll(() => database.stop())

  it('leaves the database empty, so that it can be seeded again', async () => {
    const fail = seedDemo({
      databaseUrl: database.url,
      now: NOW,
      days: 1,
      onProgress: (part) => {
        if (part > 0.5) throw new Error('the lights went out')
      },
    })
    await expect(fail).rejects.toThrow('the lights went out')
    const { rows } = await database.pool.query(
      `SELECT (SELECT count(*) FROM facility)::int + (SELECT count(*) FROM body)::int + (SELECT count(*) FROM sample)::int
        + (SELECT count(*) FROM sample_hour)::int + (SELECT count(*) FROM standing)::int AS n`,
    )
    expect(rows[0]?.n).toBe(0)
    const again = await seedDemo({ databaseUrl: database.url, now: NOW, days: 1 })
    expect(again.bodies).toBe(110)
  })
})

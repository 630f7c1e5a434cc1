import { FINDING_KINDS } from '@sightglass/chemistry'
import type { Overview } from '@sightglass/contract'
import pg from 'pg'
import { uuidv7 } from 'uuidv7'
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it, vi } from 'vitest'
import { assessBodies, assessDue, markDue, snapshotsFor } from '../../apps/api/src/capabilities/assessment/index.ts'
import { inTransaction } from '../../apps/api/src/platform/database.ts'
import {
  get,
  goodTest,
  hear,
  hoursBefore,
  makeBody,
  makeChannel,
  makeFacility,
  makeFeeder,
  makePlant,
  patch,
  post,
  START,
  startTestApi,
  type TestApi,
  test,
} from './support/company.ts'

let api: TestApi
beforeAll(async () => {
  api = await startTestApi()
})
afterAll(() => api.stop())
beforeEach(() => {
  api.clock.now = START
})
afterEach(() => vi.restoreAllMocks())

const pageOf = async (bodyId: string): Promise<Overview> => (await get(api, `/bodies/${bodyId}`)).body
const kindsOf = async (bodyId: string) => (await pageOf(bodyId)).findings.map(({ kind }) => kind)
const standingRow = async (bodyId: string) =>
  (await api.db.pool.query('SELECT * FROM standing WHERE body_id = $1', [bodyId])).rows[0]
const snapshotOf = async (bodyId: string) =>
  (await snapshotsFor(api.database.pool, [bodyId], api.clock.now))[0]?.snapshot

describe('what is known of a body', () => {
  it('is the newest value of each parameter, each with its own time, from versions that count', async () => {
    const { id } = await makeBody(api, (await makeFacility(api)).id)
    const old = goodTest(api, id, { at: '2026-11-20T06:00:00Z', values: { cyanuricAcidMgL: 40, ph: 7.1 } })
    const wrong = goodTest(api, id, { at: '2026-11-25T05:00:00Z', values: { ph: 7.9 } })
    await post(api, '/readings', { readings: [old, wrong] })
    await post(api, `/bodies/${id}/readings/${wrong.id}/correct`, {
      ...goodTest(api, id, { at: wrong.at, reason: 'misread' }),
      values: { ph: 7.6 },
    })
    const snapshot = await snapshotOf(id)
    expect(snapshot?.tests.ph).toEqual({ value: 7.6, atMs: Date.parse('2026-11-25T05:00:00Z') })
    expect(snapshot?.tests.cyanuricAcidMgL).toEqual({ value: 40, atMs: Date.parse('2026-11-20T06:00:00Z') })
    expect(snapshot?.tests.freeChlorineMgL?.atMs).toBe(Date.parse('2026-11-20T06:00:00Z'))
    expect(snapshot?.lastTestAtMs).toBe(Date.parse('2026-11-25T05:00:00Z'))
    expect(snapshot?.tests).not.toHaveProperty('saltMgL')
  })

  it('has no controller where none was ever fitted, and a silent one where one is', async () => {
    const { id } = await makeBody(api, (await makeFacility(api)).id)
    expect((await snapshotOf(id))?.controller).toBeNull()
    const { body, controller, channels } = await makePlant(api)
    expect((await snapshotOf(body.id))?.controller).toEqual({
      channels: expect.arrayContaining(channels.map(({ quantity }) => quantity)),
      lastHeardAtMs: null,
      latest: null,
      hours: [],
    })
    await hear(api, body.id, hoursBefore(api, 1), { ph: 7.4 })
    expect((await snapshotOf(body.id))?.controller?.latest?.ph).toBeCloseTo(7.4, 5)
    await post(api, `/controllers/${controller.id}/retire`)
    expect((await snapshotOf(body.id))?.controller).toBeNull()
    expect(channels).toHaveLength(2)
  })

  it('holds the latest value of each channel, also where channels report in turn', async () => {
    const { body } = await makePlant(api)
    const minutesAgo = (minutes: number) => hoursBefore(api, minutes / 60)
    await hear(api, body.id, minutesAgo(20), { temp_c: 20 })
    await hear(api, body.id, minutesAgo(4), { ph: 7.2, orp_mv: 700 })
    await hear(api, body.id, minutesAgo(3), { ph: 7.3 })
    await hear(api, body.id, minutesAgo(1), { flow_on: true })
    const controller = (await snapshotOf(body.id))?.controller
    expect(controller?.lastHeardAtMs).toBe(+minutesAgo(1))
    expect(controller?.latest).toMatchObject({ atMs: +minutesAgo(1), orpMv: 700, flowOn: true, tempC: null })
    expect(controller?.latest?.ph).toBeCloseTo(7.3, 5)
  })

  it('holds 24 hours of the roll-up and 30 days of drum levels, oldest first', async () => {
    const { body, drum } = await makePlant(api)
    for (const hours of [30, 23, 5]) await hear(api, body.id, hoursBefore(api, hours), { ph: 7.4, orp_mv: 700 })
    for (const [at, levelL] of [
      ['2026-11-24T06:00:00Z', 90],
      ['2026-11-20T06:00:00Z', 120],
      ['2026-10-01T06:00:00Z', 150],
    ])
      await post(api, `/drums/${drum.id}/levels`, { at, levelL, person: 'Ines Calloway' })
    const snapshot = await snapshotOf(body.id)
    expect(snapshot?.controller?.hours.map(({ hourMs }) => hourMs)).toEqual([23, 5].map((h) => +hoursBefore(api, h)))
    expect(snapshot?.controller?.hours[0]).toMatchObject({
      samples: 1,
      coveredMin: 15,
      tempC: null,
      sanitizerFeedMin: null,
    })
    expect(snapshot?.controller?.hours[0]?.orpMv).toEqual({ min: 700, mean: 700, max: 700 })
    expect(snapshot?.feeders[0]?.drum?.levels).toMatchObject([{ levelL: 120 }, { levelL: 90 }])
  })

  it('is asked for in as many queries for 200 bodies as for one, and so is the assessment', async () => {
    const { id: facilityId } = await makeFacility(api)
    const ids = [(await makeBody(api, facilityId)).id]
    await api.db.pool.query(
      `WITH made AS (
        INSERT INTO body (id, facility_id, name, use_class, setting, sanitizer_system, cyanuric_acid_used)
        SELECT gen_random_uuid(), $1, 'Many ' || i, 'pool', 'indoor', 'hypochlorite', false FROM generate_series(1, 199) i
        RETURNING id)
      INSERT INTO standing (body_id, severity, severity_rank, due_at) SELECT id, 'unheard', 2, now() FROM made`,
      [facilityId],
    )
    const { rows } = await api.db.pool.query('SELECT id FROM body WHERE facility_id = $1', [facilityId])
    const all = rows.map(({ id }) => id)
    expect(all).toHaveLength(200)
    const asked = vi.spyOn(pg.Client.prototype, 'query')
    const countOf = async (work: () => Promise<unknown>) => {
      asked.mockClear()
      await work()
      return asked.mock.calls.length
    }
    const one = await countOf(() => snapshotsFor(api.database.pool, ids, api.clock.now))
    expect(one).toBeGreaterThan(0)
    expect(await countOf(() => snapshotsFor(api.database.pool, all, api.clock.now))).toBe(one)
    const assessedOne = await countOf(() => assessBodies(api.deps, ids))
    expect(await countOf(() => assessBodies(api.deps, all))).toBe(assessedOne)
  })
})

describe('findings have a life', () => {
  it('open, are seen again, close, and open anew', async () => {
    const { id } = await makeBody(api, (await makeFacility(api)).id)
    await test(api, id, { values: { ph: 8 } })
    const opened = (await pageOf(id)).findings.find(({ kind }) => kind === 'phHigh')
    expect(opened).toMatchObject({ openedAt: START.toISOString(), closedAt: null, value: { value: 8, unit: 'pH' } })

    api.clock.now = new Date(+START + 3_600_000)
    await assessBodies(api.deps, [id])
    const seen = (await pageOf(id)).findings.find(({ kind }) => kind === 'phHigh')
    expect(seen).toMatchObject({ id: opened?.id, openedAt: opened?.openedAt, seenAt: api.clock.now.toISOString() })

    await test(api, id, { values: { ph: 7.4 } })
    const page = await pageOf(id)
    expect(page.findings.some(({ kind }) => kind === 'phHigh')).toBe(false)
    const closed = page.closedFindings.find(({ kind }) => kind === 'phHigh')
    expect(closed).toMatchObject({ id: opened?.id, closedAt: api.clock.now.toISOString() })

    api.clock.now = new Date(+START + 7_200_000)
    await test(api, id, { values: { ph: 8.1 } })
    const { items, total } = (await get(api, `/bodies/${id}/findings`)).body
    const lives = items.filter(({ kind }: { kind: string }) => kind === 'phHigh')
    expect(lives).toHaveLength(2)
    expect(lives[0]).toMatchObject({ closedAt: null, openedAt: api.clock.now.toISOString() })
    expect(total).toBe(items.length)
    expect((await get(api, `/bodies/${id}/findings?limit=1`)).body).toMatchObject({
      total,
      items: [{ id: items[0].id }],
    })
  })

  it('stay single when two assessments run at once', async () => {
    const { id } = await makeBody(api, (await makeFacility(api)).id)
    await api.db.pool.query('DELETE FROM finding WHERE body_id = $1', [id])
    await Promise.all(Array.from({ length: 6 }, () => assessBodies(api.deps, [id])))
    const { rows } = await api.db.pool.query(
      'SELECT kind, subject, count(*) FROM finding WHERE body_id = $1 GROUP BY 1, 2 HAVING count(*) > 1',
      [id],
    )
    expect(rows).toEqual([])
    expect(await kindsOf(id)).toContain('neverTested')
  })

  it('of an unknown body: 404', async () => {
    expect((await get(api, `/bodies/${uuidv7()}/findings`)).status).toBe(404)
    expect((await get(api, `/bodies/${uuidv7()}`)).status).toBe(404)
  })
})

describe('when a body is assessed anew', () => {
  it('by the clock: a test falls overdue without anybody writing', async () => {
    const { id } = await makeBody(api, (await makeFacility(api)).id)
    await test(api, id)
    expect(await kindsOf(id)).not.toContain('testOverdue')
    api.clock.now = new Date(+START + 3 * 24 * 3_600_000)
    while ((await assessDue(api.deps)) > 0);
    expect(await kindsOf(id)).toContain('testOverdue')
    expect((await standingRow(id)).severity).not.toBe('fine')
  })

  it('is never later than an hour, and never at once', async () => {
    const { id } = await makeBody(api, (await makeFacility(api)).id)
    await test(api, id)
    const { due_at, assessed_at } = await standingRow(id)
    expect(assessed_at).toEqual(START)
    expect(+due_at).toBeGreaterThan(+START)
    expect(+due_at).toBeLessThanOrEqual(+START + 3_600_000)
  })

  it('in sets, leaving alone what somebody else is assessing', async () => {
    while ((await assessDue(api.deps)) > 0);
    const { id } = await makeBody(api, (await makeFacility(api)).id)
    await inTransaction(api.database.pool, (client) => markDue(client, [id], api.clock.now))
    await inTransaction(api.database.pool, async (client) => {
      await client.query('SELECT FROM standing WHERE body_id = $1 FOR UPDATE', [id])
      expect(await assessDue(api.deps)).toBe(0)
    })
    expect(await assessDue(api.deps)).toBe(1)
    expect(await assessDue(api.deps)).toBe(0)
  })

  it('after a write that was stored but could not be judged: the write stands, and the schedule finds the body', async () => {
    const { id } = await makeBody(api, (await makeFacility(api)).id)
    await api.db.pool.query('ALTER TABLE finding RENAME TO finding_away')
    const { status } = await post(api, '/readings', { readings: [goodTest(api, id, { values: { ph: 8 } })] })
    await api.db.pool.query('ALTER TABLE finding_away RENAME TO finding')
    expect(status).toBe(201)
    expect(+(await standingRow(id)).due_at).toBeLessThanOrEqual(+api.clock.now)
    expect(await kindsOf(id)).not.toContain('phHigh')
    while ((await assessDue(api.deps)) > 0);
    expect(await kindsOf(id)).toContain('phHigh')
  })

  it('not after a write that failed: the mark goes with it', async () => {
    const { id } = await makeBody(api, (await makeFacility(api)).id)
    const before = await standingRow(id)
    const failed = inTransaction(api.database.pool, async (client) => {
      await markDue(client, [id], new Date('2020-01-01T00:00:00Z'))
      throw new Error('torn')
    })
    await expect(failed).rejects.toThrow('torn')
    expect(await standingRow(id)).toEqual(before)
  })

  it.each([
    ['the body', async (plant: Plant) => patch(api, `/bodies/${plant.body.id}`, { useClass: 'spa' })],
    [
      'the facility’s profile',
      async (plant: Plant) => patch(api, `/facilities/${plant.facility.id}`, { profileKey: 'us-ca' }),
    ],
    ['a channel', async (plant: Plant) => post(api, `/channels/${plant.channels[0]?.id}/retire`)],
    ['a new channel', (plant: Plant) => makeChannel(api, plant.controller.id, plant.body.id, 'tempC')],
    ['a feeder', async (plant: Plant) => patch(api, `/feeders/${plant.feeder.id}`, { drumId: null })],
    ['a new feeder', (plant: Plant) => makeFeeder(api, plant.body.id, { role: 'ph' })],
    ['a drum', async (plant: Plant) => patch(api, `/drums/${plant.drum.id}`, { capacityL: 100 })],
    [
      'a drum’s level',
      async (plant: Plant) =>
        post(api, `/drums/${plant.drum.id}/levels`, { at: START.toISOString(), levelL: 10, person: 'Ines Calloway' }),
    ],
    ['the controller', async (plant: Plant) => post(api, `/controllers/${plant.controller.id}/retire`)],
    ['the drum’s end', async (plant: Plant) => post(api, `/drums/${plant.drum.id}/retire`)],
  ])('after a change of %s', async (_what, change) => {
    const plant = await makePlant(api)
    api.clock.now = new Date(+START + 60_000)
    await change(plant)
    expect((await standingRow(plant.body.id)).assessed_at).toEqual(api.clock.now)
  })
})
type Plant = Awaited<ReturnType<typeof makePlant>>

describe('a body that cannot be judged', () => {
  it('is unheard, never fine, and does not hold up the others', async () => {
    const facility = await makeFacility(api)
    const { id } = await makeBody(api, facility.id)
    const other = await makeBody(api, (await makeFacility(api)).id)
    await test(api, id)
    await api.db.pool.query(`UPDATE facility SET profile_key = 'gone' WHERE id = $1`, [facility.id])
    api.clock.now = new Date(+START + 60_000)
    expect(await assessBodies(api.deps, [id, other.id])).toBe(2)
    expect(await standingRow(id)).toMatchObject({ severity: 'unheard', score: null, view: null })
    expect((await standingRow(other.id)).assessed_at).toEqual(api.clock.now)
    expect((await get(api, `/bodies/${id}`)).status).toBe(200)
  })

  it('that is retired is not judged any more', async () => {
    const facility = await makeFacility(api)
    const { id } = await makeBody(api, facility.id)
    await post(api, `/facilities/${facility.id}/retire`)
    const before = await standingRow(id)
    api.clock.now = new Date(+START + 60_000)
    await assessBodies(api.deps, [id])
    expect(await standingRow(id)).toEqual(before)
    const { rows } = await api.db.pool.query('SELECT FROM finding WHERE body_id = $1 AND closed_at IS NULL', [id])
    expect(rows).toEqual([])
  })
})

describe('what the morning list shows of it', () => {
  it('is made with the judgement: sentences, values beside ranges, days left, last heard, seven days of trace', async () => {
    const { body, drum } = await makePlant(api)
    for (const [days, levelL] of [
      [6, 160],
      [4, 120],
      [2, 80],
      [0, 40],
    ] as const) {
      const at = hoursBefore(api, 24 * days).toISOString()
      await post(api, `/drums/${drum.id}/levels`, { at, levelL, person: 'Ines Calloway' })
    }
    await hear(api, body.id, hoursBefore(api, 40), { ph: 7.2, orp_mv: 650 })
    await hear(api, body.id, hoursBefore(api, 0.5), { ph: 7.6, orp_mv: 720 })
    await test(api, body.id, { values: { ph: 7.9 } })
    const [row] = (await get(api, `/triage?facilityId=${body.facilityId}`)).body.rows
    const page = await pageOf(body.id)
    expect(row.kinds.sort()).toEqual([...new Set(page.findings.map(({ kind }) => kind))].sort())
    for (const kind of row.kinds) expect(FINDING_KINDS).toHaveProperty(kind)
    expect(row.view.findings).toBe(page.findings.length)
    expect(row.view.sentences).toEqual(page.findings.slice(0, 3).map(({ sentence }) => sentence))
    expect(row.view.test).toEqual({
      ph: { value: 7.9, at: '2026-11-25T05:55:00.000Z' },
      sanitizer: { value: 3, at: '2026-11-25T05:55:00.000Z' },
    })
    expect(row.view.controller).toMatchObject({ at: '2026-11-25T05:30:00.000Z', orpMv: 720 })
    expect(row.view.ranges.ph.min).toBeLessThan(row.view.ranges.ph.max)
    // 40 L are used in two days, 40 L are left
    expect(row.daysLeft).toBeCloseTo(2, 5)
    expect(new Date(row.heardAt)).toEqual(new Date('2026-11-25T05:55:00Z'))
    const { trace } = row.view
    expect(trace).toMatchObject({ startAt: '2026-11-18T08:00:00.000Z', stepMin: 240 })
    expect([trace.ph.length, trace.orpMv.length]).toEqual([42, 42])
    expect(trace.ph.flatMap((value: number | null, step: number) => (value === null ? [] : [[step, value]]))).toEqual([
      [31, 7.2],
      [41, 7.6],
    ])
    expect(page.latest.filter(({ thing }) => thing === 'ph').map(({ source, value }) => [source, value])).toEqual([
      ['test', 7.9],
      ['controller', expect.closeTo(7.6, 5)],
    ])
    const derived = page.latest.filter(({ source }) => source === 'derived')
    expect(derived).toMatchObject([
      { thing: 'combinedChlorineMgL', value: expect.closeTo(0.1, 5) },
      { thing: 'saturationIndex', value: expect.any(Number) },
    ])
    expect(page.drums).toMatchObject([{ drumId: drum.id, levelL: 40, daysLeft: expect.closeTo(2, 5) }])
    expect(page.channels.map(({ quantity }) => quantity)).toEqual(['ph', 'orpMv'])
    expect(page.readings).toHaveLength(1)
    expect(page.latest[0]?.maxCitation).toBeTruthy()
  })

  it('has no trace, no controller and no days left where nothing was heard', async () => {
    const { id, facilityId } = await makeBody(api, (await makeFacility(api)).id)
    const [row] = (await get(api, `/triage?facilityId=${facilityId}`)).body.rows
    expect(row).toMatchObject({ daysLeft: null, heardAt: null, view: { trace: null, controller: null } })
    expect(row.severity).not.toBe('fine')
    expect((await pageOf(id)).latest).toEqual([])
  })
})

// What ORP and pH of a body mean and what its feeders do, as they come out of the tables.
import type { FeedView, RedoxView } from '@sightglass/chemistry'
import { uuidv7 } from 'uuidv7'
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest'
import {
  type Answer,
  get,
  hear,
  hoursBefore,
  makeBody,
  makeDrum,
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

const HOUR = 3_600_000
const DAY = 24 * HOUR
const isoBefore = (hours: number) => hoursBefore(api, hours).toISOString()
const redox = async (bodyId: string) => (await get<RedoxView>(api, `/bodies/${bodyId}/redox`)).body
const feed = async (bodyId: string) => (await get<FeedView>(api, `/bodies/${bodyId}/feed`)).body
const texts = (phrases: readonly { text: string }[] = []) => phrases.map(({ text }) => text).join(' ')
const log = (bodyId: string, ...work: object[]) =>
  post(api, '/work', { work: work.map((one) => ({ id: uuidv7(), bodyId, person: 'Ines Calloway', ...one })) })

/** Whole hours of the roll-up, each with the same values. */
const heard = (bodyId: string, fromHoursAgo: number, toHoursAgo: number, values: Record<string, number>) => {
  const columns = Object.keys(values)
  return api.db.pool.query(
    `INSERT INTO sample_hour (body_id, hour, samples, covered_min, ${columns.join(', ')})
    SELECT $1, h, 12, 60, ${columns.map((_, at) => `$${at + 4}`).join(', ')}
    FROM generate_series($2::timestamptz, $3::timestamptz, '1 hour') AS g (h)`,
    [bodyId, hoursBefore(api, fromHoursAgo), hoursBefore(api, toHoursAgo), ...Object.values(values)],
  )
}
const steady = (mv: number) => ({
  orp_mv_min: mv - 3,
  orp_mv_mean: mv,
  orp_mv_max: mv + 3,
  orp_set_point_mv: mv,
  ph_min: 7.35,
  ph_mean: 7.4,
  ph_max: 7.45,
  ph_set_point: 7.4,
  sanitizer_feed_min: 5,
  ph_feed_min: 2,
  no_flow_min: 0,
})

/** Weekly tests with the ORP that the display showed: chlorine goes up and down, and ORP with it. */
async function tie(bodyId: string, count = 10) {
  for (let at = count; at >= 1; at--) {
    const freeChlorineMgL = at % 2 === 0 ? 2 : 4
    await test(api, bodyId, {
      at: isoBefore(at * 84),
      values: { freeChlorineMgL, totalChlorineMgL: freeChlorineMgL + 0.1 },
      displayOrpMv: at % 2 === 0 ? 720 : 735,
      displayPh: 7.4,
    })
  }
}

describe('what ORP means', () => {
  it('is a curve with its pairs, the set point now and advised, and what it was worked out from', async () => {
    const { body } = await makePlant(api)
    await heard(body.id, 300, 1, steady(727))
    await tie(body.id)
    await test(api, body.id, { displayOrpMv: 727, displayPh: 7.5 })
    const answer = await get<RedoxView>(api, `/bodies/${body.id}/redox`)
    expect(answer.status).toBe(200)
    const { relation, setPoint, basis, missing, atMs, phProbe, drift } = answer.body
    expect(atMs).toBe(+START)
    expect(missing).toEqual([])
    expect(basis).toEqual({ tests: 11, pairs: 11, hours: 300, work: 0, fromMs: +START - 840 * HOUR })
    expect(relation?.curve.length).toBeGreaterThan(5)
    expect(relation?.points).toHaveLength(11)
    expect(relation?.points[0]).toMatchObject({
      atMs: +START - 840 * HOUR,
      sanitizerMgL: 2,
      orpMv: 720,
      sinceBreak: true,
    })
    expect(setPoint).toMatchObject({ nowMv: 727, history: [{ orpMv: 727 }], logged: [] })
    expect(setPoint?.holdsTargetMv?.low).toBeLessThan(setPoint?.holdsTargetMv?.value ?? Number.NaN)
    expect(texts(setPoint?.reasons)).toMatch(/Never adjust the ORP probe/)
    expect(phProbe?.gaps).toHaveLength(11)
    expect(phProbe?.gaps.at(-1)?.apart).toBeCloseTo(0.1, 6)
    expect(drift?.told.text).toMatch(/ORP/)
  })

  it('moves no set point of a body that an incident has closed', async () => {
    const { body } = await makePlant(api)
    await heard(body.id, 300, 1, steady(727))
    await tie(body.id)
    await test(api, body.id, { displayOrpMv: 727, displayPh: 7.5 })
    const before = (await get<RedoxView>(api, `/bodies/${body.id}/redox`)).body.setPoint
    expect(texts(before?.reasons)).not.toMatch(/First see to/)
    await post(api, '/incidents', {
      id: uuidv7(),
      bodyId: body.id,
      kind: 'diarrhea',
      at: isoBefore(0.1),
      person: 'Ines Calloway',
    })
    const { setPoint } = (await get<RedoxView>(api, `/bodies/${body.id}/redox`)).body
    expect(setPoint).toMatchObject({ action: 'mendFirst', todayMv: null })
    expect(texts(setPoint?.reasons)).toMatch(/Leave the set point for now. First see to: .*incident/)
  })

  it('holds work and moved set points as break points and lines', async () => {
    const { body } = await makePlant(api)
    await tie(body.id)
    await log(
      body.id,
      { kind: 'orpProbeReplaced', at: isoBefore(200) },
      { kind: 'orpSetPointMoved', at: isoBefore(30), orpSetPointMv: 715 },
      { kind: 'strainerCleaned', at: isoBefore(20) },
    )
    const { breaks, relation, setPoint } = await redox(body.id)
    expect(breaks.map(({ kind, atMs }) => [kind, atMs])).toEqual([['orpProbeReplaced', +START - 200 * HOUR]])
    expect(relation?.lastBreakMs).toBe(+START - 200 * HOUR)
    expect(relation?.points.map(({ sinceBreak }) => sinceBreak)).toEqual([
      ...Array(8).fill(false),
      ...Array(2).fill(true),
    ])
    expect(setPoint).toMatchObject({
      nowMv: 715,
      logged: [{ atMs: +START - 30 * HOUR, orpMv: 715 }],
      history: [{ orpMv: 715 }],
    })
  })

  it('is urgent while a finding says that ORP or its set point no longer fits, and only then', async () => {
    const { body } = await makePlant(api)
    await tie(body.id)
    const urgent = async () => (await redox(body.id)).setPoint?.urgent
    const open = (kind: string) =>
      api.db.pool.query(
        `INSERT INTO finding (id, body_id, kind, subject, severity, found, opened_at, seen_at)
        VALUES ($1, $2, $3, '', 'watch', '{}', $4, $4)`,
        [uuidv7(), body.id, kind, hoursBefore(api, 1)],
      )
    const close = (kind: string) =>
      api.db.pool.query('UPDATE finding SET closed_at = $3 WHERE body_id = $1 AND kind = $2', [body.id, kind, START])
    await api.db.pool.query('DELETE FROM finding WHERE body_id = $1', [body.id])
    expect(await urgent()).toBe(false)
    await open('orpNotHeld')
    expect(await urgent()).toBe(false)
    for (const kind of ['setPointOff', 'orpDrifted']) {
      await open(kind)
      expect(await urgent(), kind).toBe(true)
      await close(kind)
      expect(await urgent(), kind).toBe(false)
    }
  })

  it('of a body without a test, and of one without a controller, says what is missing', async () => {
    const { body, facility } = await makePlant(api)
    const untested = await redox(body.id)
    expect(untested).toMatchObject({ relation: null, basis: { tests: 0, pairs: 0 } })
    expect(texts(untested.missing)).toMatch(/No test kit reading beside an ORP yet/)
    expect(untested.setPoint?.action).toBe('cannotTell')

    const bare = await makeBody(api, facility.id, { cyanuricAcidUsed: true })
    await test(api, bare.id)
    const { missing, relation, setPoint } = await redox(bare.id)
    expect(texts(missing)).toMatch(/No controller channel carries ORP/)
    expect(texts(missing)).toMatch(/Cyanuric acid was never tested/)
    expect(relation?.points).toEqual([])
    expect(relation?.told.text).toMatch(/theory alone/)
    expect(setPoint?.todayMv).toBeNull()
  })
})

describe('what the feeders do', () => {
  it('is run time for each day of the facility’s clock, with a day that nobody heard as such', async () => {
    const { body, feeder } = await makePlant(api)
    // Chicago's midnight is 06:00 UTC, and so is the clock's time: two whole days, one silent, one whole
    await heard(body.id, 96, 49, { sanitizer_feed_min: 5 })
    await heard(body.id, 24, 1, { sanitizer_feed_min: 10 })
    const { days, effort } = await feed(body.id)
    expect(days.map(({ fromMs }) => (+START - fromMs) / DAY)).toEqual([4, 3, 2, 1, 0])
    expect(days.map(({ heardMin }) => heardMin)).toEqual([1440, 1440, 0, 1440, 0])
    expect(effort).toEqual([
      {
        role: 'primary',
        feeders: [{ id: feeder.id, name: feeder.name, kind: 'pump' }],
        minPerDay: [120, 120, null, 240, null],
        usualMinPerDay: 120,
      },
    ])
  })

  it('is 90 days at most', async () => {
    const { body } = await makePlant(api)
    await heard(body.id, 100 * 24, 1, { sanitizer_feed_min: 5 })
    const { days } = await feed(body.id)
    expect(days).toHaveLength(90)
    expect(days.at(-1)?.fromMs).toBe(+START)
  })

  it('comes with drums: use, days left as a range, what to bring', async () => {
    const { body, drum } = await makePlant(api)
    for (const [days, levelL] of [
      [12, 140],
      [8, 100],
      [4, 60],
      [0.1, 21],
    ] as const)
      await post(api, `/drums/${drum.id}/levels`, { at: isoBefore(days * 24), levelL, person: 'Rui' })
    const [only] = (await feed(body.id)).drums
    expect(only).toMatchObject({ drum: { id: drum.id, capacityL: 200 }, levels: [{}, {}, {}, {}] })
    expect(only?.forecast?.useLPerDay.typical).toBeCloseTo(10, 0)
    expect(only?.forecast?.daysLeft.low).toBeLessThan(only?.forecast?.daysLeft.high ?? Number.NaN)
    expect(only?.plan).toMatchObject({ lasts: 'no' })
    expect(only?.plan?.fillL.typical).toBeCloseTo(200, 0)
    expect(only?.course.at(-1)).toMatchObject({ typical: 0, high: 0 })
  })

  it('and with the settings of today beside the advised ones, simulated for a day', async () => {
    const { body, drum, feeder, room } = await makePlant(api)
    await patch(api, `/bodies/${body.id}`, { volumeL: 200_000, flowLMin: 800 })
    await patch(api, `/drums/${drum.id}`, { strengthPct: 12.5 })
    const settings = { onTimeMin: 25, waitMin: 5, band: 4 }
    expect((await patch(api, `/feeders/${feeder.id}`, { rateLH: 12, ...settings })).status).toBe(200)
    const acid = await makeDrum(api, room.id, { content: 'hydrochloricAcid' })
    await makeFeeder(api, body.id, { role: 'ph', drumId: acid.id })
    await heard(body.id, 10, 1, steady(730))
    await api.db.pool.query('SELECT ensure_sample_partitions($1, $1)', [hoursBefore(api, 1)])
    await api.db.pool.query('INSERT INTO sample (body_id, at, orp_set_point_mv) VALUES ($1, $2, 730)', [
      body.id,
      hoursBefore(api, 1),
    ])
    await test(api, body.id)
    const { tuning } = await feed(body.id)
    const [primary, ph] = tuning
    expect(primary).toMatchObject({ feeder: { id: feeder.id }, unit: 'mV', today: settings, missing: [] })
    expect(primary?.advised?.onTimeMin).toBeGreaterThan(0)
    expect(primary?.run?.now?.value).toHaveLength(288)
    expect(primary?.run?.advised.value).toHaveLength(288)
    expect(primary?.start).toMatchObject({ setPoint: 730, nowMs: +START })
    expect(ph).toMatchObject({ today: null, advised: null, run: null })
    expect(texts(ph?.missing)).toMatch(/What it delivers at full rate is not entered/)
    expect(texts(ph?.missing)).toMatch(/set today is not entered/)
  })

  it('goes by the set point that was logged where the controller reports none', async () => {
    const { body, drum, feeder } = await makePlant(api)
    await patch(api, `/bodies/${body.id}`, { volumeL: 200_000, flowLMin: 800 })
    await patch(api, `/drums/${drum.id}`, { strengthPct: 12.5 })
    await patch(api, `/feeders/${feeder.id}`, { rateLH: 12 })
    await hear(api, body.id, hoursBefore(api, 1), { orp_mv: 700 })
    await test(api, body.id)
    expect(texts((await feed(body.id)).tuning[0]?.missing)).toMatch(/ORP set point is not known/)
    await log(body.id, { kind: 'orpSetPointMoved', at: isoBefore(0.1), orpSetPointMv: 712 })
    const [primary] = (await feed(body.id)).tuning
    expect(primary?.start?.setPoint).toBe(712)
    expect(primary?.run?.now).toBeNull()
  })

  it('of a body without feeders, drums or controller says what is missing', async () => {
    const body = await makeBody(api, (await makeFacility(api)).id)
    const view = await feed(body.id)
    expect(view).toMatchObject({ days: [], effort: [], drums: [], tuning: [] })
    expect(texts(view.missing)).toMatch(/No feeder is entered/)
    await makeFeeder(api, body.id)
    expect(texts((await feed(body.id)).missing)).toMatch(/No drum is entered/)
  })
})

describe('settings of a feeder', () => {
  it('are stored, changed and cleared one by one, and refused when they cannot be', async () => {
    const { feeder } = await makePlant(api)
    const edit = (given: object) => patch(api, `/feeders/${feeder.id}`, given)
    expect((await edit({ onTimeMin: 8, waitMin: 12, band: 0.3 })).body).toMatchObject({ onTimeMin: 8, band: 0.3 })
    expect((await edit({ band: null })).body).toMatchObject({ onTimeMin: 8, waitMin: 12, band: null })
    for (const wrong of [{ onTimeMin: 0 }, { waitMin: -1 }, { band: 501 }, { onTimeMin: 1441 }]) {
      const answer: Answer = await edit(wrong)
      expect(answer.status).toBe(400)
    }
  })
})

describe('a body out of use', () => {
  it('gets no advice on set points and settings; what runs there is still shown', async () => {
    const { body } = await makePlant(api)
    await tie(body.id)
    await heard(body.id, 48, 1, { sanitizer_feed_min: 5 })
    const taken = { id: uuidv7(), from: isoBefore(3), reason: 'Relined', person: 'Rui' }
    expect((await post(api, `/bodies/${body.id}/out-of-use`, taken)).status).toBe(201)
    const { setPoint, relation, missing } = await redox(body.id)
    expect([setPoint, relation]).toEqual([null, null])
    expect(texts(missing)).toMatch(/is out of use/)
    const { tuning, effort } = await feed(body.id)
    expect(tuning).toEqual([])
    expect(effort).toHaveLength(1)
  })
})

describe.each(['redox', 'feed'])('GET /bodies/:bodyId/%s', (part) => {
  it('of a body that there is not is a 404, of no id a 400', async () => {
    expect((await get(api, `/bodies/${uuidv7()}/${part}`)).status).toBe(404)
    expect((await get(api, `/bodies/nonsense/${part}`)).status).toBe(400)
  })

  it('of a retired body is an answer that says so', async () => {
    const body = await makeBody(api, (await makeFacility(api)).id)
    await post(api, `/bodies/${body.id}/retire`)
    const { status, body: answer } = await get(api, `/bodies/${body.id}/${part}`)
    expect(status).toBe(200)
    expect(texts(answer.missing)).toMatch(/is retired/)
  })
})

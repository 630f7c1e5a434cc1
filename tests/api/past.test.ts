// What judgement knows of the weeks before, as it comes out of the tables.
import { uuidv7 } from 'uuidv7'
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest'
import { fullSnapshotsFor, withRedox } from '../../apps/api/src/capabilities/assessment/full.ts'
import { assessBodies } from '../../apps/api/src/index.ts'
import { inTransaction } from '../../apps/api/src/platform/database.ts'
import {
  get,
  hear,
  hoursBefore,
  makeBody,
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
const isoBefore = (hours: number) => hoursBefore(api, hours).toISOString()
const full = (...bodyIds: string[]) =>
  inTransaction(api.database.pool, (client) => fullSnapshotsFor(client, bodyIds, api.clock.now))
const redox = async (bodyId: string) =>
  inTransaction(api.database.pool, async (client) => {
    const known = await fullSnapshotsFor(client, [bodyId], api.clock.now)
    const [one] = await withRedox(client, known, api.clock.now)
    if (!one) throw new Error('no record')
    return one.record
  })
const log = (bodyId: string, ...work: object[]) =>
  post(api, '/work', { work: work.map((one) => ({ id: uuidv7(), bodyId, person: 'Ines Calloway', ...one })) })

describe('the weeks before', () => {
  it('are three weeks of hours, oldest first, with the numbers that were meant and nothing where nothing was', async () => {
    const { body } = await makePlant(api)
    for (const hours of [5, 22 * 24, 20 * 24])
      await hear(api, body.id, hoursBefore(api, hours), { ph: 7.4, orp_mv: 731 })
    await api.db.pool.query(
      `UPDATE sample_hour SET sanitizer_feed_min = 12.3456, flow_l_min_min = 0.1, flow_l_min_mean = 1400.25,
        flow_l_min_max = 1900.5, no_flow_min = 0 WHERE body_id = $1 AND hour = date_trunc('hour', $2::timestamptz)`,
      [body.id, hoursBefore(api, 5)],
    )
    const hours = (await full(body.id))[0]?.snapshot.controller?.hours ?? []
    expect(hours.map(({ hourMs }) => hourMs)).toEqual([+START - 20 * 24 * HOUR, +START - 5 * HOUR])
    expect(hours[1]).toEqual({
      hourMs: +START - 5 * HOUR,
      samples: 1,
      coveredMin: 15,
      ph: { min: 7.4, mean: 7.4, max: 7.4 },
      orpMv: { min: 731, mean: 731, max: 731 },
      freeChlorineMgL: null,
      tempC: null,
      flowLMin: { min: 0.1, mean: 1400.25, max: 1900.5 },
      phSetPoint: null,
      orpSetPointMv: null,
      sanitizerFeedMin: 12.3456,
      backupFeedMin: null,
      phFeedMin: null,
      noFlowMin: 0,
      feedWithoutFlowMin: null,
      bothFeedsMin: null,
      sanitizerSamples: null,
      phSamples: null,
      bothSamples: null,
    })
  })

  it('hold single samples of the last hours, tests, and work at the feeders', async () => {
    const { body, feeder, drum } = await makePlant(api)
    await patch(api, `/feeders/${feeder.id}`, { rateLH: 4 })
    await patch(api, `/drums/${drum.id}`, { strengthPct: 11 })
    await hear(api, body.id, hoursBefore(api, 4), { orp_mv: 600 })
    await hear(api, body.id, hoursBefore(api, 1), { orp_mv: 700, flow_on: false, sanitizer_feed_pct: 40 })
    await test(api, body.id, { at: isoBefore(48), values: { freeChlorineMgL: 2, saltMgL: 900 } })
    await test(api, body.id, { at: isoBefore(24 * 30), values: { freeChlorineMgL: 2.5 } })
    await log(
      body.id,
      { kind: 'feederServiced', at: isoBefore(30), feederId: feeder.id },
      { kind: 'strainerCleaned', at: isoBefore(20) },
      { kind: 'orpProbeCleaned', at: isoBefore(10) },
      { kind: 'strainerCleaned', at: isoBefore(24 * 30) },
    )
    const [one] = await full(body.id)
    const { controller, pastTests, feedWork, feeders } = one?.snapshot ?? {}
    expect(controller?.recent).toEqual([
      expect.objectContaining({ atMs: +START - HOUR, orpMv: 700, flowOn: false, sanitizerFeedPct: 40, ph: null }),
    ])
    expect(pastTests).toEqual([{ atMs: +START - 48 * HOUR, sanitizerMgL: 2, ph: 7.4, saltMgL: 900 }])
    expect(feedWork).toEqual([
      { kind: 'feederServiced', atMs: +START - 30 * HOUR, feederId: feeder.id },
      { kind: 'strainerCleaned', atMs: +START - 20 * HOUR, feederId: '' },
    ])
    expect(feeders).toMatchObject([{ rateLH: 4, drum: { strengthPct: 11 } }])
  })

  it('know of a drum that feeders of another body draw on, too', async () => {
    const { body, room, facility, drum } = await makePlant(api)
    const alone = await full(body.id)
    expect(alone[0]?.snapshot.feeders).toMatchObject([{ drum: { sharedElsewhere: false } }])
    const spa = await makeBody(api, facility.id, { equipmentRoomId: room.id })
    await makeFeeder(api, spa.id, { drumId: drum.id })
    for (const { snapshot } of await full(body.id, spa.id))
      expect(snapshot.feeders).toMatchObject([{ drum: { id: drum.id, sharedElsewhere: true } }])
  })

  it('belong to their own body, in whatever order bodies are asked for', async () => {
    const [one, other] = [(await makePlant(api)).body.id, (await makePlant(api)).body.id]
    await hear(api, one, hoursBefore(api, 2), { orp_mv: 610 })
    await hear(api, other, hoursBefore(api, 2), { orp_mv: 790 })
    await test(api, other, { at: isoBefore(3) })
    for (const ids of [
      [one, other],
      [other, one],
    ]) {
      const known = new Map((await full(...ids)).map(({ bodyId, snapshot }) => [bodyId, snapshot]))
      expect(known.get(one)?.controller?.hours[0]?.orpMv?.mean).toBe(610)
      expect(known.get(other)?.controller?.recent?.[0]?.orpMv).toBe(790)
      expect([known.get(one)?.pastTests?.length, known.get(other)?.pastTests?.length]).toEqual([0, 1])
    }
    expect(await full()).toEqual([])
  })
})

describe('what tells of probes', () => {
  it('pairs a test with the display, else with the samples around it while water flowed', async () => {
    const { body } = await makePlant(api)
    const at = (minutes: number) => new Date(+START - 24 * HOUR + minutes * 60_000)
    for (const [minutes, orp, flow] of [
      [-16, 100, true],
      [-15, 700, true],
      [-5, 720, true],
      [0, 200, false],
      [10, 716, true],
      [15, 705, true],
      [16, 900, true],
    ] as const)
      await hear(api, body.id, at(minutes), { orp_mv: orp, flow_on: flow, ph: 7.2 })
    await test(api, body.id, { at: at(0).toISOString(), values: { freeChlorineMgL: 2, totalChlorineMgL: 2.5 } })
    await test(api, body.id, { at: isoBefore(10), displayOrpMv: 688 })
    const { pairs, oxidant } = await redox(body.id)
    expect(oxidant).toBe('chlorine')
    expect(pairs).toHaveLength(2)
    expect(pairs[0]).toMatchObject({
      atMs: +at(0),
      orp: { from: 'samples', value: 710.5, spread: { min: 700, max: 720 } },
      ph: { from: 'samples', value: 7.2 },
      test: { sanitizerMgL: 2, combinedChlorineMgL: 0.5 },
    })
    expect(pairs[1]).toMatchObject({ orp: { from: 'display', value: 688, spread: null }, ph: null })
  })

  it('carries what was not measured from the last test that did, with its time', async () => {
    const { body } = await makePlant(api)
    const bare = (hours: number, values: object) =>
      post(api, '/readings', {
        readings: [{ id: uuidv7(), bodyId: body.id, at: isoBefore(hours), person: 'Rui', method: 'dropTest', values }],
      })
    await bare(24 * 100, { cyanuricAcidMgL: 40 })
    await bare(48, { freeChlorineMgL: 3, tempC: 27, ph: 7.5 })
    await bare(24, { freeChlorineMgL: 2.5 })
    const { pairs } = await redox(body.id)
    expect(pairs).toHaveLength(2)
    expect(pairs[1]?.test).toEqual({
      sanitizerMgL: 2.5,
      combinedChlorineMgL: null,
      ph: { value: 7.5, atMs: +START - 48 * HOUR },
      cyanuricAcidMgL: { value: 40, atMs: +START - 24 * 100 * HOUR },
      tempC: { value: 27, atMs: +START - 48 * HOUR },
      tdsMgL: null,
    })
  })

  it('takes bromine for what it is', async () => {
    const { body } = await makePlant(api)
    await patch(api, `/bodies/${body.id}`, { sanitizerSystem: 'bromine' })
    await test(api, body.id, { at: isoBefore(5), values: { bromineMgL: 4 } })
    expect(await redox(body.id)).toMatchObject({ oxidant: 'bromine', pairs: [{ test: { sanitizerMgL: 4 } }] })
  })

  it('holds work that counts, and the set point as reported or, where nothing was, as logged', async () => {
    const { body } = await makePlant(api)
    const wrong = uuidv7()
    await log(
      body.id,
      { kind: 'orpProbeReplaced', at: isoBefore(24 * 20), id: wrong },
      { kind: 'phCalibrated', at: isoBefore(24 * 10), slopePct: 93 },
      { kind: 'orpSetPointMoved', at: isoBefore(24 * 30), orpSetPointMv: 690 },
      // the controller reported something else afterwards
      { kind: 'orpSetPointMoved', at: isoBefore(47.5), orpSetPointMv: 750 },
      { kind: 'orpSetPointMoved', at: isoBefore(2), orpSetPointMv: 730 },
    )
    const correction = { id: uuidv7(), reason: 'another pool', done: false, kind: 'orpProbeReplaced', person: 'Rui' }
    await post(api, `/bodies/${body.id}/work/${wrong}/correct`, { ...correction, at: isoBefore(24 * 20) })
    for (const [hours, mv] of [
      [49, 700],
      [48, 700],
      [47, 700],
      [46, 720],
      [45, 700],
    ] as const) {
      await hear(api, body.id, hoursBefore(api, hours), { orp_mv: mv })
      await api.db.pool.query('UPDATE sample_hour SET orp_set_point_mv = $3 WHERE body_id = $1 AND hour = $2', [
        body.id,
        hoursBefore(api, hours),
        mv,
      ])
    }
    const { work, setPoints } = await redox(body.id)
    expect(work).toEqual([{ kind: 'phCalibrated', atMs: +START - 240 * HOUR, slopePct: 93 }])
    expect(setPoints).toEqual([
      { atMs: +START - 720 * HOUR, orpMv: 690 },
      { atMs: +START - 49 * HOUR, orpMv: 700 },
      { atMs: +START - 46 * HOUR, orpMv: 720 },
      { atMs: +START - 45 * HOUR, orpMv: 700 },
      { atMs: +START - 2 * HOUR, orpMv: 730 },
    ])
  })
})

describe('what ORP means', () => {
  const kept = async (bodyId: string) =>
    (
      await api.db.pool.query('SELECT basis, assessed_at AS at, judgement, model FROM redox WHERE body_id = $1', [
        bodyId,
      ])
    ).rows[0]
  const later = (hours: number) => {
    api.clock.now = new Date(+api.clock.now + hours * HOUR)
  }

  it('is worked out when a test or work came in, or after six hours, and else kept', async () => {
    const { body } = await makePlant(api)
    await test(api, body.id, { at: isoBefore(5), displayOrpMv: 700 })
    const first = await kept(body.id)
    expect(first).toMatchObject({ at: api.clock.now, judgement: { atMs: +START, pairsUsed: 1 } })
    expect(first.judgement).not.toHaveProperty('model')
    expect(first.model.points).toHaveLength(1)

    later(1)
    await assessBodies(api.deps, [body.id])
    expect((await kept(body.id)).at).toEqual(START)

    await test(api, body.id, { at: isoBefore(0.5), displayOrpMv: 710 })
    expect(await kept(body.id)).toMatchObject({ at: api.clock.now, judgement: { pairsUsed: 2 } })

    later(1)
    await log(body.id, { kind: 'orpProbeCleaned', at: isoBefore(0.2) })
    expect((await kept(body.id)).at).toEqual(api.clock.now)

    later(6)
    await assessBodies(api.deps, [body.id])
    expect((await kept(body.id)).at).toEqual(api.clock.now)
  })

  it('is worked out anew when an export came in: it brings the ORP beside tests of days ago', async () => {
    const { body } = await makePlant(api)
    await test(api, body.id, { at: isoBefore(50) })
    expect((await kept(body.id)).judgement.pairsUsed).toBe(0)
    later(1)
    await hear(api, body.id, hoursBefore(api, 51), { orp_mv: 720 })
    const done = (state: string) =>
      api.db.pool.query(
        `INSERT INTO import (id, facility_id, file_name, bytes, sha256, state, person, finished_at)
        VALUES ($1, $2, 'export.csv', 1, '', $3, 'Ines Calloway', $4)`,
        [uuidv7(), body.facilityId, state, api.clock.now],
      )
    await done('failed')
    await assessBodies(api.deps, [body.id])
    expect((await kept(body.id)).judgement.pairsUsed).toBe(0)
    await done('done')
    await assessBodies(api.deps, [body.id])
    expect((await kept(body.id)).judgement.pairsUsed).toBe(1)
  })

  it('stands on the page as its findings have it', async () => {
    const { body } = await makePlant(api)
    await test(api, body.id, { at: isoBefore(5), displayOrpMv: 700 })
    const { atMs } = (await kept(body.id)).judgement
    later(2)
    expect((await get(api, `/bodies/${body.id}/redox`)).body.atMs).toBe(atMs)
    later(6)
    expect((await get(api, `/bodies/${body.id}/redox`)).body.atMs).toBe(+api.clock.now)
  })

  it('is not asked of a body whose controller shows no ORP, nor of one without', async () => {
    const { body } = await makePlant(api)
    const bare = await makeBody(api, body.facilityId)
    await api.db.pool.query(`UPDATE channel SET retired_at = now() WHERE body_id = $1 AND quantity = 'orpMv'`, [
      body.id,
    ])
    await api.db.pool.query('DELETE FROM redox WHERE body_id = $1', [body.id])
    for (const { id } of [body, bare]) {
      await test(api, id)
      expect(await kept(id)).toBeUndefined()
    }
  })
})

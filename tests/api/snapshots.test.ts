import { assessWater, type CodeProfile, type Snapshot } from '@sightglass/chemistry'
import type { SnapshotsAnswer } from '@sightglass/contract'
import pg from 'pg'
import { uuidv7 } from 'uuidv7'
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it, vi } from 'vitest'
import {
  get,
  goodTest,
  hear,
  hoursBefore,
  makeBody,
  makeFacility,
  makePlant,
  pathsOf,
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

const ask = (...bodyIds: string[]) =>
  get<SnapshotsAnswer>(api, `/snapshots?${bodyIds.map((bodyId) => `bodyId=${bodyId}`).join('&')}`)

describe('what is known of bodies, to reckon with elsewhere', () => {
  it('is enough to judge a body as the server judged it', async () => {
    const { body, drum } = await makePlant(api)
    await hear(api, body.id, hoursBefore(api, 1), { ph: 7.6, orp_mv: 720 })
    await post(api, `/drums/${drum.id}/levels`, {
      at: hoursBefore(api, 30).toISOString(),
      levelL: 90,
      person: 'Ines Calloway',
    })
    await test(api, body.id, { values: { ph: 8.1, freeChlorineMgL: 0.4, totalChlorineMgL: 1.4, cyanuricAcidMgL: 30 } })
    const { status, body: answer } = await ask(body.id)
    expect(status).toBe(200)
    expect(answer.at).toBe(START.toISOString())
    const [known] = answer.bodies
    expect(known?.snapshot?.tests.ph).toEqual({ value: 8.1, atMs: +START - 300_000 })
    expect(known?.snapshot?.controller?.hours).toHaveLength(1)
    expect(known?.snapshot?.feeders[0]?.drum?.levels).toMatchObject([{ levelL: 90 }])

    const profile = answer.profiles.find(({ key }) => key === known?.profileKey) as CodeProfile
    const here = assessWater(known?.snapshot as Snapshot, profile, +START, known?.equipment ?? [])
    const there = (await get(api, `/bodies/${body.id}`)).body
    expect(here.standing).toEqual(there.standing)
    expect(here.findings.map(({ kind, sentence }) => ({ kind, sentence }))).toEqual(
      there.findings.map(({ kind, sentence }: { kind: string; sentence: object }) => ({ kind, sentence })),
    )
    expect(here.findings.length).toBeGreaterThan(2)
  })

  it('comes for each body in the order asked for, once, and each profile once', async () => {
    const one = await makeFacility(api)
    const other = await makeFacility(api, { profileKey: 'us-ca' })
    const [a, b, c] = await Promise.all([makeBody(api, one.id), makeBody(api, other.id), makeBody(api, one.id)])
    const { body: answer } = await ask(c.id, a.id, b.id, a.id)
    expect(answer.bodies.map(({ bodyId }) => bodyId)).toEqual([c.id, a.id, b.id])
    expect(answer.bodies.map(({ profileKey }) => profileKey)).toEqual(['cdc-mahc', 'cdc-mahc', 'us-ca'])
    expect(answer.profiles.map(({ key }) => key).sort()).toEqual(['cdc-mahc', 'us-ca'])
    expect((await get(api, `/snapshots?bodyId=${a.id},${b.id}`)).body.bodies).toHaveLength(2)
  })

  it('is asked for in as many queries for twenty bodies as for one', async () => {
    const { id: facilityId } = await makeFacility(api)
    const bodies = await Promise.all(Array.from({ length: 20 }, () => makeBody(api, facilityId)))
    const ids = bodies.map(({ id }) => id)
    const asked = vi.spyOn(pg.Client.prototype, 'query')
    await ask(...ids.slice(0, 1))
    const one = asked.mock.calls.length
    asked.mockClear()
    expect((await ask(...ids)).body.bodies).toHaveLength(20)
    expect(one).toBeGreaterThan(0)
    expect(asked.mock.calls.length).toBe(one)
  })

  it('of water that was never tested holds no value, not a zero', async () => {
    const { id } = await makeBody(api, (await makeFacility(api)).id)
    const known = (await ask(id)).body.bodies[0]?.snapshot
    expect(known).toMatchObject({ tests: {}, lastTestAtMs: null, controller: null, feeders: [], incidents: [] })
  })

  it('of a retired body is no snapshot: it is not judged any more', async () => {
    const { id } = await makeBody(api, (await makeFacility(api)).id)
    await post(api, '/readings', { readings: [goodTest(api, id)] })
    await post(api, `/bodies/${id}/retire`)
    expect((await ask(id)).body.bodies).toEqual([{ bodyId: id, profileKey: 'cdc-mahc', snapshot: null, equipment: [] }])
  })

  it('lacks a profile that there is no more, and says which one was meant', async () => {
    const facility = await makeFacility(api)
    const { id } = await makeBody(api, facility.id)
    await api.db.pool.query(`UPDATE facility SET profile_key = 'gone' WHERE id = $1`, [facility.id])
    const { status, body: answer } = await ask(id)
    expect(status).toBe(200)
    expect(answer).toMatchObject({ bodies: [{ bodyId: id, profileKey: 'gone' }], profiles: [] })
  })

  it('of a body that does not exist is a 404 that names it, also beside one that does', async () => {
    const { id } = await makeBody(api, (await makeFacility(api)).id)
    const missing = uuidv7()
    const answer = await get(api, `/snapshots?bodyId=${id}&bodyId=${missing}`)
    expect(answer.status).toBe(404)
    expect(answer.body.detail).toContain(missing)
  })

  it.each([
    ['none', '/snapshots', 'querystring.bodyId', 'must name the bodies of water'],
    ['an empty word', '/snapshots?bodyId=', 'querystring.bodyId', 'must name the bodies of water'],
    ['no id', '/snapshots?bodyId=lap-pool', 'querystring.bodyId.0', 'is not an id'],
    [
      'one of several that is no id',
      `/snapshots?bodyId=0199b0c4-7a1e-7000-8000-000000000000,7`,
      'querystring.bodyId.1',
      'is not an id',
    ],
    [
      'too many',
      `/snapshots?bodyId=${Array.from({ length: 101 }, () => '0199b0c4-7a1e-7000-8000-000000000000').join(',')}`,
      'querystring.bodyId',
      'names more than 100',
    ],
  ])('refuses %s with 400 at its place', async (_what, url, path, message) => {
    const answer = await get(api, url)
    expect(answer.status).toBe(400)
    expect(pathsOf(answer)).toContain(path)
    expect(answer.body.detail).toContain(message)
  })
})

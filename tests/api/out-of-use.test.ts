import type { Overview, TriageAnswer } from '@sightglass/contract'
import { uuidv7 } from 'uuidv7'
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest'
import { assessDue } from '../../apps/api/src/capabilities/assessment/index.ts'
import {
  get,
  makeBody,
  makeFacility,
  pathsOf,
  post,
  START,
  startTestApi,
  type TestApi,
  test,
} from './support/company.ts'

let api: TestApi
let facilityId: string
beforeAll(async () => {
  api = await startTestApi()
  facilityId = (await makeFacility(api)).id
})
afterAll(() => api.stop())
beforeEach(() => {
  api.clock.now = START
})

const DAY = 86_400_000
const day = (days: number) => new Date(+START + days * DAY).toISOString()
const anotherBody = async (given: object = {}) => (await makeBody(api, facilityId, given)).id
const period = (given: object = {}) => ({
  id: uuidv7(),
  from: day(-3),
  reason: 'Shut for the winter',
  person: 'Ines Calloway',
  ...given,
})
const take = (bodyId: string, given: object = {}) => post(api, `/bodies/${bodyId}/out-of-use`, period(given))
const end = (bodyId: string, given: object = {}) =>
  post(api, `/bodies/${bodyId}/out-of-use/end`, { at: START.toISOString(), person: 'A. Reed', ...given })
const overviewOf = async (bodyId: string): Promise<Overview> => (await get(api, `/bodies/${bodyId}`)).body
const severityOf = async (bodyId: string) => (await overviewOf(bodyId)).standing?.severity

describe('a body taken out of use', () => {
  it('is not judged from then on: what was found is closed, and it does not look fine', async () => {
    const id = await anotherBody()
    expect(await severityOf(id)).toBe('unheard')
    const taken = await take(id)
    expect(taken.status).toBe(201)
    expect(taken.body).toMatchObject({ from: day(-3), to: null, reason: 'Shut for the winter', endedBy: null })
    const overview = await overviewOf(id)
    expect(overview).toMatchObject({
      standing: { severity: 'outOfUse', score: null, parts: [] },
      outOfUse: { id: taken.body.id, person: 'Ines Calloway' },
      findings: [],
      view: { outOfUse: { from: day(-3), to: null, reason: 'Shut for the winter' } },
    })
    expect(overview.closedFindings.map(({ kind }) => kind)).toContain('neverTested')
  })

  it('stands in the morning list with its own count, last in every order', async () => {
    const facility = await makeFacility(api)
    const shut = await makeBody(api, facility.id, { name: 'A shut pool' })
    const pool = await makeBody(api, facility.id, { name: 'Pool' })
    await take(shut.id)
    await test(api, pool.id)
    for (const sort of ['worst', 'score', 'daysLeft', 'heard']) {
      const { body } = await get(api, `/triage?facilityId=${facility.id}&sort=${sort}`)
      const answer: TriageAnswer = body
      expect(
        answer.rows.map(({ bodyId }) => bodyId),
        sort,
      ).toEqual([pool.id, shut.id])
      expect(answer.counts).toMatchObject({ outOfUse: 1, unheard: 0, fine: 1 })
      expect(answer.rows[1]).toMatchObject({ severity: 'outOfUse', score: null, kinds: [], daysLeft: null })
    }
    const only = (await get(api, `/triage?facilityId=${facility.id}&severity=outOfUse`)).body
    expect(only.rows.map(({ bodyId }: { bodyId: string }) => bodyId)).toEqual([shut.id])
  })

  it('is put into use again by a person, and judged at once', async () => {
    const id = await anotherBody()
    await take(id)
    const ended = await end(id)
    expect(ended.status).toBe(200)
    expect(ended.body).toMatchObject({ to: START.toISOString(), endedBy: 'A. Reed' })
    expect(await overviewOf(id)).toMatchObject({ standing: { severity: 'unheard' }, outOfUse: null })
    expect((await end(id)).status).toBe(409)
  })

  it('goes out of use and comes back by the clock when that was known ahead', async () => {
    const id = await anotherBody()
    await take(id, { from: day(1), to: day(2) })
    const planned = await overviewOf(id)
    expect(planned.standing?.severity).toBe('unheard')
    expect(Date.parse(planned.outOfUse?.from ?? '')).toBe(Date.parse(day(1)))
    const judgedAt = async (at: string) => {
      api.clock.now = new Date(at)
      while ((await assessDue(api.deps)) > 0);
      return severityOf(id)
    }
    expect(await judgedAt(day(1))).toBe('outOfUse')
    expect(await judgedAt(day(2))).toBe('unheard')
  })

  it('that was only planned stays in use when somebody says so', async () => {
    const id = await anotherBody()
    await take(id, { from: day(5) })
    expect((await end(id)).body).toMatchObject({ from: day(5), to: day(5) })
    expect((await overviewOf(id)).outOfUse).toBeNull()
  })
})

describe('a period out of use', () => {
  it('sent twice is stored once; another one under its id is refused', async () => {
    const id = await anotherBody()
    const given = period()
    const url = `/bodies/${id}/out-of-use`
    expect((await post(api, url, given)).status).toBe(201)
    expect((await post(api, url, given)).status).toBe(201)
    const other = await post(api, url, { ...given, reason: 'Rebuilt' })
    expect(other.status).toBe(409)
    expect(pathsOf(other)).toEqual(['body.id'])
  })

  it('does not overlap another, and may follow one', async () => {
    const id = await anotherBody()
    expect((await take(id, { from: day(-10), to: day(-5) })).status).toBe(201)
    const overlapping = await take(id, { from: day(-6) })
    expect(overlapping.status).toBe(409)
    expect(pathsOf(overlapping)).toEqual(['body.from'])
    expect((await take(id, { from: day(-11), to: day(-9) })).status).toBe(409)
    expect((await take(id, { from: day(-5) })).status).toBe(201)
  })

  it.each([
    ['no reason', { reason: ' ' }, 'body.reason'],
    ['nobody', { person: '' }, 'body.person'],
    ['an end before its beginning', { to: day(-4) }, 'body.to'],
    ['no time', { from: 'winter' }, 'body.from'],
    ['a time years away', { from: '2019-11-01T00:00:00Z' }, 'body.from'],
    ['no id', { id: 'x' }, 'body.id'],
  ])('with %s is refused', async (_what, given, path) => {
    const answer = await take(await anotherBody(), given)
    expect(answer.status).toBe(400)
    expect(pathsOf(answer)).toEqual([path])
  })

  it.each([
    ['in the future', { at: day(1) }],
    ['before it began', { at: day(-4) }],
    ['without a person', { person: ' ' }],
  ])('is not ended %s', async (_when, given) => {
    const id = await anotherBody()
    await take(id)
    expect((await end(id, given)).status).toBe(400)
    expect(await severityOf(id)).toBe('outOfUse')
  })

  it('of an unknown body: 404; of a retired one: 409', async () => {
    expect((await take(uuidv7())).status).toBe(404)
    expect((await end(uuidv7())).status).toBe(404)
    const id = await anotherBody()
    await post(api, `/bodies/${id}/retire`)
    expect((await take(id)).status).toBe(409)
  })
})

import { uuidv7 } from 'uuidv7'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import {
  ask,
  get,
  goodTest,
  makeBody,
  makeFacility,
  pathsOf,
  post,
  startTestApi,
  type TestApi,
  test,
} from './support/company.ts'

let api: TestApi
let bodyId: string
beforeAll(async () => {
  api = await startTestApi()
  bodyId = (await makeBody(api, (await makeFacility(api)).id)).id
})
afterAll(() => api.stop())

const anotherBody = async () => (await makeBody(api, (await makeFacility(api)).id)).id
const send = (...readings: object[]) => post(api, '/readings', { readings })
const stored = async (body = bodyId, query = '') => (await get(api, `/bodies/${body}/readings${query}`)).body
const severityOf = async (body: string) => (await get(api, `/bodies/${body}`)).body.standing.severity

describe('recording', () => {
  it('keeps what was measured, by whom, how and when, and leaves out what was not', async () => {
    const body = await anotherBody()
    const reading = goodTest(api, body, { displayPh: 7.5, note: ' cloudy ' })
    const { status, body: answer } = await send(reading)
    expect(status).toBe(201)
    expect(answer.repeated).toBe(0)
    expect(answer.readings).toEqual([
      {
        ...reading,
        note: 'cloudy',
        displayOrpMv: null,
        replacesId: null,
        reason: null,
        replacedAt: null,
        createdAt: api.clock.now.toISOString(),
      },
    ])
    expect(answer.readings[0].values).not.toHaveProperty('cyanuricAcidMgL')
    expect((await stored(body)).items).toEqual(answer.readings)
  })

  it('judges the body before it answers', async () => {
    const body = await anotherBody()
    expect(await severityOf(body)).not.toBe('fine')
    await test(api, body, { values: { ph: 7.9 } })
    const kinds = async () =>
      (await get(api, `/bodies/${body}`)).body.findings.map(({ kind }: { kind: string }) => kind)
    expect(await kinds()).toContain('phHigh')
    await test(api, body, { at: api.clock.now.toISOString() })
    expect(await kinds()).not.toContain('phHigh')
  })

  it('stores a whole log sheet or nothing', async () => {
    const body = await anotherBody()
    const before = (await stored(body)).total
    const sheet = Array.from({ length: 20 }, () => goodTest(api, body))
    const unknown = { ...goodTest(api, uuidv7()) }
    const answer = await send(...sheet, unknown)
    expect([answer.status, pathsOf(answer)]).toEqual([400, ['body.readings.20.bodyId']])
    expect((await stored(body)).total).toBe(before)
    expect((await send(...sheet)).body.readings.map(({ id }: { id: string }) => id)).toEqual(sheet.map(({ id }) => id))
    expect((await stored(body)).total).toBe(before + 20)
  })

  it('takes the same test again for the same, also when both arrive at once', async () => {
    const body = await anotherBody()
    const reading = goodTest(api, body)
    const answers = await Promise.all([send(reading), send(reading), send(reading)])
    expect(answers.map(({ status }) => status)).toEqual([201, 201, 201])
    expect(answers.map((answer) => answer.body.repeated).sort()).toEqual([0, 1, 1])
    expect((await stored(body)).total).toBe(1)
  })

  it('stores the new ones of a sheet that was sent in part before', async () => {
    const body = await anotherBody()
    const [first, second] = [goodTest(api, body), goodTest(api, body)]
    await send(first)
    const { body: answer } = await send(first, second)
    expect(answer).toMatchObject({ repeated: 1, readings: [{ id: first.id }, { id: second.id }] })
  })

  it('refuses an id that is stored with other content', async () => {
    const reading = goodTest(api, bodyId)
    await send(reading)
    const answer = await send(goodTest(api, bodyId), { ...reading, person: 'Somebody Else' })
    expect([answer.status, pathsOf(answer)]).toEqual([409, ['body.readings.1.id']])
  })
})

describe('what is refused', () => {
  const withValues = (values: object) => ({ ...goodTest(api, bodyId), values })
  it.each([
    ['nothing measured', () => withValues({}), 'body.readings.0.values', 'at least one value'],
    ['a slipped decimal', () => withValues({ ph: 77 }), 'body.readings.0.values.ph', 'Did you mean 7.7?'],
    ['a negative', () => withValues({ tempC: -40 }), 'body.readings.0.values.tempC', 'outside'],
    [
      'total under free',
      () => withValues({ freeChlorineMgL: 3, totalChlorineMgL: 2 }),
      'body.readings.0.values.totalChlorineMgL',
      'swapped',
    ],
    ['text for a number', () => withValues({ ph: '7.4' }), 'body.readings.0.values.ph', 'must be a number'],
    ['no person', () => ({ ...goodTest(api, bodyId), person: '  ' }), 'body.readings.0.person', 'must name the person'],
    ['an unknown method', () => ({ ...goodTest(api, bodyId), method: 'guess' }), 'body.readings.0.method', ''],
    ['no time', () => ({ ...goodTest(api, bodyId), at: 'yesterday' }), 'body.readings.0.at', 'is not a time'],
    ['a time without zone', () => ({ ...goodTest(api, bodyId), at: '2026-11-25T05:00:00' }), 'body.readings.0.at', ''],
    [
      'the future',
      () => ({ ...goodTest(api, bodyId), at: '2026-11-25T09:00:00Z' }),
      'body.readings.0.at',
      'in the future',
    ],
    [
      'the past century',
      () => ({ ...goodTest(api, bodyId), at: '1999-12-31T23:59:59Z' }),
      'body.readings.0.at',
      '2000',
    ],
  ])('%s', async (_what, make, path, words) => {
    const answer = await send(make())
    expect(answer.status).toBe(400)
    expect(answer.type).toContain('application/problem+json')
    expect(pathsOf(answer)).toEqual([path])
    expect(answer.body.detail).toContain(words)
  })

  it('the same id twice in one sheet', async () => {
    const reading = goodTest(api, bodyId)
    const answer = await send(reading, goodTest(api, bodyId), reading)
    expect([answer.status, pathsOf(answer)]).toEqual([400, ['body.readings.2.id']])
  })

  it('a retired body: 409, and its tests stay readable', async () => {
    const body = await anotherBody()
    await test(api, body)
    await post(api, `/bodies/${body}/retire`)
    const answer = await send(goodTest(api, body))
    expect([answer.status, pathsOf(answer)]).toEqual([409, ['body.readings.0.bodyId']])
    expect((await stored(body)).total).toBe(1)
  })

  it('takes a clock that runs a few minutes ahead', async () => {
    const at = new Date(+api.clock.now + 9 * 60_000).toISOString()
    expect((await send(goodTest(api, await anotherBody(), { at }))).status).toBe(201)
  })
})

describe('unusual values', () => {
  it('are asked about once, each by its field, and nothing is stored meanwhile', async () => {
    const body = await anotherBody()
    const odd = goodTest(api, body, { values: { ph: 8.9, cyanuricAcidMgL: 300 } })
    const answer = await send(goodTest(api, body), odd)
    expect(answer.status).toBe(422)
    expect(answer.body.type).toBe('/problems/unusual')
    expect(pathsOf(answer)).toEqual(['body.readings.1.values.ph', 'body.readings.1.values.cyanuricAcidMgL'])
    expect(answer.body.fields[0].message).toContain('usually 6.6 to 8.4')
    expect((await stored(body)).total).toBe(0)
    const partly = await send({ ...odd, confirmed: ['ph'] })
    expect([partly.status, pathsOf(partly)]).toEqual([422, ['body.readings.0.values.cyanuricAcidMgL']])
    expect((await send({ ...odd, confirmed: ['ph', 'cyanuricAcidMgL'] })).status).toBe(201)
  })

  it('are not asked about again when the test is there already', async () => {
    const odd = goodTest(api, await anotherBody(), { values: { ph: 8.9 } })
    await send({ ...odd, confirmed: ['ph'] })
    expect(await send(odd)).toMatchObject({ status: 201, body: { repeated: 1 } })
  })

  it('never let an impossible value through, confirmed or not', async () => {
    const odd = goodTest(api, bodyId, { values: { ph: 89 }, confirmed: ['ph'] })
    expect((await send(odd)).status).toBe(400)
  })
})

describe('correcting', () => {
  const correction = (reading: ReturnType<typeof goodTest>, given: object = {}) => {
    const { bodyId: _, ...rest } = reading
    return { ...rest, id: uuidv7(), reason: 'misread the meter', ...given }
  }
  const correct = (reading: { bodyId: string; id: string }, given: object) =>
    post(api, `/bodies/${reading.bodyId}/readings/${reading.id}/correct`, given)

  it('puts a new version in the place of the old one, which is kept', async () => {
    const reading = goodTest(api, await anotherBody(), { values: { ph: 7.9 } })
    await send(reading)
    const given = correction(reading, { values: { ...reading.values, ph: 7.5 }, person: 'Rui Okafor' })
    const { status, body: version } = await correct(reading, given)
    expect(status).toBe(201)
    expect(version).toMatchObject({
      id: given.id,
      replacesId: reading.id,
      reason: 'misread the meter',
      replacedAt: null,
    })
    expect((await stored(reading.bodyId)).items).toEqual([version])
    expect((await stored(reading.bodyId, '?replaced=true')).total).toBe(2)
    for (const id of [reading.id, given.id]) {
      const { versions } = (await get(api, `/bodies/${reading.bodyId}/readings/${id}`)).body
      expect(versions).toMatchObject([
        { id: given.id, values: { ph: 7.5 } },
        { id: reading.id, values: { ph: 7.9 }, replacedAt: api.clock.now.toISOString() },
      ])
    }
  })

  it('clears a finding that the wrong value had opened', async () => {
    const reading = goodTest(api, await anotherBody(), { values: { ph: 8.3 } })
    await send(reading)
    const kinds = async () =>
      (await get(api, `/bodies/${reading.bodyId}`)).body.findings.map(({ kind }: { kind: string }) => kind)
    expect(await kinds()).toContain('phHigh')
    await correct(reading, correction(reading, { values: { ...reading.values, ph: 7.4 } }))
    expect(await kinds()).not.toContain('phHigh')
  })

  it('holds all values anew: what is left out is gone', async () => {
    const reading = goodTest(api, await anotherBody())
    await send(reading)
    const { body: version } = await correct(reading, correction(reading, { values: { ph: 7.4 } }))
    expect(version.values).toEqual({ ph: 7.4 })
  })

  it('changes nothing when it is sent again', async () => {
    const reading = goodTest(api, await anotherBody())
    await send(reading)
    const given = correction(reading, { values: { ph: 7.3 } })
    const answers = await Promise.all([correct(reading, given), correct(reading, given)])
    expect(answers.map(({ status }) => status)).toEqual([201, 201])
    expect(answers[0]?.body).toEqual(answers[1]?.body)
    expect((await stored(reading.bodyId, '?replaced=true')).total).toBe(2)
  })

  it('is refused on a version that is not the newest, and names the one that is', async () => {
    const reading = goodTest(api, await anotherBody())
    await send(reading)
    const first = correction(reading, { values: { ph: 7.3 } })
    await correct(reading, first)
    const late = await correct(reading, correction(reading, { values: { ph: 7.2 } }))
    expect(late.status).toBe(409)
    expect(late.body.detail).toContain(first.id)
    const next = await correct({ ...reading, id: first.id }, correction(reading, { values: { ph: 7.2 } }))
    expect(next.status).toBe(201)
    const { versions } = (await get(api, `/bodies/${reading.bodyId}/readings/${reading.id}`)).body
    expect(versions.map(({ values }: { values: { ph: number } }) => values.ph)).toEqual([7.2, 7.3, 7.4])
  })

  it('asks about unusual values too, and wants a reason', async () => {
    const reading = goodTest(api, await anotherBody())
    await send(reading)
    const odd = await correct(reading, correction(reading, { values: { ph: 9 } }))
    expect([odd.status, pathsOf(odd)]).toEqual([422, ['body.values.ph']])
    const why = await correct(reading, correction(reading, { reason: ' ' }))
    expect([why.status, pathsOf(why)]).toEqual([400, ['body.reason']])
    expect((await stored(reading.bodyId, '?replaced=true')).total).toBe(1)
  })

  it('is refused with an id that another test has', async () => {
    const body = await anotherBody()
    const [reading, other] = [goodTest(api, body), goodTest(api, body)]
    await send(reading, other)
    expect((await correct(reading, correction(reading, { id: other.id }))).status).toBe(409)
  })

  it('of an unknown test, and of a test of another body: 404', async () => {
    const reading = goodTest(api, bodyId)
    await send(reading)
    expect((await correct({ bodyId, id: uuidv7() }, correction(reading))).status).toBe(404)
    expect((await correct({ ...reading, bodyId: await anotherBody() }, correction(reading))).status).toBe(404)
  })
})

describe('reading back', () => {
  it('newest first, in pages', async () => {
    const body = await anotherBody()
    const times = ['2026-11-24T06:00:00.000Z', '2026-11-25T05:00:00.000Z', '2026-11-23T06:00:00.000Z']
    await send(...times.map((at) => goodTest(api, body, { at })))
    const ats = async (query: string) => (await stored(body, query)).items.map(({ at }: { at: string }) => at)
    expect(await ats('')).toEqual([times[1], times[0], times[2]])
    expect(await ats('?limit=1&offset=1')).toEqual([times[0]])
    expect((await stored(body, '?offset=50')).total).toBe(3)
  })

  it('unknown ids 404, pages out of range 400', async () => {
    expect((await get(api, `/bodies/${uuidv7()}/readings`)).status).toBe(404)
    expect((await get(api, `/bodies/${bodyId}/readings/${uuidv7()}`)).status).toBe(404)
    expect((await get(api, `/bodies/${bodyId}/readings?limit=501`)).status).toBe(400)
    expect((await ask(api, 'DELETE', `/bodies/${bodyId}/readings`)).status).toBe(404)
  })
})

import { uuidv7 } from 'uuidv7'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import {
  get,
  makeBody,
  makeFacility,
  makeFeeder,
  makePlant,
  pathsOf,
  post,
  startTestApi,
  type TestApi,
} from './support/company.ts'

let api: TestApi
let bodyId: string
beforeAll(async () => {
  api = await startTestApi()
  bodyId = await anotherBody()
})
afterAll(() => api.stop())

const anotherBody = async () => (await makeBody(api, (await makeFacility(api)).id)).id
const send = (...work: object[]) => post(api, '/work', { work })
const stored = async (body = bodyId, query = '') => (await get(api, `/bodies/${body}/work${query}`)).body
const done = <Given extends object>(body: string, given: Given = {} as Given) => ({
  id: uuidv7(),
  bodyId: body,
  kind: 'orpProbeCleaned',
  at: new Date(+api.clock.now - 5 * 60_000).toISOString(),
  person: 'Ines Calloway',
  ...given,
})

describe('logging', () => {
  it('keeps several kinds of one visit at once, with what belongs to each', async () => {
    const { body, feeder } = await makePlant(api)
    const visit = [
      done(body.id, { note: ' scale on the tip ' }),
      done(body.id, { kind: 'phCalibrated', slopePct: 94 }),
      done(body.id, { kind: 'orpSetPointMoved', orpSetPointMv: 710 }),
      done(body.id, { kind: 'feederServiced', feederId: feeder.id }),
    ]
    const { status, body: answer } = await send(...visit)
    expect(status).toBe(201)
    expect(answer.repeated).toBe(0)
    const none = {
      feederId: null,
      feederName: null,
      orpSetPointMv: null,
      phSetPoint: null,
      slopePct: null,
      note: '',
      done: true,
      replacesId: null,
      reason: null,
      replacedAt: null,
      createdAt: api.clock.now.toISOString(),
    }
    expect(answer.work).toEqual([
      { ...none, ...visit[0], note: 'scale on the tip' },
      { ...none, ...visit[1] },
      { ...none, ...visit[2] },
      { ...none, ...visit[3], feederName: feeder.name },
    ])
    expect((await stored(body.id)).total).toBe(4)
  })

  it('has the body judged before it answers', async () => {
    const body = await anotherBody()
    const assessedAt = async () => (await get(api, `/bodies/${body}`)).body.assessedAt
    const before = await assessedAt()
    const work = done(body)
    api.clock.now = new Date(+api.clock.now + 60_000)
    expect((await send(work)).status).toBe(201)
    expect(await assessedAt()).toBe(api.clock.now.toISOString())
    expect(await assessedAt()).not.toBe(before)
    api.clock.now = new Date(+api.clock.now + 60_000)
    await send(work)
    expect(await assessedAt()).not.toBe(api.clock.now.toISOString())
  })

  it('stores all or nothing', async () => {
    const body = await anotherBody()
    const answer = await send(done(body), done(uuidv7()))
    expect([answer.status, pathsOf(answer)]).toEqual([400, ['body.work.1.bodyId']])
    expect((await stored(body)).total).toBe(0)
  })

  it('takes the same work again for the same, also when both arrive at once', async () => {
    const body = await anotherBody()
    const work = done(body)
    const answers = await Promise.all([send(work), send(work), send(work)])
    expect(answers.map(({ status }) => status)).toEqual([201, 201, 201])
    expect(answers.map((answer) => answer.body.repeated).sort()).toEqual([0, 1, 1])
    expect((await stored(body)).total).toBe(1)
    const other = await send(done(body), { ...work, person: 'Somebody Else' })
    expect([other.status, pathsOf(other)]).toEqual([409, ['body.work.1.id']])
    expect((await stored(body)).total).toBe(1)
  })
})

describe('what is refused', () => {
  it.each([
    ['an unknown kind', { kind: 'paintedWalls' }, 'body.work.0.kind', 'is not one of'],
    ['no person', { person: ' ' }, 'body.work.0.person', 'must name the person'],
    ['no time', { at: 'this morning' }, 'body.work.0.at', 'is not a time'],
    ['the future', { at: '2026-11-25T09:00:00Z' }, 'body.work.0.at', 'in the future'],
    ['a set point without its value', { kind: 'orpSetPointMoved' }, 'body.work.0.orpSetPointMv', 'set to'],
    ['a pH set point without its value', { kind: 'phSetPointMoved' }, 'body.work.0.phSetPoint', 'set to'],
    ['a set point with other work', { orpSetPointMv: 700 }, 'body.work.0.orpSetPointMv', 'belongs to orpSetPointMoved'],
    ['a slope without calibration', { slopePct: 90 }, 'body.work.0.slopePct', 'belongs to phCalibrated'],
    ['a slope of nothing', { kind: 'phCalibrated', slopePct: 0 }, 'body.work.0.slopePct', '1 to 150'],
    ['a slipped zero', { kind: 'orpSetPointMoved', orpSetPointMv: 7100 }, 'body.work.0.orpSetPointMv', 'mean 710?'],
    ['an unknown feeder', { kind: 'feederServiced', feederId: uuidv7() }, 'body.work.0.feederId', 'no such feeder'],
  ])('%s', async (_what, given, path, words) => {
    const answer = await send(done(bodyId, given))
    expect(answer.status).toBe(400)
    expect(pathsOf(answer)).toEqual([path])
    expect(answer.body.detail).toContain(words)
  })

  it('a feeder of another body', async () => {
    const feeder = await makeFeeder(api, await anotherBody())
    const answer = await send(done(bodyId, { kind: 'feederServiced', feederId: feeder.id }))
    expect([answer.status, pathsOf(answer)]).toEqual([400, ['body.work.0.feederId']])
  })

  it('the same id twice at once', async () => {
    const work = done(bodyId)
    const answer = await send(work, work)
    expect([answer.status, pathsOf(answer)]).toEqual([400, ['body.work.1.id']])
  })

  it('nothing at all', async () => {
    expect((await send()).status).toBe(400)
  })

  it('a retired body: 409, and its work stays readable', async () => {
    const body = await anotherBody()
    await send(done(body))
    await post(api, `/bodies/${body}/retire`)
    const answer = await send(done(body))
    expect([answer.status, pathsOf(answer)]).toEqual([409, ['body.work.0.bodyId']])
    expect((await stored(body)).total).toBe(1)
  })

  it('a set point that is possible but rare, until it is confirmed', async () => {
    const body = await anotherBody()
    const odd = done(body, { kind: 'orpSetPointMoved', orpSetPointMv: 410 })
    const answer = await send(odd)
    expect([answer.status, pathsOf(answer)]).toEqual([422, ['body.work.0.orpSetPointMv']])
    expect((await stored(body)).total).toBe(0)
    expect((await send({ ...odd, confirmed: ['orpSetPointMv'] })).status).toBe(201)
    expect((await send(odd)).body.repeated).toBe(1)
  })

  it('whatever the code would let through, the table does not', async () => {
    const insert = (columns: string, values: string) =>
      api.db.pool.query(
        `INSERT INTO work (body_id, id, at, person, ${columns}) VALUES ($1, gen_random_uuid(), now(), 'x', ${values})`,
        [bodyId],
      )
    await expect(insert('kind', `'paintedWalls'`)).rejects.toThrow('work_kind_check')
    await expect(insert('kind', `'orpSetPointMoved'`)).rejects.toThrow('check constraint')
    await expect(insert('kind, slope_pct', `'strainerCleaned', 90`)).rejects.toThrow('check constraint')
    await expect(insert('kind, done', `'strainerCleaned', false`)).rejects.toThrow('check constraint')
  })
})

describe('correcting', () => {
  const correction = ({ bodyId: _, ...work }: ReturnType<typeof done>, given: object = {}) => ({
    ...work,
    id: uuidv7(),
    reason: 'wrong probe',
    ...given,
  })
  const correct = (work: { bodyId: string; id: string }, given: object) =>
    post(api, `/bodies/${work.bodyId}/work/${work.id}/correct`, given)
  const logged = async () => {
    const work = done(await anotherBody())
    await send(work)
    return work
  }

  it('puts a new version in the place of the old one, which is kept', async () => {
    const work = await logged()
    const given = correction(work, { kind: 'phProbeCleaned', person: 'Rui Okafor' })
    const { status, body: version } = await correct(work, given)
    expect(status).toBe(201)
    expect(version).toMatchObject({ id: given.id, kind: 'phProbeCleaned', replacesId: work.id, replacedAt: null })
    expect((await stored(work.bodyId)).items).toEqual([version])
    for (const id of [work.id, given.id]) {
      const { versions } = (await get(api, `/bodies/${work.bodyId}/work/${id}`)).body
      expect(versions).toMatchObject([
        { id: given.id, reason: 'wrong probe' },
        { id: work.id, replacedAt: api.clock.now.toISOString() },
      ])
    }
  })

  it('can say that it was never done', async () => {
    const work = await logged()
    expect((await correct(work, correction(work, { done: false }))).body.done).toBe(false)
    expect(await stored(work.bodyId)).toEqual({ items: [], total: 0 })
    expect((await stored(work.bodyId, '?replaced=true')).total).toBe(2)
  })

  it('changes nothing when it is sent again', async () => {
    const work = await logged()
    const given = correction(work)
    const answers = await Promise.all([correct(work, given), correct(work, given)])
    expect(answers.map(({ status }) => status)).toEqual([201, 201])
    expect((await stored(work.bodyId, '?replaced=true')).total).toBe(2)
    expect((await correct(work, { ...given, person: 'Somebody Else' })).status).toBe(409)
  })

  it('is refused on a version that is not the newest, and names the one that is', async () => {
    const work = await logged()
    const first = correction(work)
    await correct(work, first)
    const late = await correct(work, correction(work))
    expect(late.status).toBe(409)
    expect(late.body.detail).toContain(first.id)
  })

  it('wants a reason, and the same of fields and set points as an entry', async () => {
    const work = await logged()
    const refused = async (given: object) => {
      const answer = await correct(work, correction(work, given))
      return [answer.status, pathsOf(answer)]
    }
    expect(await refused({ reason: ' ' })).toEqual([400, ['body.reason']])
    expect(await refused({ slopePct: 90 })).toEqual([400, ['body.slopePct']])
    expect(await refused({ kind: 'feederServiced', feederId: uuidv7() })).toEqual([400, ['body.feederId']])
    expect(await refused({ kind: 'phSetPointMoved', phSetPoint: 3 })).toEqual([422, ['body.phSetPoint']])
    expect(await refused({ at: '2031-01-01T00:00:00Z' })).toEqual([400, ['body.at']])
    expect((await stored(work.bodyId, '?replaced=true')).total).toBe(1)
  })

  it('of unknown work, and of work at another body: 404', async () => {
    const work = await logged()
    expect((await correct({ ...work, id: uuidv7() }, correction(work))).status).toBe(404)
    expect((await correct({ ...work, bodyId: await anotherBody() }, correction(work))).status).toBe(404)
  })
})

describe('reading back', () => {
  it('newest first, in pages; unknown ids 404', async () => {
    const body = await anotherBody()
    const times = ['2026-11-24T06:00:00.000Z', '2026-11-25T05:00:00.000Z', '2026-11-23T06:00:00.000Z']
    await send(...times.map((at) => done(body, { at })))
    const ats = async (query: string) => (await stored(body, query)).items.map(({ at }: { at: string }) => at)
    expect(await ats('')).toEqual([times[1], times[0], times[2]])
    expect(await ats('?limit=1&offset=1')).toEqual([times[0]])
    expect((await get(api, `/bodies/${uuidv7()}/work`)).status).toBe(404)
    expect((await get(api, `/bodies/${body}/work/${uuidv7()}`)).status).toBe(404)
  })
})

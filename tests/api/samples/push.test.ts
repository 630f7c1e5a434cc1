import { uuidv7 } from 'uuidv7'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import {
  type Answer,
  get,
  makeBody,
  makeChannel,
  makeController,
  makePlant,
  pathsOf,
  post,
  startTestApi,
  type TestApi,
} from '../support/company.ts'
import { storedSamples } from './stored.ts'

let api: TestApi
beforeAll(async () => {
  api = await startTestApi()
})
afterAll(() => api.stop())

let names = 0
async function makeGateway(controllerIds: string[]) {
  const { body, status } = await post(api, '/gateways', { name: `Gateway ${++names}`, controllerIds })
  expect(status).toBe(201)
  return body as { id: string; token: string }
}

async function push(token: string | undefined, payload: object): Promise<Answer> {
  const headers = token === undefined ? {} : { authorization: `Bearer ${token}` }
  const answer = await api.app.inject({ method: 'POST', url: '/samples', headers, payload })
  return {
    status: answer.statusCode,
    body: answer.json(),
    type: String(answer.headers['content-type']),
    headers: answer.headers,
  }
}

const sample = (bodyId: string, at: string, values: object = { ph: 7.4 }) => ({ bodyId, at, values })
const batch = (...samples: object[]) => ({ batchId: uuidv7(), samples })
const AT = '2026-11-25T05:55:00Z'

describe('a gateway', () => {
  it('gets its token once; the list and the database hold none', async () => {
    const { controller } = await makePlant(api)
    const { body, status } = await post(api, '/gateways', { name: 'Basement box', controllerIds: [controller.id] })
    expect(status).toBe(201)
    expect(Buffer.from(body.token, 'base64url')).toHaveLength(32)
    const { body: list } = await get(api, '/gateways')
    const listed = list.items.find(({ id }: { id: string }) => id === body.id)
    expect(listed).toMatchObject({
      name: 'Basement box',
      controllerIds: [controller.id],
      lastUsedAt: null,
      revokedAt: null,
    })
    expect(JSON.stringify(list)).not.toContain(body.token)
    const { rows } = await api.db.pool.query('SELECT gateway::text AS row FROM gateway')
    expect(JSON.stringify(rows)).not.toContain(body.token)
  })

  it.each([
    ['no name', { controllerIds: [uuidv7()] }, 'body.name'],
    ['no controller', { name: 'Box', controllerIds: [] }, 'body.controllerIds'],
    ['an unknown controller', { name: 'Box', controllerIds: [uuidv7()] }, 'body.controllerIds.0'],
  ])('is refused with %s', async (_, payload, path) => {
    const answer = await post(api, '/gateways', payload)
    expect(answer.status).toBe(400)
    expect(pathsOf(answer)).toEqual([path])
  })

  it('is refused with the name of another, and for a retired controller', async () => {
    const { controller } = await makePlant(api)
    await post(api, '/gateways', { name: 'The box', controllerIds: [controller.id] })
    const twice = await post(api, '/gateways', { name: 'the BOX', controllerIds: [controller.id] })
    expect([twice.status, pathsOf(twice)]).toEqual([409, ['body.name']])
    await post(api, `/controllers/${controller.id}/retire`)
    const gone = await post(api, '/gateways', { name: 'Another box', controllerIds: [controller.id] })
    expect([gone.status, pathsOf(gone)]).toEqual([409, ['body.controllerIds.0']])
  })

  it('that does not exist cannot be revoked', async () => {
    expect((await post(api, `/gateways/${uuidv7()}/revoke`)).status).toBe(404)
    expect((await post(api, '/gateways/box/revoke')).status).toBe(400)
  })
})

describe('a push', () => {
  it('without a token, with a wrong one or a revoked one is refused as problem details', async () => {
    const { body, controller } = await makePlant(api)
    const gateway = await makeGateway([controller.id])
    const payload = batch(sample(body.id, AT))
    const wrong = 'x'.repeat(43)
    for (const token of [undefined, '', wrong]) {
      const answer = await push(token, payload)
      expect(answer.status).toBe(401)
      expect(answer.type).toContain('application/problem+json')
      expect(answer.headers['www-authenticate']).toBe('Bearer')
    }
    const revoked = await post(api, `/gateways/${gateway.id}/revoke`)
    expect(revoked.body.revokedAt).not.toBeNull()
    expect((await push(gateway.token, payload)).status).toBe(401)
    expect((await post(api, `/gateways/${gateway.id}/revoke`)).body.revokedAt).toBe(revoked.body.revokedAt)
    expect(await storedSamples(api, body.id)).toEqual([])
  })

  it('looks at the token before it looks at what was sent', async () => {
    expect((await push(undefined, { nonsense: true })).status).toBe(401)
  })

  it('is stored, rolled up and assessed', async () => {
    const { body, controller } = await makePlant(api)
    const { token } = await makeGateway([controller.id])
    const payload = batch(
      sample(body.id, AT, { ph: 7.4, orpMv: 700 }),
      sample(body.id, '2026-11-24T23:50:00-06:00', { ph: 7.5 }),
    )
    const answer = await push(token, payload)
    expect(answer).toMatchObject({
      status: 200,
      body: { repeated: false, stored: 2, same: 0, differing: 0, rejected: [] },
    })
    expect(await storedSamples(api, body.id)).toEqual([
      { atMs: Date.parse('2026-11-25T05:50:00Z'), values: { ph: 7.5 } },
      { atMs: Date.parse(AT), values: { ph: 7.4, orpMv: 700 } },
    ])
    const { rows } = await api.db.pool.query('SELECT heard_at FROM standing WHERE body_id = $1', [body.id])
    expect(rows[0].heard_at).toEqual(new Date(AT))
  })

  it('sent again changes nothing and gets the same answer, also when both arrive at once', async () => {
    const { body, controller } = await makePlant(api)
    const { token } = await makeGateway([controller.id])
    const payload = batch(sample(body.id, AT), sample(body.id, '1999-01-01T00:00:00Z'))
    const both = await Promise.all([push(token, payload), push(token, payload)])
    const third = await push(token, { ...payload, batchId: payload.batchId.toUpperCase() })
    for (const { status, body: answer } of [...both, third])
      expect({ status, answer }).toMatchObject({ status: 200, answer: { stored: 1, rejected: [{ line: 2 }] } })
    expect([...both, third].map(({ body: { repeated } }) => repeated).sort()).toEqual([false, true, true])
    expect(await storedSamples(api, body.id)).toHaveLength(1)
  })

  it('sent again is the same however its times, ids and keys are written', async () => {
    const { body, controller } = await makePlant(api)
    const { token } = await makeGateway([controller.id])
    const payload = batch(sample(body.id, AT, { ph: 7.4, orpMv: 700 }))
    await push(token, payload)
    const samples = [sample(body.id.toUpperCase(), '2026-11-24T23:55:00-06:00', { orpMv: 700, ph: 7.4 })]
    expect((await push(token, { ...payload, samples })).body).toMatchObject({ repeated: true, stored: 1 })
  })

  it.each([
    ['another value', (bodyId: string) => [sample(bodyId, AT, { ph: 7.1 })]],
    ['another time', (bodyId: string) => [sample(bodyId, '2026-11-25T05:50:00Z')]],
    ['another quantity', (bodyId: string) => [sample(bodyId, AT, { ph: 7.4, orpMv: 700 })]],
    ['one sample more', (bodyId: string) => [sample(bodyId, AT), sample(bodyId, '2026-11-25T05:50:00Z')]],
  ])('with an id that was used and %s is a conflict, and stores nothing', async (_, others) => {
    const { body, controller } = await makePlant(api)
    const { token } = await makeGateway([controller.id])
    const payload = batch(sample(body.id, AT))
    await push(token, payload)
    const answer = await push(token, { ...payload, samples: others(body.id) })
    expect([answer.status, pathsOf(answer)]).toEqual([409, ['body.batchId']])
    expect(answer.body.detail).toContain('under a new id')
    expect(await storedSamples(api, body.id)).toEqual([{ atMs: Date.parse(AT), values: { ph: 7.4 } }])
  })

  it('that comes at once with another under the same id: one is taken, the other is a conflict', async () => {
    const { body, controller } = await makePlant(api)
    const { token } = await makeGateway([controller.id])
    const one = batch(sample(body.id, AT, { ph: 7.4 }))
    const other = { ...one, samples: [sample(body.id, '2026-11-25T05:50:00Z', { ph: 7.2 })] }
    const both = await Promise.all([push(token, one), push(token, other)])
    expect(both.map(({ status }) => status).sort()).toEqual([200, 409])
    expect(await storedSamples(api, body.id)).toHaveLength(1)
  })

  it('in a new batch with stored samples counts them as the same or differing', async () => {
    const { body, controller } = await makePlant(api)
    const { token } = await makeGateway([controller.id])
    await push(token, batch(sample(body.id, AT, { ph: 7.4 })))
    expect((await push(token, batch(sample(body.id, AT, { ph: 7.4 })))).body).toMatchObject({ stored: 0, same: 1 })
    expect((await push(token, batch(sample(body.id, AT, { ph: 7.1 })))).body).toMatchObject({ stored: 0, differing: 1 })
    expect((await storedSamples(api, body.id))[0]?.values).toEqual({ ph: 7.4 })
  })

  it('with the id of another gateway’s batch is a conflict', async () => {
    const one = await makePlant(api)
    const other = await makePlant(api)
    const first = await makeGateway([one.controller.id])
    const second = await makeGateway([other.controller.id])
    const payload = batch(sample(one.body.id, AT))
    await push(first.token, payload)
    const answer = await push(second.token, { ...payload, samples: [sample(other.body.id, AT)] })
    expect([answer.status, pathsOf(answer)]).toEqual([409, ['body.batchId']])
    expect(await storedSamples(api, other.body.id)).toEqual([])
  })

  it('stores what is good and says why the rest is not', async () => {
    const { facility, room, body, controller } = await makePlant(api)
    const foreign = await makeBody(api, facility.id, { equipmentRoomId: room.id })
    const another = await makeController(api, room.id)
    await makeChannel(api, another.id, foreign.id, 'ph')
    const { token } = await makeGateway([controller.id])
    const { body: answer } = await push(
      token,
      batch(
        sample(body.id, AT, { ph: 7.4 }),
        sample(foreign.id, AT, { ph: 7.4 }),
        sample(uuidv7(), AT, { ph: 7.4 }),
        sample(body.id, AT, { tempC: 27 }),
        sample(body.id, '2026-11-25T05:45:00Z', { ph: 74 }),
        sample(body.id, '2026-11-27T05:45:00Z', { ph: 7.4 }),
        sample(body.id, '1999-12-31T23:59:00Z', { ph: 7.4 }),
      ),
    )
    expect(answer).toMatchObject({ stored: 1, same: 0, differing: 0 })
    expect(answer.rejected.map(({ line, column, reason }: Record<string, unknown>) => [line, column, reason])).toEqual([
      [2, 'bodyId', expect.stringContaining('No controller of this gateway')],
      [3, 'bodyId', expect.stringContaining('No controller of this gateway')],
      [4, 'tempC', expect.stringContaining('No channel in use')],
      [5, 'ph', expect.stringContaining('Did you mean 7.4?')],
      [6, 'at', expect.stringContaining('future')],
      [7, 'at', expect.stringContaining('2000')],
    ])
    expect(await storedSamples(api, body.id)).toHaveLength(1)
    expect(await storedSamples(api, foreign.id)).toEqual([])
  })

  it('for a retired channel or body is rejected', async () => {
    const { body, controller, channels } = await makePlant(api)
    const { token } = await makeGateway([controller.id])
    await post(api, `/channels/${channels[1]?.id}/retire`)
    expect((await push(token, batch(sample(body.id, AT, { orpMv: 700 })))).body.rejected).toHaveLength(1)
    await post(api, `/bodies/${body.id}/retire`)
    expect((await push(token, batch(sample(body.id, AT)))).body).toMatchObject({ stored: 0, rejected: [{ line: 1 }] })
  })

  it.each([
    ['no samples', { batchId: uuidv7(), samples: [] }, 'body.samples'],
    ['no batch id', { samples: [sample(uuidv7(), AT)] }, 'body.batchId'],
    ['a word for a number', batch(sample(uuidv7(), AT, { ph: 'acid' })), 'body.samples.0.values.ph'],
    ['a number for the flow switch', batch(sample(uuidv7(), AT, { flowOn: 1 })), 'body.samples.0.values.flowOn'],
    ['no value', batch(sample(uuidv7(), AT, {})), 'body.samples.0.values'],
    ['a quantity that is not known', batch(sample(uuidv7(), AT, { ph: 7.4, orp: 700 })), 'body.samples.0.values'],
    ['a time without its offset', batch(sample(uuidv7(), '2026-11-25T05:55:00')), 'body.samples.0.at'],
    ['too many samples', batch(...Array.from({ length: 5001 }, () => sample(uuidv7(), AT))), 'body.samples'],
  ])('with %s is refused as a whole, field by field', async (_, payload, path) => {
    const { controller } = await makePlant(api)
    const { token } = await makeGateway([controller.id])
    const answer = await push(token, payload)
    expect(answer.status).toBe(400)
    expect(pathsOf(answer)).toEqual([path])
  })

  it('larger than the server takes is refused', async () => {
    const { body, controller } = await makePlant(api)
    const { token } = await makeGateway([controller.id])
    const answer = await push(token, { ...batch(sample(body.id, AT)), filler: 'x'.repeat(9 * 1024 * 1024) })
    expect(answer.status).toBe(413)
  })

  it('waits a moment for another input of the same body, then says that it was not stored', async () => {
    const { body, controller } = await makePlant(api)
    const { token } = await makeGateway([controller.id])
    const holder = await api.db.pool.connect()
    try {
      await holder.query('BEGIN')
      await holder.query(`SELECT pg_advisory_xact_lock(hashtext('sample'), hashtext($1) & 1023)`, [body.id])
      const payload = batch(sample(body.id, AT))
      expect((await push(token, payload)).status).toBe(503)
      await holder.query('ROLLBACK')
      expect((await push(token, payload)).body).toMatchObject({ stored: 1, repeated: false })
    } finally {
      holder.release()
    }
  })
})

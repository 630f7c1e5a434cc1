import { Writable } from 'node:stream'
import { setTimeout as sleep } from 'node:timers/promises'
import { Validator } from '@seriousme/openapi-schema-validator'
import { type Endpoint, endpoints, problem } from '@sightglass/contract'
import { uuidv7 } from 'uuidv7'
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest'
import { buildApp, openDatabase, readConfig } from '../../apps/api/src/index.ts'
import { makeLogger } from '../../apps/api/src/platform/logger.ts'
import { startTestDatabase, type TestDatabase } from '../support/database.ts'
import {
  type Answer,
  get,
  goodTest,
  makeBody,
  makeController,
  makeFacility,
  makeRoom,
  pathsOf,
  post,
  startTestApi,
  type TestApi,
} from './support/company.ts'
import { type ApiProcess, databaseDoor, startApiProcess } from './support/process.ts'

let api: TestApi
beforeAll(async () => {
  api = await startTestApi({ REQUESTS_PER_MINUTE: '100000' })
})
afterAll(() => api.stop())

const isProblem = (answer: Answer, status: number, kind: string) => {
  expect(answer.status).toBe(status)
  expect(answer.type).toContain('application/problem+json')
  const body = problem.parse(answer.body)
  expect(body).toMatchObject({ status, type: `/problems/${kind}`, requestId: answer.headers['x-request-id'] })
  return body
}
const raw = async (options: {
  method?: 'POST' | 'GET'
  url: string
  type?: string
  payload?: string
  /** What a browser says of where the page came from. */
  site?: string | null
}): Promise<Answer> => {
  const answer = await api.app.inject({
    method: options.method ?? 'POST',
    url: options.url,
    headers: {
      ...(options.type && { 'content-type': options.type }),
      ...(options.site && { 'sec-fetch-site': options.site }),
    },
    ...(options.payload !== undefined && { payload: options.payload }),
  })
  const type = String(answer.headers['content-type'])
  return {
    status: answer.statusCode,
    type,
    body: type.includes('json') ? answer.json() : answer.body,
    headers: answer.headers,
  }
}

describe('every error is a problem', () => {
  it('unknown address', async () => {
    const { detail, instance } = isProblem(await get(api, '/nowhere?x=1'), 404, 'notFound')
    expect([detail, instance]).toEqual(['There is no GET /nowhere?x=1.', '/nowhere?x=1'])
  })

  it.each([
    ['cut off', '{"name": "x"'],
    ['empty', ''],
    ['no JSON at all', 'name=x'],
  ])('malformed JSON: %s', async (_what, payload) => {
    isProblem(await raw({ url: '/facilities', type: 'application/json', payload }), 400, 'invalid')
  })

  it('a page of another site that tries to write, though it may read; programs and our own pages may do both', async () => {
    const from = (site: string | null, method: 'GET' | 'POST' = 'POST') =>
      raw({ method, url: method === 'GET' ? '/facilities' : `/controllers/${uuidv7()}/retire`, site })
    isProblem(await from('cross-site'), 403, 'forbidden')
    for (const site of ['same-origin', 'none', null]) isProblem(await from(site), 404, 'notFound')
    expect((await from('cross-site', 'GET')).status).toBe(200)
  })

  it('JSON that is no object, and a body that is not there', async () => {
    isProblem(await raw({ url: '/facilities', type: 'application/json', payload: '[1]' }), 400, 'invalid')
    isProblem(await raw({ url: '/facilities' }), 400, 'invalid')
  })

  it.each(['text/plain', 'application/xml', 'application/x-www-form-urlencoded'])('media type %s', async (type) => {
    isProblem(await raw({ url: '/facilities', type, payload: 'name=x' }), 415, 'unsupported')
  })

  it('a request that is too large', async () => {
    const payload = JSON.stringify({ name: 'x'.repeat(9 * 1024 * 1024) })
    isProblem(await raw({ url: '/facilities', type: 'application/json', payload }), 413, 'tooLarge')
  })

  it('several fields at once, each with its path', async () => {
    const answer = await post(api, '/bodies', { facilityId: 'x', useClass: 'pond', volumeL: -1 })
    isProblem(answer, 400, 'invalid')
    expect(pathsOf(answer)).toEqual(
      expect.arrayContaining(['body.facilityId', 'body.name', 'body.useClass', 'body.volumeL']),
    )
  })

  it('a character that no database can hold', async () => {
    const facility = { name: 'Nul\u0000House', timeZone: 'UTC' }
    isProblem(await post(api, '/facilities', facility), 400, 'invalid')
    isProblem(await get(api, '/facilities?q=%00'), 400, 'invalid')
    const { id } = await makeBody(api, (await makeFacility(api)).id)
    for (const person of ['Ines\u0000', 'Ines \ud800'])
      isProblem(await post(api, '/readings', { readings: [goodTest(api, id, { person })] }), 400, 'invalid')
  })

  it('a failure of the server tells the client nothing of its inside', async () => {
    await api.db.pool.query('ALTER TABLE drum_level RENAME TO drum_level_away')
    const answer = await get(api, `/drums/${uuidv7()}/levels`)
    await api.db.pool.query('ALTER TABLE drum_level_away RENAME TO drum_level')
    isProblem(answer, 500, 'internal')
    expect(JSON.stringify(answer.body)).not.toMatch(/drum_level|relation|prisma/i)
  })

  it('too many requests', async () => {
    const strict = await startTestApi({ REQUESTS_PER_MINUTE: '3' })
    for (let request = 0; request < 3; request++) expect((await get(strict, '/facilities')).status).toBe(200)
    isProblem(await get(strict, '/facilities'), 429, 'tooMany')
    expect((await get(strict, '/health')).status).toBe(200)
    await strict.stop()
  })
})

describe('health', () => {
  it('says that it lives and that it can serve', async () => {
    expect((await get(api, '/health')).body).toEqual({ status: 'ok' })
    expect((await get(api, '/ready')).body).toEqual({ status: 'ready' })
  })

  it('is not ready on a database that is not migrated', async () => {
    await api.db.pool.query('ALTER TABLE standing RENAME TO standing_away')
    const { detail } = isProblem(await get(api, '/ready'), 503, 'unavailable')
    await api.db.pool.query('ALTER TABLE standing_away RENAME TO standing')
    expect(detail).toContain('run the migrations')
  })

  it('gives each answer an id of its own', async () => {
    const ids = await Promise.all([1, 2, 3].map(async () => (await get(api, '/health')).headers['x-request-id']))
    expect(new Set(ids).size).toBe(3)
  })
})

describe('a database that stops', () => {
  it('is a 503 for every kind of request, and the API recovers by itself', async () => {
    const db = await startTestDatabase()
    const door = await databaseDoor(db.url)
    const database = openDatabase(door.url, 4, () => undefined)
    const app = await buildApp(readConfig({ DATABASE_URL: door.url }), { ...api.deps, database })
    const facility = { name: 'Wren House', timeZone: 'UTC' }
    expect((await post({ app }, '/facilities', facility)).status).toBe(201)
    await door.shut()
    for (let round = 0; round < 2; round++) {
      isProblem(await get({ app }, '/triage'), 503, 'unavailable')
      isProblem(await get({ app }, `/facilities/${uuidv7()}`), 503, 'unavailable')
      isProblem(await post({ app }, '/facilities', { ...facility, name: 'Never' }), 503, 'unavailable')
      isProblem(await post({ app }, '/readings', { readings: [goodTest(api, uuidv7())] }), 503, 'unavailable')
      isProblem(await get({ app }, '/ready'), 503, 'unavailable')
      expect((await get({ app }, '/health')).status).toBe(200)
    }
    await door.reopen()
    expect((await get({ app }, '/facilities')).body.items.map(({ name }: { name: string }) => name)).toEqual([
      'Wren House',
    ])
    await app.close()
    await database.close()
    await door.shut()
    await db.stop()
  })
})

describe('the log', () => {
  it('holds requests with their ids and no secret', async () => {
    let log = ''
    const stream = new Writable({
      write(chunk, _encoding, done) {
        log += chunk
        done()
      },
    })
    const logged = await startTestApi({}, makeLogger('trace', stream))
    const controller = await makeController(logged, (await makeRoom(logged, (await makeFacility(logged)).id)).id)
    const { body: gateway } = await post(logged, '/gateways', { name: 'Cellar', controllerIds: [controller.id] })
    expect(gateway.token.length).toBeGreaterThan(20)
    const payload = {
      batchId: uuidv7(),
      samples: [{ bodyId: uuidv7(), at: '2026-11-25T05:00:00Z', values: { ph: 7 } }],
    }
    for (const token of [gateway.token, 'wrong-token-of-somebody']) {
      const headers = { authorization: `Bearer ${token}`, cookie: 'session=very-secret' }
      await logged.app.inject({ method: 'POST', url: '/samples', headers, payload })
    }
    const requestId = (await get(logged, '/health')).headers['x-request-id']
    logged.deps.logger.error({ headers: { authorization: `Bearer ${gateway.token}` } }, 'as a library might log it')
    await logged.stop()
    expect(log).toContain(requestId)
    expect(log).toContain('/samples')
    expect(log).not.toContain(gateway.token)
    expect(log).not.toContain('wrong-token-of-somebody')
    expect(log).not.toContain('very-secret')
    expect(log).not.toContain(new URL(logged.db.url).password || 'a server without passwords')
  })
})

describe('the document of the API', () => {
  it('is valid OpenAPI and names every endpoint of the contract', async () => {
    const { status, body } = await get(api, '/openapi.json')
    expect(status).toBe(200)
    const { valid, errors } = await new Validator().validate(structuredClone(body))
    expect(errors ?? []).toEqual([])
    expect(valid).toBe(true)
    for (const endpoint of Object.values(endpoints) as Endpoint[]) {
      const path = endpoint.path.replace(/:(\w+)/g, '{$1}')
      const described = body.paths[path]?.[endpoint.method.toLowerCase()]
      expect(described, `${endpoint.method} ${path}`).toMatchObject({ summary: endpoint.summary })
      expect(described.responses).toHaveProperty(String(endpoint.status))
      expect(described.responses).toHaveProperty('default')
    }
    expect(body.components.schemas.Problem.properties).toHaveProperty('requestId')
  })

  it('can be read as a page', async () => {
    const answer = await get(api, '/docs')
    expect(answer.status).toBe(200)
    expect(answer.type).toContain('text/html')
  })
})

describe('the process', () => {
  let db: TestDatabase
  let running: ApiProcess | undefined
  beforeAll(async () => {
    db = await startTestDatabase()
  })
  afterEach(() => {
    if (running?.child.exitCode === null) running.child.kill('SIGKILL')
    running = undefined
  })
  afterAll(() => db.stop())

  it('finishes the requests under way, assesses by the clock, and ends', async () => {
    running = await startApiProcess(db.url)
    const { address, child, ended, log } = running
    const send = async (path: string, body: object) => {
      const answer = await fetch(address + path, {
        method: 'POST',
        headers: { 'content-type': 'application/json' },
        body: JSON.stringify(body),
      })
      return { status: answer.status, body: (await answer.json()) as { id: string } }
    }
    const facility = await send('/facilities', { name: 'Finch Hall', timeZone: 'UTC' })
    const pool = {
      facilityId: facility.body.id,
      name: 'Pool',
      useClass: 'pool',
      setting: 'indoor',
      sanitizerSystem: 'hypochlorite',
      cyanuricAcidUsed: false,
    }
    const { body } = await send('/bodies', pool)

    await db.pool.query(`UPDATE standing SET due_at = now(), assessed_at = '2026-01-01' WHERE body_id = $1`, [body.id])
    const assessed = async () =>
      (await db.pool.query(`SELECT assessed_at > '2026-02-01' AS anew FROM standing`)).rows.every(({ anew }) => anew)
    for (let wait = 0; wait < 100 && !(await assessed()); wait++) await sleep(100)
    expect(await assessed()).toBe(true)

    const holder = await db.pool.connect()
    await holder.query('BEGIN')
    await holder.query('SELECT FROM body FOR UPDATE')
    const clock = { clock: { now: new Date() } }
    const underWay = send('/readings', { readings: [goodTest(clock as TestApi, body.id)] })
    const waiting = `SELECT count(*)::int AS n FROM pg_stat_activity WHERE wait_event_type = 'Lock' AND datname = current_database()`
    while ((await db.pool.query(waiting)).rows[0].n === 0) await sleep(20)
    child.kill('SIGTERM')
    while (!log().includes('stopping')) await sleep(20)
    await expect(fetch(`${address}/health`, { headers: { connection: 'close' } })).rejects.toThrow()
    await holder.query('COMMIT')
    holder.release()
    expect((await underWay).status).toBe(201)
    expect(await ended).toBe(0)
    expect(log()).toContain('stopped')
  })

  it('waits for a database that does not answer yet, and says so', async () => {
    const door = await databaseDoor(db.url)
    await door.shut()
    const starting = startApiProcess(door.url)
    await sleep(3000)
    await door.reopen()
    running = await starting
    expect(running.log()).toMatch(/the database does not answer .*waiting for it/)
    expect((await fetch(`${running.address}/ready`)).status).toBe(200)
    running.child.kill('SIGTERM')
    expect(await running.ended).toBe(0)
    await door.shut()
  })

  it('says which port is in use, and ends', async () => {
    running = await startApiProcess(db.url)
    const second = startApiProcess(db.url, { PORT: new URL(running.address).port })
    await expect(second).rejects.toThrow('the port is in use: set PORT to another')
  })

  it('names what its environment lacks', async () => {
    await expect(startApiProcess('', { PORT: 'high' })).rejects.toThrow(/DATABASE_URL[\s\S]*PORT/)
  })
})

// An API on a database of its own, a clock that tests move, and a small company to work with.
import type { Body, Channel, Controller, Drum, EquipmentRoom, Facility, Feeder, Problem } from '@sightglass/contract'
import type { FastifyInstance } from 'fastify'
import pino from 'pino'
import { uuidv7 } from 'uuidv7'
import { buildApp, type Config, type Database, openDatabase, readConfig } from '../../../apps/api/src/index.ts'
import { startTestDatabase, type TestDatabase } from '../../support/database.ts'

export const START = new Date('2026-11-25T06:00:00Z')

export interface TestApi {
  app: FastifyInstance
  config: Config
  database: Database
  db: TestDatabase
  /** What the clock says; tests move it. */
  clock: { now: Date }
  deps: { database: Database; logger: pino.Logger; now: () => Date }
  stop(): Promise<void>
}

export async function startTestApi(
  env: Record<string, string> = {},
  logger = pino({ level: 'silent' }),
): Promise<TestApi> {
  const db = await startTestDatabase()
  const config = readConfig({ DATABASE_URL: db.url, ASSESS_EVERY_S: '0', ...env })
  const database = openDatabase(db.url, config.databasePool, () => undefined)
  const clock = { now: START }
  const deps = { database, logger, now: () => clock.now }
  const app = await buildApp(config, deps)
  return {
    app,
    config,
    database,
    db,
    clock,
    deps,
    async stop() {
      await app.close()
      await database.close()
      await db.stop()
    },
  }
}

// biome-ignore lint/suspicious/noExplicitAny: a test says what it expects of an answer by its expectations
type Anything = any

export interface Answer<Content = Anything> {
  status: number
  body: Content
  type: string
  headers: Record<string, unknown>
}

/** One request; the answer's JSON is whatever the test expects it to be. */
export async function ask<Content = Anything>(
  { app }: Pick<TestApi, 'app'>,
  method: 'GET' | 'POST' | 'PATCH' | 'DELETE',
  url: string,
  payload?: object,
): Promise<Answer<Content>> {
  const answer = await app.inject({ method, url, ...(payload && { payload }) })
  const type = String(answer.headers['content-type'] ?? '')
  const body = type.includes('json') ? answer.json() : answer.body
  return { status: answer.statusCode, body, type, headers: answer.headers }
}

export const get = <Content = Anything>(api: Pick<TestApi, 'app'>, url: string) => ask<Content>(api, 'GET', url)
export const post = <Content = Anything>(api: Pick<TestApi, 'app'>, url: string, payload: object = {}) =>
  ask<Content>(api, 'POST', url, payload)
export const patch = <Content = Anything>(api: Pick<TestApi, 'app'>, url: string, payload: object) =>
  ask<Content>(api, 'PATCH', url, payload)

/** The field paths that a problem names. */
export const pathsOf = ({ body }: Answer<Problem>) => (body.fields ?? []).map(({ path }) => path)

/** Makes a thing or fails the test. */
export async function made<Thing>(api: TestApi, url: string, payload: object): Promise<Thing> {
  const { status, body } = await post(api, url, payload)
  if (status !== 201) throw new Error(`POST ${url} answered ${status}: ${JSON.stringify(body)}`)
  return body
}

let count = 0
export const anyName = (word: string) => `${word} ${++count}`

export const makeFacility = (api: TestApi, given: object = {}) =>
  made<Facility>(api, '/facilities', { name: anyName('Tern House'), timeZone: 'America/Chicago', ...given })

export const makeRoom = (api: TestApi, facilityId: string, given: object = {}) =>
  made<EquipmentRoom>(api, '/equipment-rooms', { facilityId, name: anyName('Basement'), ...given })

export const bodyOf = <Given extends object>(facilityId: string, given: Given = {} as Given) => ({
  facilityId,
  name: anyName('Lap pool'),
  useClass: 'pool',
  setting: 'indoor',
  sanitizerSystem: 'hypochlorite',
  cyanuricAcidUsed: false,
  ...given,
})
export const makeBody = (api: TestApi, facilityId: string, given: object = {}) =>
  made<Body>(api, '/bodies', bodyOf(facilityId, given))

export const makeController = (api: TestApi, equipmentRoomId: string, given: object = {}) =>
  made<Controller>(api, '/controllers', { equipmentRoomId, name: anyName('Controller'), ...given })

export const makeChannel = (api: TestApi, controllerId: string, bodyId: string, quantity = 'ph') =>
  made<Channel>(api, '/channels', { controllerId, bodyId, quantity })

export const makeDrum = (api: TestApi, equipmentRoomId: string, given: object = {}) =>
  made<Drum>(api, '/drums', {
    equipmentRoomId,
    name: anyName('Drum'),
    content: 'sodiumHypochlorite',
    capacityL: 200,
    ...given,
  })

export const makeFeeder = (api: TestApi, bodyId: string, given: object = {}) =>
  made<Feeder>(api, '/feeders', { bodyId, name: anyName('Pump'), role: 'primary', kind: 'pump', ...given })

/** A facility with one room, one body, one controller that reports pH and ORP, one drum and its feeder. */
export async function makePlant(api: TestApi) {
  const facility = await makeFacility(api)
  const room = await makeRoom(api, facility.id)
  const body = await makeBody(api, facility.id, { equipmentRoomId: room.id })
  const controller = await makeController(api, room.id)
  const channels = [
    await makeChannel(api, controller.id, body.id, 'ph'),
    await makeChannel(api, controller.id, body.id, 'orpMv'),
  ]
  const drum = await makeDrum(api, room.id)
  const feeder = await makeFeeder(api, body.id, { drumId: drum.id })
  return { facility, room, body, controller, channels, drum, feeder }
}

/** A test of good water, minutes before the clock's time. */
export const goodTest = (api: TestApi, bodyId: string, given: { values?: object; [key: string]: unknown } = {}) => ({
  id: uuidv7(),
  bodyId,
  at: new Date(+api.clock.now - 5 * 60_000).toISOString(),
  person: 'Ines Calloway',
  method: 'photometer',
  ...given,
  values: {
    freeChlorineMgL: 3,
    totalChlorineMgL: 3.1,
    ph: 7.4,
    totalAlkalinityMgL: 90,
    calciumHardnessMgL: 280,
    tempC: 27,
    ...given.values,
  },
})

export const test = (api: TestApi, bodyId: string, given: { values?: object; [key: string]: unknown } = {}) =>
  made<{ readings: { id: string }[]; repeated: number }>(api, '/readings', { readings: [goodTest(api, bodyId, given)] })

/** One sample with its hour, as the ingest door would have stored them; columns by their names in the tables. */
export async function hear(api: TestApi, bodyId: string, at: Date, sample: Record<string, number | boolean>) {
  const { pool } = api.db
  await pool.query('SELECT ensure_sample_partitions($1, $1)', [at])
  const columns = Object.keys(sample)
  const places = columns.map((_, index) => `$${index + 3}`)
  await pool.query(`INSERT INTO sample (body_id, at, ${columns.join(', ')}) VALUES ($1, $2, ${places.join(', ')})`, [
    bodyId,
    at,
    ...Object.values(sample),
  ])
  await pool.query(
    `INSERT INTO sample_hour (body_id, hour, samples, covered_min, ph_min, ph_mean, ph_max, orp_mv_min, orp_mv_mean, orp_mv_max)
    VALUES ($1, date_trunc('hour', $2::timestamptz), 1, 15, $3, $3, $3, $4, $4, $4) ON CONFLICT DO NOTHING`,
    [bodyId, at, sample.ph ?? null, sample.orp_mv ?? null],
  )
}

export const hoursBefore = (api: TestApi, hours: number) => new Date(+api.clock.now - hours * 3_600_000)

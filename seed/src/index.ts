import { assessBodies, buildApp, type Database, type Deps, openDatabase, readConfig } from '@sightglass/api'
import type { DrumReading } from '@sightglass/chemistry/plant'
import { endpoints, type ReadingCreate, type WorkCreate } from '@sightglass/contract'
import type { FastifyInstance } from 'fastify'
import { pino } from 'pino'
import { type Company, type CompanyBody, type CompanyFacility, makeCompany } from './company/index.ts'
import { inTurns } from './write/door.ts'
import { incidentTests, writeIncident } from './write/incidents.ts'
import { writeOutOfUse } from './write/outOfUse.ts'
import { writeFacility } from './write/plant.ts'
import { readingOf, writeLevel, writeReadings } from './write/readings.ts'
import { runAndStore } from './write/samples.ts'
import { workOf, writeWork } from './write/work.ts'

export interface SeedOptions {
  /** An empty, migrated database. */
  databaseUrl: string
  /** The last simulated instant, rounded down to five minutes; default: now. */
  now?: Date
  /** Another seed gives the company other numbers. */
  seed?: string
  days?: number
  /** How much is done, 0 to 1, and what is being done. */
  onProgress?: (part: number, doing: string) => void
}

export interface Seeded {
  facilities: number
  bodies: number
  samples: number
  readings: number
  drumLevels: number
  work: number
}

/**
 * Writes the demo company through the doors of the API. Either all of it is there in the end, or the database is as empty
 * as before and the error says what failed.
 */
export async function seedDemo(options: SeedOptions): Promise<Seeded> {
  const now = options.now ?? new Date()
  const company = makeCompany({ nowMs: +now, seed: options.seed, days: options.days })
  const logger = pino({ level: 'error' }, pino.destination(2))
  const config = readConfig({
    DATABASE_URL: options.databaseUrl,
    REQUESTS_PER_MINUTE: '1000000',
    ASSESS_EVERY_S: '0',
  })
  const database = openDatabase(config.databaseUrl, config.databasePool, (error) => logger.error(error))
  // judged as of the company's last moment, and only once, when everything is written
  const deps: Deps = { database, logger, now: () => new Date(company.nowMs), judgeLater: true }
  try {
    const app = await buildApp(config, deps)
    try {
      await refuseUnlessEmpty(app)
      return await emptiedOnFailure(database, () => write(app, deps, company, options.onProgress ?? (() => {})))
    } finally {
      await app.close()
    }
  } finally {
    await database.close()
  }
}

async function refuseUnlessEmpty(app: FastifyInstance): Promise<void> {
  const answer = await app.inject({ method: 'GET', url: `${endpoints.listFacilities.path}?limit=1&retired=true` })
  if (answer.statusCode !== 200) throw new Error(`The facilities cannot be read: ${answer.body}`)
  const { total } = answer.json() as { total: number }
  if (total > 0)
    throw new Error(
      `The database holds ${total} facilities: the demo is written only into an empty one. Give it another database.`,
    )
}

async function emptiedOnFailure<T>(database: Database, work: () => Promise<T>): Promise<T> {
  try {
    return await work()
  } catch (error) {
    // cascades to everything that stands at a facility; samples carry no foreign key
    await database.pool.query('TRUNCATE facility, sample, sample_hour CASCADE')
    throw error
  }
}

/** Each level is a request of its own: the days that supply is judged by, and half as many again. */
const LEVELS_KEPT_MS = 45 * 86_400_000

type Progress = NonNullable<SeedOptions['onProgress']>

async function write(app: FastifyInstance, deps: Deps, company: Company, onProgress: Progress): Promise<Seeded> {
  const bodies = company.facilities.flatMap((facility) => facility.bodies.map((body) => ({ facility, body })))
  let done = 0
  await inTurns(company.facilities, 4, async (facility) => {
    onProgress((0.1 * done++) / company.facilities.length, `facility ${facility.name}`)
    await writeFacility(app, facility)
  })

  const readings: ReadingCreate[] = []
  const levels: { facility: CompanyFacility; body: CompanyBody; level: DrumReading }[] = []
  const work: WorkCreate[] = []
  let samples = 0
  done = 0
  await runAndStore(deps, company, bodies, (ran) => {
    const { facility, body } = ran
    samples += ran.samples
    const tests = [...ran.readings, ...incidentTests(body, company.nowMs)]
    readings.push(...tests.map((test) => readingOf(facility, body, test)))
    const kept = ran.drumLevels.filter(({ atMs }) => atMs > company.nowMs - LEVELS_KEPT_MS)
    levels.push(...kept.map((level) => ({ facility, body, level })))
    work.push(...ran.work.map((one) => workOf(facility, body, one)))
    onProgress(0.1 + (0.7 * ++done) / bodies.length, `${company.days} days of ${body.name}, ${facility.name}`)
  })

  onProgress(0.8, `${readings.length} tests by hand`)
  await writeReadings(app, readings)
  onProgress(0.87, `${levels.length} drum levels`)
  await inTurns(levels, 4, ({ facility, body, level }) => writeLevel(app, facility, body, level))

  onProgress(0.95, `${work.length} entries in the log of work`)
  await writeWork(app, work)

  onProgress(0.96, 'incidents, and what is out of use')
  for (const { facility, body } of bodies) {
    await writeIncident(app, facility, body, company.nowMs)
    await writeOutOfUse(app, facility, body, company.nowMs)
  }

  onProgress(0.97, 'judging every body')
  await assessBodies(
    deps,
    bodies.map(({ body }) => body.id),
  )
  onProgress(1, 'done')
  return {
    facilities: company.facilities.length,
    bodies: bodies.length,
    samples,
    readings: readings.length,
    drumLevels: levels.length,
    work: work.length,
  }
}

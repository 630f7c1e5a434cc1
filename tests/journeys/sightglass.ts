// The whole of Sightglass for one suite: PostgreSQL, API and web app as they are served, and a browser in front of them.
import { mkdirSync } from 'node:fs'
import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { Body, Controller, Facility, Overview } from '@sightglass/contract'
import type { FastifyInstance } from 'fastify'
import pino from 'pino'
import type { Browser, Locator, Page } from 'playwright-core'
import { uuidv7 } from 'uuidv7'
import { buildApp, type Deps, openDatabase, readConfig } from '../../apps/api/src/index.ts'
import { openBrowser, openPage, type PageOptions } from '../support/browser.ts'
import { startTestDatabase } from '../support/database.ts'
import { startTestWeb } from '../support/web.ts'

export interface Sightglass {
  url: string
  apiUrl: string
  /** The API within this process, and what it works with. */
  app: FastifyInstance
  deps: Deps
  browser: Browser
  open: (path: string, options?: PageOptions) => Promise<Page>
  stop: () => Promise<void>
}

export async function startSightglass(): Promise<Sightglass> {
  const db = await startTestDatabase()
  const uploads = await mkdtemp(join(tmpdir(), 'sightglass-journey-'))
  const config = readConfig({ DATABASE_URL: db.url, ASSESS_EVERY_S: '0', UPLOAD_DIR: uploads })
  const database = openDatabase(db.url, config.databasePool, () => undefined)
  const deps: Deps = { database, logger: pino({ level: 'silent' }), now: () => new Date() }
  const app = await buildApp(config, deps)
  const apiUrl = await app.listen({ host: '127.0.0.1', port: 0 })
  const web = await startTestWeb(apiUrl)
  const browser = await openBrowser()
  return {
    url: web.url,
    apiUrl,
    app,
    deps,
    browser,
    async open(path, options) {
      const page = await openPage(browser, options)
      await page.goto(`${web.url}${path}`)
      return page
    },
    async stop() {
      await browser.close()
      await web.stop()
      await app.close()
      await database.close()
      await db.stop()
      await rm(uploads, { recursive: true, force: true })
    },
  }
}

/** Makes a thing through the API or fails the journey. */
export async function made<Thing>({ apiUrl }: Sightglass, path: string, payload?: object): Promise<Thing> {
  const answer = await fetch(`${apiUrl}${path}`, {
    method: 'POST',
    ...(payload && { headers: { 'content-type': 'application/json' }, body: JSON.stringify(payload) }),
  })
  if (!answer.ok) throw new Error(`POST ${path} answered ${answer.status}: ${await answer.text()}`)
  return (await answer.json()) as Thing
}

export const makeFacility = (sightglass: Sightglass, name: string, area = 'Harbor') =>
  made<Facility>(sightglass, '/facilities', { name, area, timeZone: 'America/Chicago' })

export const makeBody = (sightglass: Sightglass, facility: Facility, name: string, given: object = {}) =>
  made<Body>(sightglass, '/bodies', {
    facilityId: facility.id,
    name,
    useClass: 'pool',
    setting: 'indoor',
    sanitizerSystem: 'hypochlorite',
    cyanuricAcidUsed: false,
    volumeL: 400_000,
    ...given,
  })

/** A controller with the usual channels for each of the bodies. */
export async function makeController(sightglass: Sightglass, facility: Facility, bodies: Body[]) {
  const room = await made<{ id: string }>(sightglass, '/equipment-rooms', {
    facilityId: facility.id,
    name: 'Plant room',
  })
  const controller = await made<Controller>(sightglass, '/controllers', {
    equipmentRoomId: room.id,
    name: 'Controller',
  })
  for (const body of bodies)
    for (const quantity of ['ph', 'orpMv', 'tempC', 'flowOn', 'sanitizerFeedPct'])
      await made(sightglass, '/channels', { controllerId: controller.id, bodyId: body.id, quantity })
  return controller
}

/** Water in which nothing is wrong, by the default profile, in an indoor pool without cyanuric acid. */
export const GOOD_WATER = {
  freeChlorineMgL: 2.5,
  totalChlorineMgL: 2.6,
  ph: 7.4,
  totalAlkalinityMgL: 100,
  calciumHardnessMgL: 300,
  tempC: 27,
}

const HOUR_MS = 3_600_000

/** A test of the given values, an hour ago unless said otherwise, and what became of the body's standing. */
export async function test(sightglass: Sightglass, body: Body, values: object, hoursAgo = 1): Promise<Overview> {
  const at = new Date(Date.now() - hoursAgo * HOUR_MS).toISOString()
  const reading = { id: uuidv7(), bodyId: body.id, at, person: 'D. Fenn', method: 'dropTest', values }
  await made(sightglass, '/readings', { readings: [{ ...reading, confirmed: Object.keys(values) }] })
  return (await fetch(`${sightglass.apiUrl}/bodies/${body.id}`)).json() as Promise<Overview>
}

/** What a person reads there, lines apart. */
// biome-ignore lint/performance/useDomNodeTextContent: this is the browser driver's, and lines matter
export const wordsOf = (locator: Locator) => locator.innerText()

const folder = new URL('screenshots/', import.meta.url).pathname

/** Kept for people to look at; not part of the repository. */
export async function picture(page: Page, name: string, { whole = false } = {}) {
  mkdirSync(folder, { recursive: true })
  await page.screenshot({ path: join(folder, `${name}.png`), fullPage: whole })
}

// Every screen, wide and narrow: axe finds nothing, nothing is written to the console, nothing scrolls sideways; and a
// picture of each for people to look at.
import type { Body, Facility, IncidentDetail, Overview } from '@sightglass/contract'
import type { Page } from 'playwright-core'
import { uuidv7 } from 'uuidv7'
import { afterAll, beforeAll, expect, it } from 'vitest'
import { axeFindings, pageErrors } from '../support/browser.ts'
import {
  GOOD_WATER,
  made,
  makeBody,
  makeController,
  makeFacility,
  picture,
  type Sightglass,
  startSightglass,
  test,
} from './sightglass.ts'

let sightglass: Sightglass
let hotel: Facility
let pool: Body
let overview: Overview
let incident: IncidentDetail
beforeAll(async () => {
  sightglass = await startSightglass()
  hotel = await makeFacility(sightglass, 'Saltmarsh Hotel')
  const club = await makeFacility(sightglass, 'Quayside Club', 'Mesa')
  pool = await makeBody(sightglass, hotel, 'Lap pool')
  const spa = await makeBody(sightglass, hotel, 'Spa', { useClass: 'spa', sanitizerSystem: 'bromine', volumeL: 6000 })
  const splash = await makeBody(sightglass, club, 'Splash pad', { useClass: 'splash' })
  await makeBody(sightglass, club, 'Wading pool', { useClass: 'wading', setting: 'outdoor', cyanuricAcidUsed: true })
  await makeController(sightglass, hotel, [pool])
  await test(sightglass, spa, { bromineMgL: 5, ph: 7.5, totalAlkalinityMgL: 100, calciumHardnessMgL: 250, tempC: 38 })
  await test(sightglass, splash, { ...GOOD_WATER, freeChlorineMgL: 4, totalChlorineMgL: 4 })
  incident = await made(sightglass, '/incidents', {
    id: uuidv7(),
    bodyId: splash.id,
    kind: 'diarrhea',
    at: new Date(Date.now() - 2 * 3_600_000).toISOString(),
    person: 'D. Fenn',
  })
  await test(sightglass, splash, { freeChlorineMgL: 22, totalChlorineMgL: 22, ph: 7.6, cyanuricAcidMgL: 0 }, 0.5)
  overview = await test(sightglass, pool, { ...GOOD_WATER, freeChlorineMgL: 0.4, totalChlorineMgL: 1.4, ph: 8.3 })
})
afterAll(() => sightglass?.stop())

const SCREENS: [name: string, path: () => string][] = [
  ['triage', () => '/'],
  ['triage-grouped', () => '/?group=facility'],
  ['body', () => `/bodies/${pool.id}`],
  ['reading-choose', () => '/readings/new'],
  ['reading-new', () => `/readings/new?bodyId=${pool.id}`],
  ['reading-correct', () => `/bodies/${pool.id}/readings/${overview.readings[0]?.id}/correct`],
  ['sheet', () => `/readings/sheet?facilityId=${hotel.id}`],
  ['imports', () => '/imports'],
  ['import-new', () => `/imports/new?facilityId=${hotel.id}`],
  ['facilities', () => '/facilities'],
  ['facility-new', () => '/facilities/new'],
  ['facility', () => `/facilities/${hotel.id}`],
  ['profiles', () => '/profiles'],
  ['profile', () => '/profiles/cdc-mahc'],
  ['incident-new', () => `/bodies/${pool.id}/incidents/new`],
  ['incident', () => `/bodies/${incident.bodyId}/incidents/${incident.id}`],
  ['incident-correct', () => `/bodies/${incident.bodyId}/incidents/${incident.id}/correct`],
  ['incidents', () => `/bodies/${incident.bodyId}/incidents`],
  ['gateways', () => '/gateways'],
]

const SIZES = [
  ['wide', { width: 1440, height: 900 }],
  // zooming a 1440 px window to 200 % leaves 720 px for the page
  ['zoomed', { width: 720, height: 450 }],
  ['narrow', { width: 390, height: 844 }],
] as const

async function lookAt(page: Page, name: string) {
  for (const [width, size] of SIZES) {
    await page.setViewportSize(size)
    await picture(page, `${name}-${width}`, { whole: true })
    expect(await page.evaluate(() => document.documentElement.scrollWidth), width).toBeLessThanOrEqual(size.width)
    if (width !== 'zoomed') expect(await axeFindings(page), width).toEqual([])
  }
}

it.each(SCREENS)('%s is sound, wide, zoomed and narrow', async (name, path) => {
  const page = await sightglass.open(path())
  await page.waitForLoadState('networkidle')
  await lookAt(page, name)
  expect(pageErrors(page)).toEqual([])
  await page.context().close()
})

it('a page that there is not says so', async () => {
  const page = await sightglass.open('/bodies/nowhere')
  await page.getByRole('heading', { name: 'There is nothing here' }).waitFor()
  await lookAt(page, 'nowhere')
  await page.context().close()
})

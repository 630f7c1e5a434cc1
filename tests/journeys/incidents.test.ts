import type { Body, IncidentDetail } from '@sightglass/contract'
import type { Page } from 'playwright-core'
import { uuidv7 } from 'uuidv7'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { axeFindings, pageErrors } from '../support/browser.ts'
import {
  GOOD_WATER,
  made,
  makeBody,
  makeFacility,
  picture,
  type Sightglass,
  startSightglass,
  test,
  wordsOf,
} from './sightglass.ts'

let sightglass: Sightglass
let pool: Body
let spa: Body
let plunge: Body
beforeAll(async () => {
  sightglass = await startSightglass()
  const hotel = await makeFacility(sightglass, 'Curlew Hotel')
  pool = await makeBody(sightglass, hotel, 'Lap pool')
  spa = await makeBody(sightglass, hotel, 'Spa', { useClass: 'spa', volumeL: 6000 })
  plunge = await makeBody(sightglass, hotel, 'Plunge', { sanitizerSystem: 'bromine', volumeL: 9000 })
  for (const body of [pool, spa])
    await test(sightglass, body, { ...GOOD_WATER, freeChlorineMgL: 3.5, totalChlorineMgL: 3.6, cyanuricAcidMgL: 0 }, 3)
})
afterAll(() => sightglass?.stop())

const PHONE = { width: 390, height: 844 }
const HOUR = 3_600_000
const report = (body: Body, kind: string, hoursAgo: number, given: object = {}) =>
  made<IncidentDetail>(sightglass, '/incidents', {
    id: uuidv7(),
    bodyId: body.id,
    kind,
    at: new Date(Date.now() - hoursAgo * HOUR).toISOString(),
    person: 'D. Fenn',
    ...given,
  })
const openPage = (incident: IncidentDetail, options?: object) =>
  sightglass.open(`/bodies/${incident.bodyId}/incidents/${incident.id}`, options)
const alerts = (page: Page) => page.getByRole('alert').allInnerTexts()

describe('an incident on a phone', () => {
  it('is reported from the body’s page, closes the body, is followed by tests and closed after its checks', async () => {
    const page = await sightglass.open(`/bodies/${pool.id}`, PHONE)
    await page.getByRole('link', { name: 'Report an incident' }).click()
    await page.waitForURL('**/incidents/new')
    await page.getByRole('button', { name: 'Report it and close the body' }).click()
    await expect.poll(() => alerts(page)).toEqual(expect.arrayContaining(['must be chosen', 'must name the person']))
    await page.getByRole('radio', { name: /Formed stool/ }).check()
    await page.getByLabel('Person').fill('D. Fenn')
    await page.getByLabel('Note').fill('By the steps')
    expect(await axeFindings(page)).toEqual([])

    // what is typed outlives the page; an hour and a half ago it was
    await page.reload()
    await expect.poll(() => page.getByRole('radio', { name: /Formed stool/ }).isChecked()).toBe(true)
    const at = await page.getByLabel('When it happened').inputValue()
    await page.getByLabel('When it happened').fill(earlier(at, 90))
    await page.getByRole('button', { name: 'Report it and close the body' }).click()
    await page.getByRole('heading', { name: 'Formed stool', level: 1 }).waitFor()
    expect(await wordsOf(page.locator('.step-now'))).toMatch(/Get everyone out of the water/)
    expect(await axeFindings(page)).toEqual([])

    await page.goto(`${sightglass.url}/`)
    expect(await wordsOf(page.getByRole('article').first())).toMatch(
      /Close[\s\S]*Lap pool[\s\S]*Formed stool in the water/,
    )

    const held = { ...GOOD_WATER, freeChlorineMgL: 2.5, ph: 7.4, tempC: 27 }
    await test(sightglass, pool, held, 1.2)
    await test(sightglass, pool, { ...held, ph: 7.6 }, 1)
    await page.goto(`${sightglass.url}/bodies/${pool.id}`)
    await page.getByRole('link', { name: 'The open incident' }).click()
    await page.getByText('Does not count: pH 7.6 is over 7.5.').waitFor()
    expect(await wordsOf(page.locator('.incident-timer'))).toMatch(/Stands still/)
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(390)

    await test(sightglass, pool, held, 0.9)
    await test(sightglass, pool, held, 0.2)
    await page.reload()
    expect(await wordsOf(page.locator('.incident-timer'))).toMatch(/100 %\s*Reached/)
    expect(await axeFindings(page)).toEqual([])
    await picture(page, 'incident-phone', { whole: true })
    await page.getByRole('button', { name: 'Close the incident' }).click()
    await expect.poll(() => alerts(page)).toContain('Each of them must be confirmed.')
    for (const check of await page.getByRole('checkbox').all()) await check.check()
    await page.getByRole('button', { name: 'Close the incident' }).click()
    await page.getByText('D. Fenn closed it').waitFor()
    expect(await axeFindings(page)).toEqual([])

    await page.goto(`${sightglass.url}/bodies/${pool.id}`)
    await page.getByRole('heading', { name: 'Lap pool' }).waitFor()
    expect(await page.getByRole('link', { name: 'The open incident' }).count()).toBe(0)
    await page.getByRole('link', { name: 'Incidents', exact: true }).click()
    await page.getByText(/Closed .* by D\. Fenn/).waitFor()
    expect(await axeFindings(page)).toEqual([])
    expect(pageErrors(page)).toEqual([])
    await page.context().close()
  })

  it('is reported once, although its answer is lost on the way back', async () => {
    const page = await sightglass.open(`/bodies/${plunge.id}/incidents/new`, PHONE)
    await page.getByRole('radio', { name: /Vomit/ }).check()
    await page.getByLabel('Person').fill('A. Quill')
    await page.route('**/api/incidents', async (route) => {
      await route.fetch()
      await route.abort()
    })
    await page.getByRole('button', { name: 'Report it and close the body' }).click()
    await page.getByText('The Sightglass API does not answer').waitFor()
    await page.unroute('**/api/incidents')
    await page.getByRole('button', { name: 'Report it and close the body' }).click()
    await page.getByRole('heading', { name: 'Vomit', level: 1 }).waitFor()
    // bromine: nothing published fits
    expect(await wordsOf(page.locator('.incident-timer'))).toMatch(/No time to hold[\s\S]*for bromine none was read/)
    await page.getByRole('link', { name: 'All of this body' }).click()
    await page.getByRole('heading', { name: 'Incidents of Plunge' }).waitFor()
    expect(await page.locator('.incident-list li').count()).toBe(1)
    await page.context().close()
  })
})

describe('an incident at the desk', () => {
  it('says what to add, takes what the health department asks, and is not closed early without a name', async () => {
    const incident = await report(spa, 'diarrhea', 2)
    await test(sightglass, spa, { ...GOOD_WATER, freeChlorineMgL: 5, totalChlorineMgL: 5, tempC: 38 }, 1)
    const page = await openPage(incident)
    const doses = page.getByRole('region', { name: 'What to add now' })
    expect(await wordsOf(doses)).toMatch(/Raise free chlorine from 5\.0\sppm to 22\sppm/)
    expect(await axeFindings(page)).toEqual([])
    await picture(page, 'incident-desk', { whole: true })

    await page.getByRole('link', { name: 'Correct, or add an instruction' }).click()
    await page.getByLabel('Why it is corrected').fill('The health department called back')
    await page.getByLabel('It named a level and a time of its own').check()
    await page.getByLabel('Free chlorine to hold, ppm').fill('0')
    await page.getByLabel('For how many minutes').fill('600')
    await page.getByLabel('Who asked for it').fill('Harbor county health department')
    expect(await axeFindings(page)).toEqual([])
    await page.getByLabel('Person').fill('D. Fenn')
    await page.getByRole('button', { name: 'Store the correction' }).click()
    await expect.poll(() => alerts(page)).toContain('must be at least 1 mg/L of free chlorine')
    await page.getByLabel('Free chlorine to hold, ppm').fill('12')
    await page.getByRole('button', { name: 'Store the correction' }).click()
    await page
      .getByText('Harbor county health department asked for 12 ppm for 600 min')
      .first()
      .waitFor({ timeout: 90_000 })
    await page.getByText('The health department called back').waitFor()
    expect(await wordsOf(page.locator('.incident-timer'))).toMatch(/CT 0 of 7,200/)

    await page.getByText('Close it although the contact time is not proved').click()
    for (const check of await page.getByRole('checkbox').all()) await check.check()
    await page.getByRole('button', { name: 'Close the incident' }).click()
    await expect
      .poll(() => alerts(page))
      .toEqual(expect.arrayContaining(['must name who allows it', 'must say why the contact time need not be reached']))
    await page.getByLabel('Who allows it').fill('Harbor county health department')
    await page.getByLabel('Why', { exact: true }).fill('Drained and filled anew')
    await page.getByRole('button', { name: 'Close the incident' }).click()
    await page.getByText('Harbor county health department allowed it: Drained and filled anew').waitFor()
    // the level of 0 was refused on purpose
    expect(pageErrors(page).filter((words) => !words.includes('400'))).toEqual([])
    await page.context().close()
  })

  it('that there is not is a page that says so; so is what is closed and would be corrected sent to its page', async () => {
    const page = await sightglass.open(`/bodies/${pool.id}/incidents/${uuidv7()}`)
    await page.getByRole('heading', { name: 'There is nothing here' }).waitFor()
    const { items } = await (await fetch(`${sightglass.apiUrl}/incidents?bodyId=${pool.id}&open=false`)).json()
    await page.goto(`${sightglass.url}/bodies/${pool.id}/incidents/${items[0].id}/correct`)
    await page.getByRole('heading', { name: 'Closed' }).waitFor()
    await page.context().close()
  })
})

/** The value of a datetime-local input, so many minutes before. */
function earlier(text: string, minutes: number) {
  const at = new Date(`${text}:00Z`)
  return new Date(+at - minutes * 60_000).toISOString().slice(0, 16)
}

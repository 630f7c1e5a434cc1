// What ORP means and what the feeders do, from the morning list to a set point that was moved.
import type { Body, Controller } from '@sightglass/contract'
import type { Page } from 'playwright-core'
import { uuidv7 } from 'uuidv7'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { axeFindings, pageErrors } from '../support/browser.ts'
import { writeDemoBodies } from './demo.ts'
import {
  GOOD_WATER,
  made,
  makeBody,
  makeController,
  makeFacility,
  picture,
  type Sightglass,
  startSightglass,
  wordsOf,
} from './sightglass.ts'

const HOUR = 3_600_000
let sightglass: Sightglass
let pool: Body
let aged: string
beforeAll(async () => {
  sightglass = await startSightglass()
  const hotel = await makeFacility(sightglass, 'Saltmarsh Hotel')
  pool = await makeBody(sightglass, hotel, 'Practice pool')
  const controller = await makeController(sightglass, hotel, [pool])
  await makeBody(sightglass, hotel, 'Bare pool')
  const places = await writeDemoBodies(sightglass, ['orpProbeAges', 'stabilizerClimbed', 'acidPumpWorn'])
  aged = places[0]?.body.id ?? ''
  await heard(pool, controller)
  await heldTooLow(pool)
})
afterAll(() => sightglass?.stop())

const ago = (hours: number) => new Date(Date.now() - hours * HOUR).toISOString()

/** The last hours as a gateway sends them. */
async function heard({ id: bodyId }: Body, controller: Controller) {
  const gateway = { name: 'Plant room', controllerIds: [controller.id] }
  const { token } = await made<{ token: string }>(sightglass, '/gateways', gateway)
  const values = { orpMv: 740, ph: 7.4, tempC: 27, flowOn: true, sanitizerFeedPct: 5 }
  const samples = Array.from({ length: 36 }, (_, at) => ({ bodyId, at: ago((36 - at) / 12), values }))
  const answer = await sightglass.app.inject({
    method: 'POST',
    url: '/samples',
    headers: { authorization: `Bearer ${token}` },
    payload: { batchId: uuidv7(), samples },
  })
  expect(answer.statusCode, answer.body).toBe(200)
}

/** Forty days in which the controller held 740 mV, and the test kit read under the least that the code asks for. */
async function heldTooLow({ id }: Body) {
  const work = { id: uuidv7(), bodyId: id, kind: 'orpSetPointMoved', orpSetPointMv: 740, person: 'A. Reed' }
  await made(sightglass, '/work', { work: [{ ...work, at: ago(24 * 45) }] })
  const readings = Array.from({ length: 20 }, (_, at) => {
    const freeChlorineMgL = 0.7 + 0.1 * (at % 3)
    return {
      id: uuidv7(),
      bodyId: id,
      at: ago(48 * (19 - at) + 1),
      person: 'A. Reed',
      method: 'dropTest',
      values: { ...GOOD_WATER, freeChlorineMgL, totalChlorineMgL: freeChlorineMgL + 0.1, tdsMgL: 900 },
      displayOrpMv: 740 + (at % 3),
      displayPh: 7.4,
    }
  })
  await made(sightglass, '/readings', { readings })
}

const panel = (page: Page, name: string) => page.getByRole('region', { name, exact: true })
const widthOf = (page: Page) => page.evaluate(() => document.documentElement.scrollWidth)

describe('a set point that no longer holds the target', () => {
  it('is found from the morning list, moved, logged, and drawn as a line from then on', async () => {
    const page = await sightglass.open('/')
    await page.getByRole('link', { name: /Practice pool/ }).click()
    const redox = panel(page, 'Redox')
    await redox.getByText(/Worked out/).waitFor()
    const head = await wordsOf(redox.getByRole('heading', { name: /Move the set point to \d+ mV today/ }))
    const advised = Number(/to (\d+) mV/.exec(head)?.[1])
    expect(advised).toBeGreaterThan(740)
    expect(advised).toBeLessThanOrEqual(755)
    expect(await wordsOf(redox)).toMatch(/Never adjust the ORP probe to agree with the test kit: move its set point\./)
    expect(await wordsOf(redox)).toMatch(/The local code, the product label and the licensed operator come first/)
    const chart = redox.getByRole('img', { name: /^ORP against free hypochlorous acid: 20 pairs/ })
    expect(await wordsOf(chart)).toMatch(new RegExp(`set to 740 mV[\\s\\S]*today: ${advised} mV`))
    await redox.getByText('The 20 pairs as a table').click()
    expect(await redox.getByRole('table').last().getByRole('row').count()).toBe(21)
    expect(await axeFindings(page)).toEqual([])
    await picture(page, 'redox-move', { whole: true })

    await redox.getByRole('link', { name: 'Log that it was moved' }).click()
    await page.getByRole('heading', { name: 'Log work' }).waitFor()
    expect(await page.getByLabel('ORP set point moved').isChecked()).toBe(true)
    expect(await page.getByLabel('Set to, mV').inputValue()).toBe(String(advised))
    await page.getByLabel('Person').fill('D. Fenn')
    await page.getByRole('button', { name: 'Log the work' }).click()
    await page.waitForURL(`**/bodies/${pool.id}`)
    await redox.getByRole('heading', { name: 'Test first' }).waitFor()
    expect(await wordsOf(redox)).toMatch(/The set point was moved less than a day ago/)
    const course = redox.getByRole('img', { name: /^Expected against seen/ })
    await expect.poll(() => wordsOf(course)).toContain(`set to ${advised} mV`)
    expect(pageErrors(page)).toEqual([])
    await page.context().close()
  })
})

describe('a body of which little is known', () => {
  it('says what is missing and how to get it, and draws nothing', async () => {
    const page = await sightglass.open('/')
    await page.getByRole('link', { name: /Bare pool/ }).click()
    const redox = panel(page, 'Redox')
    await redox.getByText(/No test kit reading beside an ORP yet: enter a test with the ORP/).waitFor()
    expect(await redox.getByRole('img').count()).toBe(0)
    await panel(page, 'Feed effort')
      .getByText(/No feeder is entered/)
      .waitFor()
    expect(await panel(page, 'Drums').count()).toBe(0)
    expect(await axeFindings(page)).toEqual([])
    await redox.getByRole('link', { name: 'Enter a test' }).click()
    await page.waitForURL('**/readings/new?bodyId=*')
    await page.context().close()
  })
})

describe('a body of the demo', () => {
  it.each([1440, 390])('shows probe, feed, drums and settings, %i px wide', async (width) => {
    const page = await sightglass.open(`/bodies/${aged}`, { width })
    const [redox, effort, drums, settings] = ['Redox', 'Feed effort', 'Drums', 'Feed settings'].map((name) =>
      panel(page, name),
    ) as [ReturnType<typeof panel>, ...ReturnType<typeof panel>[]]
    await redox.getByText(/Worked out/).waitFor()
    expect(await wordsOf(redox)).toMatch(/In the same water ORP now shows \d+\smV less than it did/)
    await redox.getByRole('row', { name: /Explained by no test −\d+\smV/ }).waitFor()
    await effort
      ?.getByText(/Usually .* a day in the last week\./)
      .first()
      .waitFor()
    expect(await effort?.getByRole('img', { name: /^Run time a day: between/ }).count()).toBe(2)
    expect(await drums?.getByRole('img', { name: /^Level: \d+ readings since .* days left/ }).count()).toBe(2)
    expect(await wordsOf(settings as typeof redox)).toMatch(/Longest on-time\s+8 min/)
    expect(await settings?.getByRole('img', { name: /^The coming hours, simulated/ }).count()).toBe(2)
    expect(await axeFindings(page)).toEqual([])
    expect(await widthOf(page)).toBeLessThanOrEqual(width)
    await picture(page, `redox-${width}`, { whole: true })
    expect(pageErrors(page)).toEqual([])
    await page.context().close()
  })

  it('is told in the reader’s units', async () => {
    const page = await sightglass.open(`/bodies/${aged}`)
    const drums = panel(page, 'Drums')
    await drums
      .getByText(/\d gal/)
      .first()
      .waitFor()
    await page.getByRole('combobox', { name: 'Units' }).selectOption('metric')
    await drums.getByText(/\d L/).first().waitFor()
    expect(await wordsOf(drums)).not.toMatch(/\bgal\b/)
    expect(await wordsOf(panel(page, 'Redox'))).toMatch(/mg\/L/)
    await page.context().close()
  })
})

// What to do now, what if, and advice while a test is typed: worked out in the browser, stored nowhere.
import type { Body, Facility, Overview } from '@sightglass/contract'
import type { Page } from 'playwright-core'
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
let hotel: Facility
let pool: Body
let spa: Body
let good: Body
let never: Body
beforeAll(async () => {
  sightglass = await startSightglass()
  hotel = await makeFacility(sightglass, 'Saltmarsh Hotel')
  const body = (name: string, given: object = {}) => makeBody(sightglass, hotel, name, { flowLMin: 1600, ...given })
  pool = await body('Lap pool')
  spa = await body('Spa', { useClass: 'spa', sanitizerSystem: 'bromine', volumeL: 6000, flowLMin: 300 })
  good = await body('Training pool')
  never = await body('Wading pool', { useClass: 'wading' })
  await test(sightglass, pool, { ...GOOD_WATER, freeChlorineMgL: 0.4, totalChlorineMgL: 0.5, ph: 8.2 })
  await test(sightglass, spa, { bromineMgL: 1, ph: 8, totalAlkalinityMgL: 200, calciumHardnessMgL: 120, tempC: 38 })
  await test(sightglass, good, GOOD_WATER)
})
afterAll(() => sightglass?.stop())

const PHONE = { width: 390, height: 844 }
const plan = (page: Page) => page.getByRole('region', { name: 'What to do now' })
const steps = (page: Page) => plan(page).locator('ol > li')
const storedOf = async (body: Body): Promise<Overview> =>
  (await fetch(`${sightglass.apiUrl}/bodies/${body.id}`)).json() as Promise<Overview>

async function sound(page: Page, name: string) {
  for (const [width, size] of [
    ['wide', { width: 1440, height: 900 }],
    ['narrow', PHONE],
  ] as const) {
    await page.setViewportSize(size)
    await picture(page, `${name}-${width}`, { whole: true })
    expect(await page.evaluate(() => document.documentElement.scrollWidth), width).toBeLessThanOrEqual(size.width)
    expect(await axeFindings(page), width).toEqual([])
  }
}

describe('what to do now', () => {
  it('gives the doses in order, with amounts, waits, what to expect, working and cautions', async () => {
    const page = await sightglass.open(`/bodies/${pool.id}`)
    const first = await wordsOf(steps(page).first())
    expect(first).toMatch(/Sodium hypochlorite, 12\.5 trade %[\s\S]*\d\s(gal|fl\soz)/)
    expect(first).toMatch(/Wait \d+\s(h|min)[\s\S]*expect free chlorine \d/)
    expect(await steps(page).count()).toBeGreaterThan(1)
    await steps(page).first().getByText('How the amount was worked out').click()
    expect(await wordsOf(steps(page).first().locator('.working'))).toMatch(/\d/)
    const cautions = await wordsOf(plan(page).getByRole('list', { name: 'Cautions' }))
    expect(cautions).toMatch(/Add chemical to water[\s\S]*chlorine gas, which kills/)
    const ledger = plan(page).getByRole('table')
    expect(await wordsOf(ledger)).toMatch(/Predicted, not tested[\s\S]*Now[\s\S]*0\.4[\s\S]*After step 1[\s\S]*Range/)

    // a finding names the step that mends it, and says no amount of its own
    const finding = page.getByRole('article').filter({ hasText: 'Free chlorine low' })
    await finding.getByRole('link', { name: /^step 1 / }).click()
    expect(new URL(page.url()).hash).toBe('#step-1')
    await sound(page, 'plan')
    expect(pageErrors(page)).toEqual([])
    await page.context().close()
  })

  it('goes by what is on site, remembers it, and shows amounts in the reader’s units', async () => {
    const page = await sightglass.open(`/bodies/${pool.id}`)
    await plan(page).getByText('On site').click()
    await plan(page).getByLabel('Hydrochloric (muriatic) acid, 31.45 weight %').uncheck()
    await plan(page)
      .getByLabel(/^Sodium bisulfate/)
      .check()
    await expect.poll(() => wordsOf(steps(page).last())).toMatch(/Sodium bisulfate/)
    await page.reload()
    await expect.poll(() => wordsOf(steps(page).last())).toMatch(/Sodium bisulfate[\s\S]*\d\s(lb|oz)/)
    await page.getByRole('combobox', { name: 'Units' }).selectOption('metric')
    await expect.poll(() => wordsOf(steps(page).last())).toMatch(/\d\s(kg|g)\b/)
    await plan(page).locator('.on-site > summary').click()
    await plan(page).getByRole('button', { name: 'As the drums say' }).click()
    await expect.poll(() => wordsOf(steps(page).last())).toMatch(/Hydrochloric/)
    await page.context().close()
  })

  it('can be taken along as text, or printed alone', async () => {
    const page = await sightglass.open(`/bodies/${pool.id}`)
    await page.context().grantPermissions(['clipboard-read', 'clipboard-write'])
    await plan(page).getByRole('button', { name: 'Copy as text' }).click()
    await plan(page).getByText('Copied.').waitFor()
    const text = await page.evaluate(() => navigator.clipboard.readText())
    expect(text).toMatch(/^Lap pool, Saltmarsh Hotel: what to do now\n[\s\S]*1\. Sodium hypochlorite/)
    await page.evaluate(() => {
      window.print = () => document.body.setAttribute('data-printed', document.body.dataset.print ?? '')
    })
    await plan(page).getByRole('button', { name: 'Print' }).click()
    expect(await page.locator('body').getAttribute('data-printed')).toBe('plan')
    await page.emulateMedia({ media: 'print' })
    await page.evaluate(() => document.body.setAttribute('data-print', 'plan'))
    expect(await page.getByRole('heading', { name: 'What to do now' }).isVisible()).toBe(true)
    expect(await page.getByRole('heading', { name: 'What is wrong' }).isVisible()).toBe(false)
    await page.context().close()
  })

  it('says on what it rests that nothing is to be done', async () => {
    const page = await sightglass.open(`/bodies/${good.id}`)
    expect(await wordsOf(plan(page))).toMatch(
      /Nothing is to be dosed[\s\S]*Rests on Free\sCl\s2\.5\sppm[\s\S]*\(1\sh ago\)/,
    )
    expect(await steps(page).count()).toBe(0)
    await page.context().close()
  })

  it('asks for tests first where there are none, and leads to the form', async () => {
    const page = await sightglass.open(`/bodies/${never.id}`, PHONE)
    expect(await wordsOf(plan(page))).toMatch(/No dose can be worked out yet[\s\S]*Test free chlorine first/)
    expect(await steps(page).count()).toBe(0)
    await plan(page).getByRole('link', { name: 'Enter a test' }).click()
    await page.waitForURL(`**/readings/new?bodyId=${never.id}`)
    await page.context().close()
  })

  it('of a bromine spa speaks of bromine; of a retired body there is none', async () => {
    const page = await sightglass.open(`/bodies/${spa.id}`, PHONE)
    expect(await wordsOf(steps(page).first())).toMatch(/Bromine tablets/)
    expect(await wordsOf(plan(page).getByRole('table'))).not.toMatch(/Free Cl|Active Cl/)
    await sound(page, 'plan-bromine')
    const old = await makeBody(sightglass, hotel, 'Old pool')
    await made(sightglass, `/bodies/${old.id}/retire`)
    await page.goto(`${sightglass.url}/bodies/${old.id}`)
    await page.getByText('This body of water is retired').waitFor()
    expect(await plan(page).count()).toBe(0)
    expect(pageErrors(page)).toEqual([])
    await page.context().close()
  })
})

describe('what if', () => {
  const panel = (page: Page) => page.getByRole('region', { name: 'What if' })
  const row = (page: Page, name: RegExp) => panel(page).getByRole('row', { name })
  const cell = async (page: Page, name: RegExp, at: number) =>
    (await wordsOf(row(page, name).getByRole('cell').nth(at))).trim()

  it('moves values by slider and number, adds chemicals, goes back, and stores nothing', async () => {
    const before = await storedOf(good)
    const page = await sightglass.open(`/bodies/${good.id}`)
    await panel(page).getByText('What if').click()
    await panel(page).getByText('A calculation, not a test').waitFor()
    expect(await cell(page, /^pH/, 0)).toBe('7.4')
    expect(await cell(page, /^pH/, 1)).toBe('')

    const slider = panel(page).getByRole('slider', { name: 'pH, slider' })
    await slider.focus()
    for (let press = 0; press < 6; press++) await page.keyboard.press('ArrowRight')
    await expect.poll(() => cell(page, /^pH/, 1)).toBe('7.7')
    expect(await panel(page).getByLabel('pH', { exact: true }).inputValue()).toBe('7.7')
    expect(Number(await cell(page, /^Active chlorine/, 1))).toBeLessThan(
      Number(await cell(page, /^Active chlorine/, 0)),
    )

    await panel(page).getByLabel('pH', { exact: true }).fill('8.4')
    await expect.poll(() => wordsOf(row(page, /^Standing/))).toMatch(/Fine[\s\S]*Close/)
    expect(await wordsOf(panel(page))).toMatch(/pH 8\.4 is over the maximum/)

    await panel(page).getByRole('combobox', { name: 'Add a chemical' }).selectOption({ label: 'Sodium bicarbonate' })
    await panel(page).getByLabel('Sodium bicarbonate', { exact: true }).fill('50')
    await expect.poll(() => cell(page, /^Total alkalinity/, 1)).toMatch(/^1[2-4]\d$/)
    await sound(page, 'what-if')

    await panel(page).getByLabel('pH', { exact: true }).fill('15')
    await panel(page).getByText('pH can be reckoned from 3 to 11.').waitFor()
    await panel(page).getByRole('button', { name: 'Back to the present water' }).click()
    await expect.poll(() => cell(page, /^pH/, 1)).toBe('')
    expect(await panel(page).getByLabel('Sodium bicarbonate', { exact: true }).count()).toBe(0)
    const after = await storedOf(good)
    expect([after.readings, after.latest]).toEqual([before.readings, before.latest])
    expect(pageErrors(page)).toEqual([])
    await page.context().close()
  })
})

describe('a test that is being typed', () => {
  const advice = (page: Page) => page.getByRole('region', { name: 'What these numbers mean' })

  it('is told what it means before it is stored, with first doses and cautions', async () => {
    const page = await sightglass.open(`/readings/new?bodyId=${good.id}`, PHONE)
    await page.getByLabel('Free chlorine').fill('0.3')
    await page.getByLabel('Total chlorine').fill('0.4')
    await page.getByLabel('pH', { exact: true }).fill('8.2')
    await page.getByText(/With this the body would stand:[\s\S]*Close/).waitFor()
    const words = await wordsOf(advice(page))
    expect(words).toMatch(/not yet stored/)
    expect(words).toMatch(/Free chlorine 0\.3\sppm is under the minimum/)
    expect(words).toMatch(/First doses[\s\S]*Sodium hypochlorite[\s\S]*\d\s(gal|fl\soz)/)
    expect(words).toMatch(/Never let acid and a chlorine product meet/)
    expect((await storedOf(good)).readings).toHaveLength(1)
    await sound(page, 'reading-advice')

    await page.getByLabel('pH', { exact: true }).fill('82')
    await advice(page).getByText('Did you mean 8.2? No advice before that is mended.').waitFor()
    expect(await wordsOf(advice(page))).not.toMatch(/First doses|Sodium hypochlorite/)
    expect(pageErrors(page)).toEqual([])
    await page.context().close()
  })

  it('after a dose is held against what it should show', async () => {
    const page = await sightglass.open(`/readings/new?bodyId=${good.id}`)
    await page.getByLabel('Total alkalinity').fill('101')
    await advice(page).getByText('Something was added since the test before').click()
    await advice(page).getByRole('combobox', { name: 'Add a chemical' }).selectOption({ label: 'Sodium bicarbonate' })
    await advice(page).getByLabel('Sodium bicarbonate', { exact: true }).fill('60')
    await advice(page).getByText('What this test should show').waitFor()
    await advice(page)
      .getByText(/as if nothing had been added/)
      .waitFor()
    await page.reload()
    await expect.poll(() => advice(page).getByLabel('Sodium bicarbonate', { exact: true }).inputValue()).toBe('60')
    await page.context().close()
  })

  it('that is corrected is judged without its old version', async () => {
    const [reading] = (await storedOf(pool)).readings
    const page = await sightglass.open(`/bodies/${pool.id}/readings/${reading?.id}/correct`)
    await page.getByLabel('Free chlorine').fill('2.5')
    await page.getByLabel('Total chlorine').fill('2.6')
    await page.getByLabel('pH', { exact: true }).fill('7.4')
    await advice(page)
      .getByText(/No longer: .*Free chlorine low/)
      .waitFor()
    await page.context().close()
  })

  it('can be stored although no advice can be had', async () => {
    const page = await sightglass.open('/')
    await page.route('**/api/snapshots*', (route) => route.abort())
    await page.goto(`${sightglass.url}/readings/new?bodyId=${never.id}`)
    await page.getByLabel('Free chlorine').fill('2.5')
    await page.getByLabel('pH', { exact: true }).fill('7.4')
    await page.getByLabel('Person').fill('D. Fenn')
    await page.getByText('The test can be stored all the same.').waitFor({ timeout: 30_000 })
    await page.getByRole('button', { name: 'Store the test' }).click()
    await page.waitForURL(`**/bodies/${never.id}`)
    await page.context().close()
  })

  it('on a log sheet is told body by body', async () => {
    const page = await sightglass.open(`/readings/sheet?facilityId=${hotel.id}`)
    const cell = (body: string, name: string) =>
      page.getByRole('textbox', { name: new RegExp(`^Line \\d+, ${body}, ${name}$`) })
    await cell('Training pool', 'pH').fill('8.3')
    await cell('Lap pool', 'pH').fill('77')
    const words = () => wordsOf(advice(page))
    await expect.poll(words).toMatch(/Training pool would stand:\s*Close\s*pH high/)
    expect(await words()).toMatch(/Lap pool: pH 77 is outside 0 to 14/)
    await advice(page).getByText('Training pool').click()
    await advice(page).getByText('First doses').waitFor()
    await sound(page, 'sheet-advice')
    expect(pageErrors(page)).toEqual([])
    await page.context().close()
  })
})

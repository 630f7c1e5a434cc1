import type { Body, Facility } from '@sightglass/contract'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { openPage, pageErrors } from '../support/browser.ts'
import { startTestWeb } from '../support/web.ts'
import { GOOD_WATER, makeBody, makeFacility, type Sightglass, startSightglass, test, wordsOf } from './sightglass.ts'

let sightglass: Sightglass
let hotel: Facility
let pool: Body
beforeAll(async () => {
  sightglass = await startSightglass()
})
afterAll(() => sightglass?.stop())

describe('the morning list', () => {
  it('without a facility says what to do next', async () => {
    const page = await sightglass.open('/')
    await page.getByRole('heading', { name: 'No body of water yet' }).waitFor()
    await page.getByRole('link', { name: 'Create a facility' }).click()
    await page.waitForURL('**/facilities/new')
    await page.context().close()
  })

  it('shows the worst body first, each with its reason, and silence is not fine', async () => {
    hotel = await makeFacility(sightglass, 'Saltmarsh Hotel')
    const school = await makeFacility(sightglass, 'Quayside School', 'Mesa')
    pool = await makeBody(sightglass, hotel, 'Lap pool')
    const spa = await makeBody(sightglass, hotel, 'Spa', { useClass: 'spa', volumeL: 6000 })
    await makeBody(sightglass, school, 'Teaching pool')
    await test(sightglass, pool, { ...GOOD_WATER, freeChlorineMgL: 0.2, totalChlorineMgL: 0.3 })
    await test(sightglass, spa, { ...GOOD_WATER, freeChlorineMgL: 4, totalChlorineMgL: 4, tempC: 38 })
    await fetch(`${sightglass.apiUrl}/triage`)

    const page = await sightglass.open('/')
    const rows = page.getByRole('article')
    await rows.first().waitFor()
    await expect.poll(() => rows.count()).toBe(3)
    const first = rows.first()
    expect(await wordsOf(first)).toMatch(/Close/)
    expect(await wordsOf(first)).toMatch(/Free chlorine 0\.2\sppm is under the minimum of 1\.0\sppm/)
    const untested = rows.filter({ hasText: 'Teaching pool' })
    expect(await wordsOf(untested)).toMatch(/Unheard/)
    expect(await wordsOf(untested)).not.toMatch(/Fine/)
    expect(pageErrors(page)).toEqual([])
    await page.context().close()
  })

  it('leads to the body, which says what is wrong, whose limit it is and what to do', async () => {
    const page = await sightglass.open('/')
    await page.getByRole('link', { name: /Lap pool/ }).click()
    await page.getByRole('heading', { name: 'Lap pool', level: 1 }).waitFor()
    const finding = page.getByRole('article').filter({ hasText: 'Free chlorine low' })
    const words = await wordsOf(finding)
    expect(words).toMatch(/Limit: at least 1\.0 ppm/)
    expect(words).toMatch(/published code: CDC Model Aquatic Health Code/)
    expect(await finding.getByRole('list', { name: 'What to do' }).getByRole('listitem').count()).toBeGreaterThan(0)
    await page.getByText('The local code, the product label and the licensed operator come first').first().waitFor()
    expect(await wordsOf(page.getByText(/^100 − .* = \d+/))).toMatch(/sanitizer/)
    await page.context().close()
  })

  it('keeps filters, search and order in the address, for the back button and for others', async () => {
    const page = await sightglass.open('/')
    await page.getByRole('button', { name: /Unheard/ }).click()
    await page.waitForURL('**/?severity=unheard')
    // the whole list holds this row too: the narrowed one has come when the others are gone
    await expect.poll(() => page.getByRole('article').count()).toBe(1)
    expect(await wordsOf(page.getByRole('article'))).toMatch(/Teaching pool/)
    await page.goBack()
    await expect.poll(() => page.getByRole('article').count()).toBe(3)

    await page.getByRole('searchbox').fill('saltmarsh')
    await page.waitForURL('**/?q=saltmarsh')
    await expect.poll(() => page.getByRole('article').count()).toBe(2)

    const shared = await sightglass.open('/?q=quayside&group=facility')
    await shared.getByRole('heading', { name: /Quayside School/ }).waitFor()
    await expect.poll(() => shared.getByRole('article').count()).toBe(1)
    await shared.getByRole('searchbox').fill('nothing like it')
    await shared.getByRole('heading', { name: 'No body of water matches' }).waitFor()
    await shared.getByRole('button', { name: 'Take the filters away' }).click()
    await expect.poll(() => shared.getByRole('article').count()).toBe(3)
    await page.context().close()
    await shared.context().close()
  })

  it('is worked from the keyboard', async () => {
    const page = await sightglass.open('/')
    await page.getByRole('article').first().waitFor()
    const focused = () => page.evaluate(() => document.activeElement?.textContent ?? '')
    await page.keyboard.press('j')
    await expect.poll(focused).toMatch(/Lap pool/)
    const order = await page.getByRole('article').getByRole('link').allInnerTexts()
    await page.keyboard.press('ArrowDown')
    await expect.poll(focused).toBe(order[1]?.replace('\n', ''))
    await page.keyboard.press('k')
    await expect.poll(focused).toMatch(/Lap pool/)
    await page.keyboard.press('/')
    expect(await page.evaluate(() => document.activeElement?.id)).toBe('triage-search')
    await page.keyboard.type('spa')
    await page.waitForURL('**/?q=spa')
    await page.goto(`${sightglass.url}/`)
    await page.getByRole('article').first().waitFor()
    await page.keyboard.press('j')
    await expect.poll(focused).toMatch(/Lap pool/)
    await page.keyboard.press('j')
    await expect.poll(focused).toBe(order[1]?.replace('\n', ''))
    await page.keyboard.press('Enter')
    await page.waitForURL('**/bodies/*')
    await page.getByRole('heading', { level: 1 }).waitFor()
    await page.goBack()
    await page.getByRole('article').first().waitFor()
    await page.keyboard.press('j')
    await expect.poll(focused).toBe(order[1]?.replace('\n', ''))
    await page.context().close()
  })

  it('refreshes itself; under a reader’s hand the order stays and says that it changed', async () => {
    const page = await sightglass.open('/')
    await page.getByRole('article').first().waitFor()
    await page.keyboard.press('j')
    await test(sightglass, pool, GOOD_WATER, 0.01)
    // coming back to the window is one of the two moments at which it asks again
    await page.evaluate(() => window.dispatchEvent(new Event('visibilitychange')))
    const notice = page.getByRole('button', { name: /changed since; show the new order/ })
    await notice.waitFor()
    const names = () => page.getByRole('article').getByRole('link').allInnerTexts()
    expect((await names())[0]).toMatch(/Lap pool/)
    expect(await wordsOf(page.getByRole('article').first())).not.toMatch(/Close/)
    expect(await page.evaluate(() => document.activeElement?.textContent)).toMatch(/Lap pool/)
    await notice.click()
    await expect.poll(async () => (await names())[0]).not.toMatch(/Lap pool/)
    await page.context().close()
  })

  it('reaches the last of many rows at one key, though only those on the screen are loaded', async () => {
    const club = await makeFacility(sightglass, 'Ember Mesa Club', 'Mesa')
    for (let n = 0; n < 130; n++) await makeBody(sightglass, club, `Pool ${n}`)
    const page = await sightglass.open('/')
    await page.getByRole('article').first().waitFor()
    const place = () =>
      page.evaluate(() => document.activeElement?.closest('[aria-posinset]')?.getAttribute('aria-posinset'))
    await page.keyboard.press('j')
    await page.keyboard.press('End')
    await expect.poll(place).toBe('133')
    expect(await page.getByRole('article').count()).toBeLessThan(60)
    await page.keyboard.press('k')
    await expect.poll(place).toBe('132')
    await page.keyboard.press('Home')
    await expect.poll(place).toBe('1')
    await page.context().close()
  })

  it('keeps the rows of before while a filter is on its way, and says so', async () => {
    const page = await sightglass.open('/')
    await page.getByRole('article').first().waitFor()
    const names = () => page.getByRole('article').getByRole('link').allInnerTexts()
    const before = await names()
    let answer = () => {}
    const held = new Promise<void>((resolve) => {
      answer = resolve
    })
    await page.route('**/api/triage**', async (route) => {
      await held
      await route.continue()
    })
    await page.getByRole('searchbox').fill('quayside')
    await page.getByText('updating …').waitFor()
    expect(before.length).toBeGreaterThan(1)
    expect(await names()).toEqual(before)
    expect(await page.getByText(/^Loading body/).count()).toBe(0)
    answer()
    await expect.poll(() => page.getByRole('article').count()).toBe(1)
    expect(await wordsOf(page.getByRole('article'))).toMatch(/Quayside School/)
    expect(await page.getByText('updating …').count()).toBe(0)
    await page.context().close()
  })

  it('says so when the API does not answer, and does not pretend to be empty', async () => {
    const page = await sightglass.open('/')
    await page.getByRole('article').first().waitFor()
    await page.route('**/api/triage**', (route) => route.abort())
    await page.getByRole('button', { name: /Watch/ }).click()
    await page.getByText('The Sightglass API does not answer').waitFor()
    await page.getByText(/What is below is from .* before you changed what the list shows/).waitFor()
    expect(await page.getByText('No body of water yet').count()).toBe(0)
    expect(await page.getByRole('article').count()).toBeGreaterThan(0)
    await page.context().close()

    const alone = await startTestWeb('http://127.0.0.1:9')
    const cold = await openPage(sightglass.browser)
    await cold.goto(alone.url)
    await cold.getByRole('heading', { name: 'The Sightglass API does not answer' }).waitFor()
    await cold.context().close()
    await alone.stop()
  })
})

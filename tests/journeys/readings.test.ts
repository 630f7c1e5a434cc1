import type { Body } from '@sightglass/contract'
import type { Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { pageErrors } from '../support/browser.ts'
import { GOOD_WATER, makeBody, makeFacility, type Sightglass, startSightglass, test, wordsOf } from './sightglass.ts'

let sightglass: Sightglass
let pool: Body
let spa: Body
beforeAll(async () => {
  sightglass = await startSightglass()
  const hotel = await makeFacility(sightglass, 'Saltmarsh Hotel')
  pool = await makeBody(sightglass, hotel, 'Lap pool')
  spa = await makeBody(sightglass, hotel, 'Spa', { useClass: 'spa', volumeL: 6000 })
  await test(sightglass, pool, GOOD_WATER, 2)
})
afterAll(() => sightglass?.stop())

const PHONE = { width: 390, height: 844 }
const alerts = (page: Page) => page.getByRole('alert').allInnerTexts()

describe('a test entered on a phone', () => {
  it('out of range shows in the standing; corrected, it clears, and the old version is kept', async () => {
    const page = await sightglass.open(`/bodies/${pool.id}`, PHONE)
    await page.getByRole('link', { name: 'Enter a test' }).last().click()
    await page.getByLabel('Free chlorine').fill('0.3')
    await page.getByLabel('Total chlorine').fill('0.4')
    await page.getByLabel('pH', { exact: true }).fill('7.4')
    await page.getByLabel('Person').fill('D. Fenn')
    expect(await page.getByLabel('Free chlorine').getAttribute('inputmode')).toBe('decimal')
    await page.getByRole('button', { name: 'Store the test' }).click()
    await page.waitForURL(`**/bodies/${pool.id}`)
    await page.getByText(/The test is stored\. The standing was .* and is now Close/).waitFor()
    await page.getByRole('heading', { name: 'Free chlorine low' }).waitFor()

    await page.goto(`${sightglass.url}/`)
    expect(await wordsOf(page.getByRole('article').first())).toMatch(/Close[\s\S]*Lap pool[\s\S]*0\.3/)

    await page.goto(`${sightglass.url}/bodies/${pool.id}`)
    await page
      .getByRole('link', { name: /Correct the test/ })
      .first()
      .click()
    expect(await page.getByLabel('Free chlorine').inputValue()).toBe('0.3')
    await page.getByLabel('Free chlorine').fill('2.3')
    await page.getByLabel('Total chlorine').fill('2.4')
    await page.getByRole('button', { name: 'Store the correction' }).click()
    await expect.poll(() => alerts(page)).toContain('must say why')
    await page.getByLabel('Why it is corrected').fill('Read the wrong line of the sheet')
    await page.getByRole('button', { name: 'Store the correction' }).click()
    await page.waitForURL(`**/bodies/${pool.id}`)
    await page.getByText(/The correction is stored; the old version is kept\. The standing was Close/).waitFor()
    expect(await page.getByRole('heading', { name: 'Free chlorine low' }).count()).toBe(0)

    await page
      .getByRole('link', { name: /Correct the test/ })
      .first()
      .click()
    const versions = await wordsOf(page.getByRole('list').filter({ hasText: 'replaced' }))
    expect(versions).toMatch(/Free Cl 2\.3 ppm[\s\S]*Free Cl 0\.3 ppm/)
    expect(versions).toMatch(/Read the wrong line of the sheet/)
    expect(pageErrors(page)).toEqual([])
    await page.context().close()
  })

  it('is refused at its field when impossible, asked about once when unusual', async () => {
    const page = await sightglass.open(`/readings/new?bodyId=${spa.id}`, PHONE)
    await page.getByLabel('pH', { exact: true }).fill('77')
    await page.getByLabel('Person').fill('D. Fenn')
    await page.getByRole('button', { name: 'Store the test' }).click()
    await expect.poll(() => alerts(page)).toContain('pH 77 is outside 0 to 14. Did you mean 7.7?')
    expect(await page.getByLabel('pH', { exact: true }).getAttribute('aria-invalid')).toBe('true')

    await page.getByLabel('pH', { exact: true }).fill('9.1')
    await page.getByRole('button', { name: 'Store the test' }).click()
    const meant = page.getByLabel('I read pH 9.1 and mean it')
    await meant.check()
    await page.getByRole('button', { name: 'Store the test' }).click()
    await page.waitForURL(`**/bodies/${spa.id}`)
    await page.getByRole('heading', { name: 'pH high' }).waitFor()
    await page.context().close()
  })

  it('is never lost: typed values outlive the page and a server that is away, and a retry stores it once', async () => {
    const page = await sightglass.open(`/readings/new?bodyId=${spa.id}`, PHONE)
    await page.getByLabel('Free chlorine').fill('4')
    await page.getByLabel('pH', { exact: true }).fill('7.5')
    await page.getByLabel('Person').fill('A. Quill')
    await page.reload()
    await page.getByText('was kept.').waitFor()
    expect(await page.getByLabel('Free chlorine').inputValue()).toBe('4')

    // the reading arrives, but its answer is lost on the way back
    await page.route('**/api/readings', async (route) => {
      await route.fetch()
      await route.abort()
    })
    await page.getByRole('button', { name: 'Store the test' }).click()
    await page.getByText('The Sightglass API does not answer').waitFor()
    expect(await page.getByLabel('Free chlorine').inputValue()).toBe('4')
    await page.unroute('**/api/readings')
    await page.getByRole('button', { name: 'Store the test' }).click()
    await page.waitForURL(`**/bodies/${spa.id}`)
    const stored = await page.getByRole('row').filter({ hasText: 'A. Quill' }).count()
    expect(stored).toBe(1)
    await page.context().close()
  })

  it('in metric is stored as the same water', async () => {
    const page = await sightglass.open(`/readings/new?bodyId=${spa.id}`, PHONE)
    await page.getByLabel('Water temperature').fill('100.4')
    await page.getByRole('combobox', { name: 'Units' }).selectOption('metric')
    await expect.poll(() => page.getByLabel('Water temperature').inputValue()).toBe('38')
    await page.getByLabel('Person').fill('D. Fenn')
    await page.getByRole('button', { name: 'Store the test' }).click()
    await page.waitForURL(`**/bodies/${spa.id}`)
    await page.getByText('38.0 °C').first().waitFor()
    await page.context().close()
  })
})

describe('a whole paper sheet', () => {
  it('is typed with the keyboard, pasted into, and stored all at once or not at all', async () => {
    const page = await sightglass.open('/readings/sheet')
    await page.getByRole('combobox', { name: 'Facility' }).fill('saltm')
    await page.getByRole('option', { name: /Saltmarsh Hotel/ }).click()
    await page.waitForURL('**/readings/sheet?facilityId=*')
    const cell = (line: number, name: string) =>
      page.getByRole('textbox', { name: new RegExp(`^Line ${line}, .*, ${name}$`) })
    await page.getByLabel('Person').fill('D. Fenn')
    await cell(1, 'Free Cl').focus()
    await page.evaluate(() => {
      const data = new DataTransfer()
      data.setData('text', '2.2\t2.3\t7.3\n3.5\t3.6\t77')
      document.activeElement?.dispatchEvent(
        new ClipboardEvent('paste', { clipboardData: data, bubbles: true, cancelable: true }),
      )
    })
    expect(await cell(2, 'Total Cl').inputValue()).toBe('3.6')
    await page.getByRole('button', { name: 'Store the sheet' }).click()
    await expect.poll(() => alerts(page)).toContain('Line 2, pH: pH 77 is outside 0 to 14. Did you mean 7.7?')

    await cell(1, 'pH').focus()
    await page.keyboard.press('Enter')
    expect(await page.evaluate(() => document.activeElement?.getAttribute('aria-label'))).toMatch(/^Line 2, .*, pH$/)
    await page.keyboard.press('Control+a')
    await page.keyboard.type('8.6')
    await page.getByRole('button', { name: 'Store the sheet' }).click()
    await page.getByLabel(/Line 2, .*: the sheet says pH 8\.6/).check()
    await page.getByRole('button', { name: 'Store the sheet' }).click()
    await page.getByText('2 tests stored.').waitFor()
    expect(await cell(1, 'pH').inputValue()).toBe('')
    expect(pageErrors(page)).toEqual([])
    await page.context().close()
  })
})

import type { Body, Facility } from '@sightglass/contract'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { axeFindings, pageErrors } from '../support/browser.ts'
import {
  GOOD_WATER,
  makeBody,
  makeController,
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
beforeAll(async () => {
  sightglass = await startSightglass()
  hotel = await makeFacility(sightglass, 'Saltmarsh Hotel')
  pool = await makeBody(sightglass, hotel, 'Lap pool')
  await makeController(sightglass, hotel, [pool])
  await test(sightglass, pool, GOOD_WATER, 2)
})
afterAll(() => sightglass?.stop())

const HOUR_MS = 3_600_000
const STEP_MS = 5 * 60_000
const two = (number: number) => String(number).padStart(2, '0')

/** What a controller that has lost its hypochlorite might have written in the last hours: a title above the names, decimal
 *  commas, a repeated head, blanks and dashes, rows that are no rows, and an end cut off. Times are UTC. */
function messyExport(orpMv: number, hours = 6) {
  const rows: string[] = []
  const now = Math.floor(Date.now() / STEP_MS) * STEP_MS
  for (let ms = now - hours * HOUR_MS; ms <= now; ms += STEP_MS) {
    const at = new Date(ms)
    const day = `${two(at.getUTCDate())}.${two(at.getUTCMonth() + 1)}.${at.getUTCFullYear()}`
    rows.push(`${day};${two(at.getUTCHours())}:${two(at.getUTCMinutes())};7,42;${orpMv};27,1;on;100`)
  }
  const head = 'Day;Time;pH;ORP mV;Temp °C;Flow;Chlorine feed %'
  rows.splice(10, 0, head, '', '31.02.2026;06:00;7,40;700;27,0;on;0')
  rows.splice(20, 0, rows[19]?.replace('7,42', 'seven').replace(/(\d\d):(\d\d)/, '$1:01') ?? '')
  rows.splice(30, 0, rows[29]?.replace(/7,42;\d+/, '---;').replace(/(\d\d):(\d\d)/, '$1:02') ?? '')
  return `\ufeffPlant report\r\n${head}\r\n${rows.join('\r\n')}\r\n25.11.20`
}

describe('a messy controller export', () => {
  it('is detected, matched, checked, imported, and changes the morning list', async () => {
    const page = await sightglass.open('/')
    await page.getByRole('article').first().waitFor()
    const before = await wordsOf(page.getByRole('article').first())

    await page.goto(`${sightglass.url}/bodies/${pool.id}`)
    await page.getByRole('link', { name: 'Load an export' }).click()
    await page.getByRole('button', { name: 'Upload and look at it' }).click()
    await page.getByText('Choose the file that the controller exported.').waitFor()
    await page.getByLabel('Person').fill('D. Fenn')
    await page
      .locator('input[type=file]')
      .setInputFiles({ name: 'lap-pool.csv', mimeType: 'text/csv', buffer: Buffer.from(messyExport(540)) })
    await page.getByRole('button', { name: 'Upload and look at it' }).click()
    await page.waitForURL(/\/imports\/[0-9a-f-]{36}$/)

    const written = await wordsOf(page.getByRole('region', { name: 'How the file is written' }))
    expect(written).toMatch(/with a byte-order mark; lines end with CRLF/)
    expect(await page.getByLabel('Fields are parted by').inputValue()).toBe(';')
    expect(await page.getByLabel('Text is written in').inputValue()).toBe('utf-8')
    const nameLine = page.getByLabel('Line of the column names')
    expect(await nameLine.inputValue()).toBe('2')
    await nameLine.fill('3')
    await nameLine.press('Tab')
    await page.getByLabel('Fields are parted by').waitFor()
    await expect.poll(() => page.getByLabel('ORP mV holds').count()).toBe(0)
    await page.getByLabel('Line of the column names').fill('2')
    await page.getByLabel('Line of the column names').press('Tab')
    await page.getByLabel('ORP mV holds').waitFor()
    expect(await page.getByLabel('Decimal sign').inputValue()).toBe(',')
    await page.getByLabel('Order of a date').selectOption('dmy')
    await page.getByLabel('Whose clock').selectOption('UTC')
    expect(await page.getByLabel('ORP mV holds').inputValue()).toBe('orpMv')
    await page.getByRole('button', { name: 'Check', exact: true }).click()

    await page.getByRole('heading', { name: 'What would come in' }).waitFor()
    const result = page.getByRole('region', { name: 'What would come in' })
    expect(await wordsOf(result.getByRole('row').filter({ hasText: 'Lap pool' }))).toMatch(/Lap pool\s+7\d\s/)
    const rejects = result.getByRole('region', { name: /rows? left out/ })
    expect(await wordsOf(rejects)).toMatch(/31\.02\.2026/)
    expect(await wordsOf(rejects)).toMatch(/seven/)
    const [download] = await Promise.all([
      page.waitForEvent('download'),
      page.getByRole('link', { name: 'Download them all' }).click(),
    ])
    expect(download.suggestedFilename()).toMatch(/\.csv$/)

    await picture(page, 'import-checked-wide', { whole: true })
    expect(await axeFindings(page)).toEqual([])
    await page.setViewportSize({ width: 390, height: 844 })
    await picture(page, 'import-checked-narrow', { whole: true })
    expect(await axeFindings(page)).toEqual([])
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(390)
    await page.setViewportSize({ width: 1440, height: 900 })
    await page.getByLabel('Remember this layout as').fill('Hotel basement')
    await page.getByRole('button', { name: 'Import', exact: true }).click()
    await page.getByRole('heading', { name: 'What came in' }).waitFor()
    await picture(page, 'import-done-wide', { whole: true })
    await page.getByRole('link', { name: 'Lap pool' }).click()
    await page.getByRole('heading', { name: 'Lap pool', level: 1 }).waitFor()
    await page.getByRole('link', { name: 'lap-pool.csv' }).waitFor()

    await page.goto(`${sightglass.url}/`)
    const row = page.getByRole('article').first()
    await row.waitFor()
    const after = await wordsOf(row)
    expect(after).not.toBe(before)
    expect(after).toMatch(/ORP[\s\S]*540/)
    expect(pageErrors(page)).toEqual([])
    await page.context().close()
  })

  it('is recognised the next time, and the same file twice changes nothing', async () => {
    const page = await sightglass.open(`/imports/new?facilityId=${hotel.id}`)
    await page.getByLabel('Person').fill('D. Fenn')
    await page
      .locator('input[type=file]')
      .setInputFiles({ name: 'again.csv', mimeType: 'text/csv', buffer: Buffer.from(messyExport(540)) })
    await page.getByRole('button', { name: 'Upload and look at it' }).click()
    await page.getByText('Recognised as “Hotel basement”').waitFor()
    expect(await page.getByLabel('Whose clock').inputValue()).toBe('UTC')
    await page.getByRole('button', { name: 'Check', exact: true }).click()
    const result = page.getByRole('region', { name: 'What would come in' })
    await result.waitFor()
    expect(await wordsOf(result)).toMatch(/\d+\nAlready there, the same/)
    await page.getByRole('button', { name: 'Discard this file' }).click()
    await page.getByRole('button', { name: 'Discard it' }).click()
    await page.waitForURL('**/imports')
    expect(await page.getByRole('row').filter({ hasText: 'again.csv' }).count()).toBe(0)
    await page.context().close()
  })

  it('that is no export is refused with what to do', async () => {
    const page = await sightglass.open(`/imports/new?facilityId=${hotel.id}`)
    await page.getByLabel('Person').fill('D. Fenn')
    await page
      .locator('input[type=file]')
      .setInputFiles({ name: 'empty.csv', mimeType: 'text/csv', buffer: Buffer.from('') })
    await page.getByRole('button', { name: 'Upload and look at it' }).click()
    await page.getByText('This file is empty').waitFor()
    await page.context().close()
  })
})

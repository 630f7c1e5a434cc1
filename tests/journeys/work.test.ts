import type { Body } from '@sightglass/contract'
import type { Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { axeFindings, pageErrors } from '../support/browser.ts'
import { made, makeBody, makeFacility, type Sightglass, startSightglass, wordsOf } from './sightglass.ts'

let sightglass: Sightglass
let pool: Body
beforeAll(async () => {
  sightglass = await startSightglass()
  pool = await makeBody(sightglass, await makeFacility(sightglass, 'Saltmarsh Hotel'), 'Lap pool')
  await made(sightglass, '/feeders', { bodyId: pool.id, name: 'Chlorine pump', role: 'primary', kind: 'pump' })
})
afterAll(() => sightglass?.stop())

const PHONE = { width: 390, height: 844 }
const alerts = (page: Page) => page.getByRole('alert').allInnerTexts()
const list = (page: Page) => page.getByRole('region', { name: 'Work', exact: true })

describe('work at a plant', () => {
  it('is logged on a phone, all of one visit at once, with what belongs to each', async () => {
    const page = await sightglass.open(`/bodies/${pool.id}`, PHONE)
    await list(page).getByText('No work is logged yet.').waitFor()
    await list(page).getByRole('link', { name: 'Log work' }).click()
    await page.getByLabel('ORP probe cleaned').check()
    await page.getByLabel('ORP set point moved').check()
    await page.getByLabel('Set to, mV').fill('705')
    await page.getByLabel('Feeder serviced').check()
    await page.getByLabel('Which feeder').selectOption('Chlorine pump')
    await page.getByLabel('Note').fill('scale on the tip')
    await page.getByLabel('Person').fill('D. Fenn')
    expect(await axeFindings(page)).toEqual([])
    await page.getByRole('button', { name: 'Log the work' }).click()
    await page.waitForURL(`**/bodies/${pool.id}`)
    await page.getByText(/The work is logged\./).waitFor()
    await list(page).getByText('ORP set point moved to 705 mV').waitFor()
    expect(await wordsOf(list(page))).toMatch(/ORP probe cleaned/)
    expect(await wordsOf(list(page))).toMatch(/Feeder serviced: Chlorine pump/)
    expect(pageErrors(page)).toEqual([])
    await page.context().close()
  })

  it('is refused at its field: nothing chosen, no value, no person, a slipped zero; asked once when unusual', async () => {
    const page = await sightglass.open(`/bodies/${pool.id}/work/new`, PHONE)
    await page.getByRole('button', { name: 'Log the work' }).click()
    await expect.poll(() => alerts(page)).toContain('Choose what was done.')
    expect(await alerts(page)).toContain('must name the person')
    await page.getByLabel('ORP set point moved').check()
    await page.getByLabel('Person').fill('D. Fenn')
    await page.getByRole('button', { name: 'Log the work' }).click()
    await expect.poll(() => alerts(page)).toContain('must say what it was set to')
    await page.getByLabel('Set to, mV').fill('7050')
    await page.getByRole('button', { name: 'Log the work' }).click()
    await expect.poll(async () => (await alerts(page)).join(' ')).toMatch(/7050 is outside/)
    expect(await page.getByLabel('Set to, mV').getAttribute('aria-invalid')).toBe('true')

    // what is typed outlives the page
    await page.getByLabel('Set to, mV').fill('420')
    await page.reload()
    expect(await page.getByLabel('Set to, mV').inputValue()).toBe('420')
    await page.getByRole('button', { name: 'Log the work' }).click()
    await page.getByLabel(/It was set to .*420 and I mean it/).check()
    await page.getByRole('button', { name: 'Log the work' }).click()
    await page.waitForURL(`**/bodies/${pool.id}`)
    await list(page).getByText('ORP set point moved to 420 mV').waitFor()
    await page.context().close()
  })

  it('is corrected with a reason, and the old version is kept; what was never done leaves the list', async () => {
    const page = await sightglass.open(`/bodies/${pool.id}`)
    const line = (text: string) => list(page).getByRole('listitem').filter({ hasText: text })
    await line('moved to 420 mV')
      .getByRole('link', { name: /Correct/ })
      .click()
    await page.getByLabel('Set to, mV').fill('720')
    await page.getByRole('button', { name: 'Store the correction' }).click()
    await expect.poll(() => alerts(page)).toContain('must say why')
    await page.getByLabel('Why it is corrected').fill('Read the wrong line')
    await page.getByRole('button', { name: 'Store the correction' }).click()
    await page.waitForURL(`**/bodies/${pool.id}`)
    await line('moved to 720 mV').getByText('Corrected: Read the wrong line').waitFor()
    expect(await line('moved to 420 mV').count()).toBe(0)

    await line('moved to 720 mV')
      .getByRole('link', { name: /Correct/ })
      .click()
    const versions = await wordsOf(page.getByRole('list').filter({ hasText: 'replaced' }))
    expect(versions).toMatch(/moved to 720 mV[\s\S]*moved to 420 mV/)
    await page.getByLabel('This was never done here').check()
    await page.getByLabel('Why it is corrected').fill('Another pool')
    await page.getByRole('button', { name: 'Store the correction' }).click()
    await page.waitForURL(`**/bodies/${pool.id}`)
    await expect.poll(() => line('moved to 720 mV').count()).toBe(0)
    expect(await line('moved to 705 mV').count()).toBe(1)
    expect(pageErrors(page)).toEqual([])
    await page.context().close()
  })
})

import type { Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { pageErrors } from '../support/browser.ts'
import { type Sightglass, startSightglass, wordsOf } from './sightglass.ts'

let sightglass: Sightglass
beforeAll(async () => {
  sightglass = await startSightglass()
})
afterAll(() => sightglass?.stop())

const dialog = (page: Page) => page.getByRole('dialog')
const create = async (page: Page, thing: string) => {
  await dialog(page)
    .getByRole('button', { name: `Create the ${thing}` })
    .click()
  await dialog(page).waitFor({ state: 'hidden' })
}

describe('a plant', () => {
  it('is put together in the browser, and what is retired leaves the list but not the history', async () => {
    const page = await sightglass.open('/facilities')
    await page.getByRole('link', { name: 'Create a facility' }).first().click()
    await page.getByRole('button', { name: 'Create the facility' }).click()
    await page.getByText('must not be empty').waitFor()
    await page.getByLabel('Name').fill('Quayside Club')
    await page.getByLabel('Technician area').fill('Harbor')
    await page.getByLabel('Time zone').selectOption('America/Denver')
    await page.getByRole('button', { name: 'Create the facility' }).click()
    await page.getByRole('heading', { name: 'Quayside Club', level: 1 }).waitFor()

    await page.getByRole('button', { name: 'Add an equipment room' }).click()
    await dialog(page).getByLabel('Name').fill('North basement')
    await create(page, 'equipment room')
    await page.getByRole('heading', { name: 'North basement' }).waitFor()

    await page.getByRole('button', { name: 'Add a body of water' }).click()
    await dialog(page).getByLabel('Name').fill('Lap pool')
    await dialog(page).getByLabel('Volume, gal').fill('100,000')
    await dialog(page).getByLabel('Recirculation flow, gpm').fill('lots')
    await dialog(page).getByRole('button', { name: 'Create the body of water' }).click()
    await dialog(page).getByText('“lots” is not a number').waitFor()
    await dialog(page).getByLabel('Recirculation flow, gpm').fill('400')
    await dialog(page).getByLabel('Equipment room').selectOption('North basement')
    await create(page, 'body of water')
    expect(await wordsOf(page.getByRole('row').filter({ hasText: 'Lap pool' }).first())).toMatch(
      /100,000 gal\s+400 gpm\s+4\.2 h\s+North basement/,
    )

    await page.getByRole('button', { name: 'Add a controller to North basement' }).click()
    await dialog(page).getByLabel('Name').fill('Controller A')
    await create(page, 'controller')
    await page.getByRole('button', { name: 'Add a channel to Controller A' }).click()
    await dialog(page).getByLabel('What it reports').selectOption('ORP')
    await create(page, 'channel')
    await page.getByRole('button', { name: 'Retire the channel ORP of Lap pool' }).waitFor()

    await page.getByRole('button', { name: 'Add a drum to North basement' }).click()
    await dialog(page).getByLabel('Name').fill('Hypo drum')
    await dialog(page).getByLabel('Holds when full, gal').fill('55')
    await create(page, 'drum')
    await page.getByRole('button', { name: 'Record level of Hypo drum' }).click()
    await dialog(page).getByLabel('Person').fill('D. Fenn')
    await dialog(page).getByLabel('Level now, gal').fill('99')
    await dialog(page).getByRole('button', { name: 'Store the level' }).click()
    await dialog(page).getByText('more than the drum holds (55 gal)').waitFor()
    await dialog(page).getByLabel('Level now, gal').fill('20')
    await dialog(page).getByRole('button', { name: 'Store the level' }).click()
    await page.getByText(/Level: 20 gal, .* by D\. Fenn/).waitFor()

    await page.getByRole('button', { name: 'Add a feeder to Lap pool' }).click()
    await dialog(page).getByLabel('Name').fill('Hypo pump')
    await dialog(page).getByLabel('Draws from').selectOption('Hypo drum')
    await create(page, 'feeder')
    await page.getByRole('row').filter({ hasText: 'Hypo pump' }).waitFor()

    await page.getByRole('button', { name: 'Edit Lap pool' }).click()
    expect(await dialog(page).getByLabel('Volume, gal').inputValue()).toBe('100,000')
    await dialog(page).getByLabel('Name').fill('Main pool')
    await dialog(page).getByRole('button', { name: 'Store the changes' }).click()
    await page.getByRole('link', { name: 'Main pool' }).first().waitFor()
    await page.getByRole('combobox', { name: 'Units' }).selectOption('metric')
    await page.getByText('378,541 L').waitFor()

    await page.getByRole('button', { name: 'Retire Main pool' }).click()
    expect(await wordsOf(dialog(page))).toMatch(/history stays/)
    await dialog(page).getByRole('button', { name: 'Retire it' }).click()
    await expect.poll(() => page.getByRole('link', { name: 'Main pool' }).count()).toBe(0)
    await page.getByLabel('Show retired things too').check()
    await page.getByRole('link', { name: 'Main pool' }).first().waitFor()
    expect(pageErrors(page)).toEqual([])
    await page.context().close()
  })
})

describe('a retired facility', () => {
  it('keeps its page with what stood there, and offers nothing more to do', async () => {
    const page = await sightglass.open('/facilities/new')
    await page.getByLabel('Name').fill('Closed Lido')
    await page.getByRole('button', { name: 'Create the facility' }).click()
    await page.getByRole('button', { name: 'Add an equipment room' }).click()
    await dialog(page).getByLabel('Name').fill('Old basement')
    await create(page, 'equipment room')
    await page.getByRole('button', { name: 'Retire', exact: true }).first().click()
    await dialog(page).getByRole('button', { name: 'Retire it' }).click()
    await page.getByText('This facility is retired').waitFor()
    expect(await page.getByRole('link', { name: 'Enter a log sheet' }).count()).toBe(0)
    expect(await page.getByRole('button', { name: /^Add an?/ }).count()).toBe(0)
    await page.reload()
    await page.getByRole('heading', { name: 'Old basement' }).waitFor()
    await page.context().close()
  })
})

describe('a gateway', () => {
  it('shows its token once and is revoked', async () => {
    const page = await sightglass.open('/gateways')
    await page.getByLabel('Name').fill('Basement box')
    await page.getByRole('combobox', { name: 'Facility' }).fill('quay')
    await page.getByRole('option', { name: /Quayside Club/ }).click()
    await page.getByLabel('Controller A').check()
    await page.getByRole('button', { name: 'Create it and show its token' }).click()
    await page.getByText('This token is shown once').waitFor()
    expect((await wordsOf(page.locator('code.token'))).length).toBeGreaterThan(20)
    await page.reload()
    await page.getByRole('row').filter({ hasText: 'Basement box' }).waitFor()
    expect(await page.locator('code.token').count()).toBe(0)
    await page.getByRole('button', { name: 'Revoke Basement box' }).click()
    await page.getByRole('button', { name: 'Revoke it' }).click()
    await page.getByRole('cell', { name: 'revoked' }).waitFor()
    await page.context().close()
  })
})

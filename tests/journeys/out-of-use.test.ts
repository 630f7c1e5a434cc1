import type { Body } from '@sightglass/contract'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { pageErrors } from '../support/browser.ts'
import {
  GOOD_WATER,
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
beforeAll(async () => {
  sightglass = await startSightglass()
  const hotel = await makeFacility(sightglass, 'Saltmarsh Hotel')
  pool = await makeBody(sightglass, hotel, 'Garden pool')
  await test(sightglass, await makeBody(sightglass, hotel, 'Indoor pool'), GOOD_WATER)
})
afterAll(() => sightglass?.stop())

describe('a pool shut for the winter', () => {
  it('is taken out of use on its page, with why, when and by whom', async () => {
    const page = await sightglass.open(`/bodies/${pool.id}`)
    await page.getByRole('button', { name: 'Take out of use' }).click()
    const dialog = page.getByRole('dialog')
    await dialog.getByRole('button', { name: 'Take it out of use' }).click()
    await dialog.getByText('must say why').waitFor()
    await dialog.getByLabel('Why').fill('Shut for the winter')
    await dialog.getByLabel('Person').fill('A. Reed')
    await dialog.getByRole('button', { name: 'Take it out of use' }).click()
    await page.getByText(/Out of use since .*: Shut for the winter\./).waitFor()
    await page.getByText('No score: its water is not judged.').waitFor()
    expect(await page.getByRole('button', { name: 'Take out of use' }).count()).toBe(0)
    await picture(page, 'out-of-use', { whole: true })
    expect(pageErrors(page)).toEqual([])
    await page.context().close()
  })

  it('stands last in the morning list, neither fine nor closed, under a filter of its own', async () => {
    const page = await sightglass.open('/')
    const rows = page.getByRole('article')
    await expect.poll(() => rows.count()).toBe(2)
    expect(await wordsOf(rows.last())).toMatch(
      /Out of use[\s\S]*Garden pool[\s\S]*Out of use since .*: Shut for the winter\./,
    )
    await page.getByRole('button', { name: /Out of use/ }).click()
    await page.waitForURL('**/?severity=outOfUse')
    await expect.poll(() => rows.count()).toBe(1)
    await page.context().close()
  })

  it('is put into use again, and judged at once', async () => {
    const page = await sightglass.open(`/bodies/${pool.id}`)
    await page.getByRole('button', { name: 'Put into use again' }).click()
    const dialog = page.getByRole('dialog')
    await dialog.getByLabel('Person').fill('A. Reed')
    await dialog.getByRole('button', { name: 'It is in use from now' }).click()
    await page.getByRole('button', { name: 'Take out of use' }).waitFor()
    await page.getByText('Nothing recent enough to judge').first().waitFor()
    await page.context().close()
  })
})

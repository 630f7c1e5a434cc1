import type { Body, Facility } from '@sightglass/contract'
import type { Locator, Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { axeFindings, pageErrors } from '../support/browser.ts'
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
let club: Facility
let pool: Body
beforeAll(async () => {
  sightglass = await startSightglass()
  club = await makeFacility(sightglass, 'Quayside Club')
  const answer = await fetch(`${sightglass.apiUrl}/facilities/${club.id}`, {
    method: 'PATCH',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify({ profileKey: 'us-nc' }),
  })
  if (!answer.ok) throw new Error(await answer.text())
  pool = await makeBody(sightglass, club, 'Lap pool')
  await test(sightglass, pool, { ...GOOD_WATER, ph: 7.7 }, 2)
})
afterAll(() => sightglass?.stop())

const PHONE = { width: 390, height: 844 }
const alerts = (page: Page) => page.getByRole('alert').allInnerTexts()
const dialog = (page: Page) => page.getByRole('dialog')
const PH = 'pH, maximum (closed to bathers)'
const ruleOf = (page: Page, name: string) =>
  page.getByRole('listitem').filter({ has: page.getByRole('heading', { name, exact: true }) })
const setOwn = async (page: Page, name: string) => {
  await page.getByRole('button', { name: `Set your own: ${name}` }).click()
  return ruleOf(page, name)
}
const reasons = async (within: Locator, why: string, whose: string) => {
  await within.getByLabel('Why', { exact: true }).fill(why)
  await within.getByLabel('Whose limit it is').fill(whose)
}
const noSidewaysScroll = async (page: Page) =>
  expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(
    page.viewportSize()?.width ?? 0,
  )

describe('a company’s own profile at the desk', () => {
  it('is derived from a published one, looked at, stored, changed, chosen for a facility and not retired while in use', async () => {
    const page = await sightglass.open('/profiles')
    await page.getByText('None yet. Open a published profile').waitFor()
    expect(await axeFindings(page)).toEqual([])
    await picture(page, 'profiles-desk', { whole: true })
    await page.getByRole('link', { name: 'North Carolina public pools' }).click()
    await page.getByRole('heading', { name: 'North Carolina public pools', level: 1 }).waitFor()
    await page.getByText(/1 facility is judged by it\./).waitFor()
    await page.getByText('were not read: the Model Aquatic Health Code and practice').waitFor()
    const limits = page.getByRole('table').first()
    expect(await wordsOf(limits)).toMatch(
      /pH\s+at most 7\.8\s+closed to bathers\s+all water\s+By the published code: North Carolina/,
    )
    expect(await axeFindings(page)).toEqual([])
    await picture(page, 'profile-published-desk', { whole: true })

    await page.getByRole('link', { name: 'Derive your own profile from this one' }).click()
    await page.getByRole('heading', { name: 'A profile of your own', level: 1 }).waitFor()
    await page.getByRole('button', { name: 'Create the profile' }).click()
    await expect.poll(() => alerts(page)).toEqual(expect.arrayContaining(['must not be empty', 'must name the person']))
    expect((await alerts(page)).join()).toMatch(/Nothing is set yet/)
    await page.getByLabel('Name of your profile').fill('Larkmead in Carolina')
    await page.getByLabel('Person', { exact: true }).fill('Ines Calloway')

    await page.getByLabel('Show rules about').selectOption('pH')
    const ph = await setOwn(page, PH)
    await ph.getByLabel('Your own maximum').fill('7.6')
    // wrong input: neither why nor whose
    await page.getByRole('button', { name: 'Create the profile' }).click()
    await expect
      .poll(() => alerts(page))
      .toEqual(expect.arrayContaining(['must say why', 'must say whose limit it is']))
    await reasons(ph, 'Plaster is new', 'Larkmead water book, page 3')
    expect((await alerts(page)).join()).not.toMatch(/must say/)

    const low = await setOwn(page, 'pH, minimum (closed to bathers)')
    await low.getByLabel('Your own minimum').fill('7.1')
    await low.getByText(/Laxer than the law, which asks for: at least 7\.2/).waitFor()
    await reasons(low, 'The finish is vinyl', 'County order 12')

    await page.getByLabel('Show rules about').selectOption('everything')
    await page.getByRole('button', { name: 'Add a limit' }).click()
    const added = page.getByRole('group', { name: 'Limit 1', exact: true })
    await added.getByLabel('What', { exact: true }).selectOption('Dissolved solids')
    await added.getByLabel('Value, ppm').fill('2,500')
    await reasons(added, 'Salt eats the heaters', 'Larkmead water book, page 4')

    await page.getByRole('button', { name: 'See which bodies would change standing' }).click()
    const preview = page.getByRole('region', { name: 'What it would change' })
    await preview.getByText('1 of 1 body judged by North Carolina public pools would change').waitFor()
    expect(await wordsOf(preview)).toMatch(/Quayside Club, Lap pool:\s*Fine\s*would be\s*Close/i)
    expect(await axeFindings(page)).toEqual([])
    await picture(page, 'profile-new-desk', { whole: true })

    await page.getByRole('button', { name: 'Create the profile' }).click()
    await expect
      .poll(() => alerts(page))
      .toEqual(
        expect.arrayContaining([expect.stringContaining('must be confirmed, or the value made as strict as the law')]),
      )
    await low.getByLabel('I know that, and it is meant').check()
    await page.getByRole('button', { name: 'Create the profile' }).click()

    await page.getByRole('heading', { name: 'Larkmead in Carolina', level: 1 }).waitFor()
    const difference = page.getByRole('region', { name: 'What your company set for itself' })
    const words = await wordsOf(difference)
    expect(words).toMatch(
      /pH, maximum \(closed to bathers\)\s+at most 7\.6 in place of: at most 7\.8\s+Plaster is new Larkmead water book, page 3/,
    )
    expect(words).toMatch(/at least 7\.1 in place of: at least 7\.2[\s\S]*Confirmed by Ines Calloway in version 1\./)
    expect(words).toMatch(
      /Dissolved solids, maximum \(a person today\)\s+at most 2,500\sppm added; North Carolina public pools has no limit/,
    )
    expect(await axeFindings(page)).toEqual([])
    await picture(page, 'profile-own-desk', { whole: true })

    await page.getByRole('link', { name: 'Change this profile' }).click()
    await page.getByRole('heading', { name: 'Change Larkmead in Carolina' }).waitFor()
    await ruleOf(page, PH).getByLabel('Your own maximum').fill('7.75')
    await page.getByRole('button', { name: 'Store the new version' }).click()
    await expect.poll(() => alerts(page)).toContain('must say why it is changed')
    await page.getByLabel('Why it is changed').fill('The plaster has cured')
    await page.getByRole('button', { name: 'Store the new version' }).click()
    await page.getByText('The plaster has cured').waitFor()
    expect(await wordsOf(difference)).toMatch(/at most 7\.75 in place of: at most 7\.8/)
    const versions = await wordsOf(page.getByRole('region', { name: 'Versions' }))
    expect(versions).toMatch(
      /Version 2, [\s\S]*by Ines Calloway: The plaster has cured[\s\S]*Version 1, [\s\S]*First version/,
    )

    await page.goto(`${sightglass.url}/facilities/${club.id}`)
    await page.getByRole('button', { name: 'Edit', exact: true }).first().click()
    await dialog(page).getByLabel('Code profile').selectOption('Larkmead in Carolina')
    await dialog(page).getByRole('button', { name: /Store/ }).click()
    await dialog(page).waitFor({ state: 'hidden' })
    await page.getByRole('link', { name: 'Larkmead in Carolina' }).click()
    await page.getByText(/1 facility is judged by it\./).waitFor()
    await page.getByRole('button', { name: 'Retire', exact: true }).click()
    await dialog(page).getByText('Choose another profile there first').waitFor()
    expect(await wordsOf(dialog(page))).toMatch(/Quayside Club/)
    expect(await axeFindings(page)).toEqual([])
    expect(pageErrors(page)).toEqual([])
    await page.context().close()
  })
})

describe('a company’s own profile on a phone', () => {
  it('can be read, changed and retired once nothing rests on it, without scrolling sideways', async () => {
    const page = await sightglass.open('/profiles/new?from=cdc-mahc', PHONE)
    await page.getByLabel('Name of your profile').fill('Spare')
    await page.getByLabel('Person', { exact: true }).fill('D. Fenn')
    const name = 'Water temperature, maximum (a person today)'
    const hot = await setOwn(page, name)
    expect(await hot.getByLabel('Your own maximum, °F').inputValue()).toBe('104')
    await hot.getByLabel('Your own maximum, °F').fill('100')
    await reasons(hot, 'Children', 'Larkmead water book, page 5')
    await page.getByRole('button', { name: 'Add a limit' }).click()
    await noSidewaysScroll(page)
    expect(await axeFindings(page)).toEqual([])
    await picture(page, 'profile-new-phone')
    await page.getByRole('group', { name: 'Limit 1', exact: true }).scrollIntoViewIfNeeded()
    await picture(page, 'profile-new-phone-limit')
    // a limit that stands where the parent has one is refused by the API, at its field
    const added = page.getByRole('group', { name: 'Limit 1', exact: true })
    await added.getByLabel('What', { exact: true }).selectOption('pH')
    await added.getByLabel('Value').fill('7.6')
    await reasons(added, 'Eyes', 'Larkmead water book, page 6')
    await page.getByRole('button', { name: 'Create the profile' }).click()
    await expect.poll(async () => (await alerts(page)).join()).toMatch(/practice\.ph\.max|already/)
    await page.getByRole('button', { name: 'Drop limit 1' }).click()
    await page.getByRole('button', { name: 'Create the profile' }).click()
    await page.getByRole('heading', { name: 'Spare', level: 1 }).waitFor()
    await noSidewaysScroll(page)
    expect(await axeFindings(page)).toEqual([])
    await picture(page, 'profile-own-phone', { whole: true })

    await page.getByRole('button', { name: 'Retire', exact: true }).click()
    await dialog(page).getByRole('button', { name: 'Retire it' }).click()
    await dialog(page).getByText('must say why it goes').waitFor()
    await dialog(page).getByLabel('Why it goes').fill('Never used')
    await dialog(page).getByRole('button', { name: 'Retire it' }).click()
    await page.getByText('This profile is retired').waitFor()
    await page.getByRole('link', { name: 'Code profiles' }).first().click()
    await page.getByRole('heading', { name: 'Code profiles', level: 1 }).waitFor()
    expect(await page.getByRole('link', { name: 'Spare' }).count()).toBe(0)
    await noSidewaysScroll(page)
    await picture(page, 'profiles-phone')
    // the limit was refused on purpose
    expect(pageErrors(page).filter((words) => !words.includes('400'))).toEqual([])
    await page.context().close()
  })

  it('that there is not, and a published one that would be changed, are pages that say so', async () => {
    const page = await sightglass.open('/profiles/moon-code', PHONE)
    await page.getByRole('heading', { name: 'There is nothing here' }).waitFor()
    await page.goto(`${sightglass.url}/profiles/us-ca/edit`)
    await page.getByRole('heading', { name: 'There is nothing here' }).waitFor()
    await page.context().close()
  })
})

import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { axeFindings, openBrowser, openPage, pageErrors } from '../support/browser.ts'
import { findChromium } from '../support/chromium.ts'

describe('findChromium', () => {
  it('says how to get one when the named program cannot be run', () => {
    expect(() => findChromium({ CHROMIUM_PATH: '/no/such/browser' })).toThrow(
      /CHROMIUM_PATH.*apt-get install chromium/s,
    )
  })
})

describe('the browser helpers', () => {
  let browser: Awaited<ReturnType<typeof openBrowser>>
  beforeAll(async () => {
    browser = await openBrowser()
  })
  afterAll(() => browser.close())

  const show = async (body: string) => {
    const page = await openPage(browser)
    await page.setContent(`<html lang="en"><head><title>Pool</title></head><body>${body}</body></html>`)
    return page
  }

  it('report what axe objects to, and nothing on a sound page', async () => {
    const bad = await show('<main><h1>Pool</h1><input></main>')
    expect((await axeFindings(bad)).join('\n')).toContain('label: Form elements must have labels at input')
    const good = await show('<main><h1>Pool</h1><label>pH <input></label></main>')
    expect(await axeFindings(good)).toEqual([])
  })

  it('report errors that a page throws', async () => {
    const page = await show('<main><h1>Pool</h1><script>setTimeout(() => { throw new Error("drum") })</script></main>')
    await page.waitForTimeout(100)
    expect(pageErrors(page)).toEqual(['drum'])
  })
})

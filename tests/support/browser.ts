// A real Chromium for the journeys, and axe to look over a page.
//
//   const browser = await openBrowser()
//   const page = await openPage(browser, { width: 390, height: 844 })    a fresh, empty session
//   await page.goto(`${webUrl}/`)
//   expect(await axeFindings(page)).toEqual([])                          WCAG 2.2 A and AA
//   await browser.close()
//
// Errors that a page throws or logs make the next pageErrors(page) non-empty: expect([]) of it at the end of a journey.
import { AxeBuilder } from '@axe-core/playwright'
import { type Browser, chromium, type Page } from 'playwright-core'
import { findChromium } from './chromium.ts'

const quiet = ['--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking']
const offline = ['--disable-component-update', '--disable-sync', '--disable-dev-shm-usage']

export function openBrowser(): Promise<Browser> {
  // Chromium's sandbox refuses root, which containers usually are
  const sandbox = process.getuid?.() === 0 ? ['--no-sandbox'] : []
  return chromium.launch({ executablePath: findChromium(), args: [...quiet, ...offline, ...sandbox] })
}

const errors = new WeakMap<Page, string[]>()

export interface PageOptions {
  width?: number
  height?: number
  timezoneId?: string
  touch?: boolean
}

export async function openPage(browser: Browser, options: PageOptions = {}): Promise<Page> {
  const { width = 1440, height = 900, timezoneId = 'America/Chicago', touch = width < 600 } = options
  const context = await browser.newContext({
    viewport: { width, height },
    locale: 'en-US',
    timezoneId,
    hasTouch: touch,
    isMobile: touch,
    acceptDownloads: true,
  })
  const page = await context.newPage()
  const seen: string[] = []
  errors.set(page, seen)
  page.on('pageerror', (error) => seen.push(error.message))
  page.on('console', (message) => {
    if (message.type() === 'error') seen.push(message.text())
  })
  return page
}

export const pageErrors = (page: Page) => errors.get(page) ?? []

/** One line per thing that axe objects to: rule, what is wrong, where. Empty when all is well. */
export async function axeFindings(page: Page): Promise<string[]> {
  const { violations } = await new AxeBuilder({ page })
    .withTags(['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'])
    .analyze()
  return violations.flatMap(({ id, help, nodes }) => nodes.map(({ target }) => `${id}: ${help} at ${target.join(' ')}`))
}

import { describe, expect, it } from 'vitest'
import { CHECKS } from './all.ts'
import { checksPage, grouped } from './page.ts'

describe('what others published or computed', () => {
  for (const [name, rows] of grouped(CHECKS)) {
    it(`${name} (${rows.length})`, () => {
      for (const check of rows) {
        const ours = check.ours()
        const message = `${check.locus} ${JSON.stringify(check.given)}: ours ${ours}, theirs ${check.expect} (${check.because})`
        expect(Number.isFinite(ours), message).toBe(true)
        expect(Math.abs(ours - check.expect), message).toBeLessThanOrEqual(check.tolerance)
      }
    })
  }

  it('are all there: a table that lost its rows would check nothing', () => {
    const rows = (kind: string) => CHECKS.filter((check) => check.kind === kind).length
    expect(rows('otherProgram')).toBeGreaterThan(1800)
    expect(rows('published')).toBeGreaterThan(50)
    for (const check of CHECKS) {
      expect(Number.isFinite(check.expect), check.locus).toBe(true)
      expect(check.tolerance, check.locus).toBeGreaterThanOrEqual(0)
    }
  })

  // after a change that is meant: npx vitest run --config .config/vitest.config.ts --project chemistry tests/chemistry/published -u
  it('stand on the page of the checks with the deviations of today', async () => {
    await expect(checksPage(CHECKS)).toMatchFileSnapshot('../../../docs/checks.md')
  })
})

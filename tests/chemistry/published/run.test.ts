import { afterAll, describe, expect, it } from 'vitest'
import type { Check } from './check.ts'
import { equilibriaChecks } from './equilibria.ts'
import { speciationChecks } from './speciation.ts'

const checks = [...equilibriaChecks, ...speciationChecks]
const bySource = grouped(checks)

function grouped(all: readonly Check[]): Map<string, Check[]> {
  const groups = new Map<string, Check[]>()
  for (const check of all) groups.set(check.source, [...(groups.get(check.source) ?? []), check])
  return groups
}

const deviation = (check: Check) => Math.abs(check.ours() - check.expect)

describe('what others published or computed', () => {
  for (const [source, rows] of bySource) {
    it(`${source} (${rows.length})`, () => {
      for (const check of rows) {
        const ours = check.ours()
        const message = `${check.locus} ${JSON.stringify(check.given)}: ours ${ours}, theirs ${check.expect} (${check.because})`
        expect(Number.isFinite(ours), message).toBe(true)
        expect(Math.abs(ours - check.expect), message).toBeLessThanOrEqual(check.tolerance)
      }
    })
  }

  it('are all there: a table that lost its rows would check nothing', () => {
    expect(checks.filter(({ kind }) => kind === 'otherProgram').length).toBeGreaterThan(650)
    expect(checks.filter(({ kind }) => kind === 'published').length).toBeGreaterThan(30)
    for (const check of checks) expect(Number.isFinite(check.expect), check.locus).toBe(true)
  })
})

afterAll(() => {
  const lines = [...bySource].map(([source, rows]) => {
    const worst = rows.reduce((a, b) => (deviation(b) > deviation(a) ? b : a))
    const share = deviation(worst) / worst.tolerance
    return `  ${deviation(worst).toPrecision(2).padStart(9)}  ${`${Math.round(share * 100)} %`.padStart(5)} of tolerance  ${source} (${rows.length}), ${worst.locus}`
  })
  console.log(`Largest deviation for each source:\n${lines.join('\n')}`)
})

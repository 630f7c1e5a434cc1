import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { drumRows, plantRows, supplyLines, tuningRows } from './page.ts'

const lines = readFileSync(new URL('../../../docs/feed.md', import.meta.url), 'utf8').split('\n')

describe('the page on feed', () => {
  it.each([
    ['the settings of its examples', tuningRows, 7],
    ['how settings act on many plants', plantRows, 2],
    ['the example of a drum', supplyLines, 5],
    ['how often what is said of drums comes true', drumRows, 2],
  ] as const)('shows %s as the code has it', (_what, rowsOf, count) => {
    const rows = rowsOf()
    expect(rows).toHaveLength(count)
    for (const row of rows) expect(lines).toContain(row)
  })

  it('can be worked out by hand', () => {
    // 0.1 mg/L in 100,000 L, of 100 g in a litre, by 8 L in an hour
    expect(((0.1 * 100_000) / 1000 / 100 / 8) * 3600).toBeCloseTo(45, 9)
    // 10 mV, of 65 for ten times as much at 2 mg/L: litres, and seconds
    const litres = ((10 / (65 / Math.LN10 / 2)) * 100_000) / 1000 / 100
    expect(litres).toBeCloseTo(0.71, 2)
    expect(Math.round(((litres / 8) * 3600) / 5) * 5).toBe(5 * 60 + 20)
    // the drum: 42 L in 300 min; what is left after 180 min of 0.14 L
    expect((42 / 300) * 60).toBeCloseTo(8.4, 9)
    expect(138 - 180 * 0.14).toBeCloseTo(112.8, 9)
    // five days of 60 min and two of 90, and so many days of it
    expect(112.8 / (((5 * 60 + 2 * 90) / 7) * 0.14)).toBeCloseTo(11.75, 9)
  })
})

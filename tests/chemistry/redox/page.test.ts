import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { beliefRows, byHand, example, exampleLines, exampleRows, workRows } from './page.ts'

const page = readFileSync(new URL('../../../docs/redox.md', import.meta.url), 'utf8')
const lines = page.split('\n')

describe('the page on redox', () => {
  it('shows what is believed before any pair', () => {
    const rows = beliefRows()
    expect(rows).toHaveLength(5)
    for (const row of rows) expect(lines).toContain(row)
  })

  it('shows by how much each work may move the offset', () => {
    for (const row of workRows()) expect(lines).toContain(row)
  })

  it('works its example out as the code does', () => {
    const told = [...exampleRows(), ...exampleLines()]
    expect(told).toHaveLength(17)
    for (const line of told) expect(lines).toContain(line)
  })

  it('can be worked out by hand, to a millivolt', () => {
    const { decades, setMv } = byHand()
    expect(decades).toBeCloseTo(-0.27, 2)
    expect(Math.abs(setMv - (example().advice.holdsTargetMv?.value ?? 0))).toBeLessThan(1)
    expect(lines.some((line) => line.includes('29.4 × −0.27 = −8'))).toBe(true)
  })
})

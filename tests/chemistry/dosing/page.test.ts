import { readFileSync } from 'node:fs'
import { CHEMICAL_KEYS } from '@sightglass/chemistry'
import { describe, expect, it } from 'vitest'
import { STEP_LIMITS } from '../../../packages/chemistry/src/dosing/pace.ts'
import { acidRows, chemicalRows, chlorineRows, exampleLines } from './page.ts'

const page = readFileSync(new URL('../../../docs/dosing.md', import.meta.url), 'utf8')
const lines = page.split('\n')

describe('the page on doses', () => {
  it('lists each chemical as the catalogue has it', () => {
    const rows = chemicalRows()
    expect(rows).toHaveLength(CHEMICAL_KEYS.length)
    for (const row of rows) expect(lines).toContain(row)
  })

  it('shows what the acids and the chlorine products do today', () => {
    for (const row of [...acidRows(), ...chlorineRows()]) expect(lines).toContain(row)
  })

  it('works its example out as the code does', () => {
    const steps = exampleLines()
    expect(steps).toHaveLength(4)
    for (const step of steps) expect(lines).toContain(step)
  })

  it('can be worked out by hand', () => {
    // 1.6 mg/L in 300,000 L, of 125 g in a litre
    expect((1.6 * 300_000) / 1000 / 125).toBe(3.84)
    expect(exampleLines()[0]).toContain('12.5 trade %: 3.84 L;')
  })

  it('gives the limits of one addition', () => {
    const said = (name: string, value: string) => lines.some((line) => line.startsWith(`| ${name} | ${value} |`))
    expect(said('pH', String(STEP_LIMITS.ph))).toBe(true)
    expect(said('alkalinity, down by acid', `${STEP_LIMITS.acidAlkalinityMgL} mg/L`)).toBe(true)
    expect(said('alkalinity, up', `${STEP_LIMITS.totalAlkalinityMgL} mg/L`)).toBe(true)
    expect(said('free chlorine, bromine', `${STEP_LIMITS.freeChlorineMgL} mg/L`)).toBe(true)
    expect(said('hardness', `${STEP_LIMITS.calciumHardnessMgL} mg/L`)).toBe(true)
    expect(said('cyanuric acid', `${STEP_LIMITS.cyanuricAcidMgL} mg/L`)).toBe(true)
  })
})

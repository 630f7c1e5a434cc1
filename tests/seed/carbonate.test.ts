import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { alkalinityOf, bufferAt, carbonOf, nextHydrogen } from '../../packages/chemistry/src/plant/carbonate.ts'
import { MG_CACO3_PER_MEQ } from '../../packages/chemistry/src/plant/constants.ts'

const table = (name: string) => {
  const [header = '', ...lines] = readFileSync(new URL(`./phreeqc/${name}.csv`, import.meta.url), 'utf8')
    .split('\n')
    .filter((line) => line && !line.startsWith('#'))
  const names = header.split(',')
  return lines.map((line) => {
    const cells = line.split(',')
    return Object.fromEntries(names.map((name, at) => [name, cells[at] ?? ''])) as Record<string, string>
  })
}

const solve = (alkalinity: number, carbon: number, cyanuric: number, buffer: ReturnType<typeof bufferAt>) => {
  let hydrogen = 10 ** -7
  for (let turn = 0; turn < 60; turn++) hydrogen = nextHydrogen(hydrogen, alkalinity, carbon, cyanuric, buffer)
  return -Math.log10(hydrogen)
}

// PHREEQC 3.8.8 (USGS), database phreeqc.dat; see the head of the tables.
describe('pH after acid and base, against PHREEQC', () => {
  const rows = [...table('acid-dose'), ...table('base-dose')]
  it('has rows', () => expect(rows.length).toBeGreaterThan(35))

  it.each(rows)('water $water, $dose_meq meq of $chemical: pH $end_ph', (row) => {
    const number = (name: string) => Number(row[name])
    const [cyanuric, meq] = [number('cya_mgl'), number('dose_meq')]
    const buffer = bufferAt(number('temp_c'), number('start_tds_mgl'), number('calcium_hardness_mgl_caco3'))
    const alkalinity = number('start_ta_mgl_caco3') / MG_CACO3_PER_MEQ
    const carbon = carbonOf(alkalinity, 10 ** -number('start_ph'), cyanuric, buffer)
    const acid = row.chemical === 'HCl' || row.chemical === 'H2SO4'
    const moreCarbon = row.chemical === 'NaHCO3' ? meq : row.chemical === 'Na2CO3' ? meq / 2 : 0
    const ph = solve(alkalinity + (acid ? -meq : meq), carbon + moreCarbon, cyanuric, buffer)
    // no ion pairs here, and one ionic strength for all: good enough for a demo, and far better than it needs
    expect(Math.abs(ph - number('end_ph'))).toBeLessThan(0.05)
  })
})

it('finds the alkalinity again from the carbon', () => {
  const buffer = bufferAt(27, 1000, 280)
  const carbon = carbonOf(2, 10 ** -7.4, 30, buffer)
  expect(alkalinityOf(carbon, 10 ** -7.4, 30, buffer)).toBeCloseTo(2, 9)
})

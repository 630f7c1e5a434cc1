import {
  alkalinityFactor,
  alkalinityForSaturation,
  calciumFactor,
  calciumForSaturation,
  fahrenheitToCelsius,
  saturationIndex,
  saturationIndexTable,
  saturationPh,
  solidsConstant,
  temperatureFactor,
} from '@sightglass/chemistry'
import { type Check, numbers, table, waterOf } from './check.ts'

const published = (given: Omit<Check, 'kind'>): Check => ({ kind: 'published', ...given })
const number = (value: number | null) => value ?? Number.NaN

const ANOTHER_FIT = 'another fit of calcite and a weaker CaHCO3+ pair: databases differ by up to 0.1'
const saturation: Check[] = table('calcite-si.csv').flatMap((row) => {
  const [tempC, ph, calciumHardnessMgL, totalAlkalinityMgL, tdsMgL] = numbers(
    row,
    'temp_c',
    'ph',
    'calcium_hardness_mgl_caco3',
    'carbonate_alkalinity_mgl_caco3',
    'tds_mgl',
  ) as [number, number, number, number, number]
  const given = { tempC, ph, calciumHardnessMgL, totalAlkalinityMgL, tdsMgL }
  const water = waterOf(given)
  const [theirs, phs, wateq] = numbers(row, 'si_calcite', 'phs_fixed_ta', 'si_calcite_wateq4f') as [
    number,
    number,
    number,
  ]
  const mild = tempC >= 20 && tempC <= 30
  const shared = { locus: `calcite-si.csv row ${row.row}`, kind: 'otherProgram' as const, given }
  const held = (
    source: string,
    quantity: string,
    expect: number,
    ours: () => number,
    tolerance: number,
    because: string,
  ) => ({
    ...shared,
    source,
    quantity,
    expect,
    ours,
    tolerance,
    because,
  })
  const WATEQ = 'PHREEQC with wateq4f.dat'
  return [
    mild
      ? held(
          `${WATEQ}, 20 to 30 °C`,
          'saturation index',
          wateq,
          () => number(saturationIndex(water)),
          0.03,
          'as required',
        )
      : held(`${WATEQ}, beyond`, 'saturation index', wateq, () => number(saturationIndex(water)), 0.05, 'as required'),
    held(
      'PHREEQC with phreeqc.dat',
      'saturation index',
      theirs,
      () => number(saturationIndex(water)),
      0.08,
      ANOTHER_FIT,
    ),
    held(
      'PHREEQC with phreeqc.dat',
      'pH of saturation at this alkalinity',
      phs,
      () => number(saturationPh(water)),
      0.08,
      ANOTHER_FIT,
    ),
    // what brings the index to the value that the table has for this water is what the water has
    held(
      `${WATEQ}, read backwards`,
      'log10 of calcium hardness for its index',
      Math.log10(calciumHardnessMgL),
      () => Math.log10(number(calciumForSaturation({ ...water, calciumHardnessMgL: 100 }, wateq))),
      0.05,
      'the index goes with the logarithm of calcium',
    ),
    held(
      `${WATEQ}, read backwards`,
      'log10 of alkalinity for its index',
      Math.log10(totalAlkalinityMgL),
      () => Math.log10(number(alkalinityForSaturation({ ...water, totalAlkalinityMgL: 80 }, wateq))),
      0.05,
      'the index goes with the logarithm of alkalinity',
    ),
  ]
})

const NY = '10 NYCRR 6-1.30'
const classical: Check[] = [
  ...(
    [
      ['temperature factor at 76 °F', 0.6, () => temperatureFactor(fahrenheitToCelsius(76))],
      ['calcium factor at 200', 1.9, () => calciumFactor(200)],
      ['alkalinity factor at 200', 2.3, () => alkalinityFactor(200)],
      ['calcium factor at 400', 2.2, () => calciumFactor(400)],
      ['calcium factor at 1000', 2.6, () => calciumFactor(1000)],
      ['alkalinity factor at 5', 0.7, () => alkalinityFactor(5)],
      ['temperature factor at 128 °F', 1, () => temperatureFactor(fahrenheitToCelsius(128))],
    ] as const
  ).map(([locus, expect, ours]) =>
    published({
      source: NY,
      quantity: 'factor',
      locus,
      given: {},
      expect,
      ours,
      tolerance: 1e-9,
      because: 'a row of the table',
    }),
  ),
  published({
    source: NY,
    quantity: 'classical index',
    locus: 'worked example: 7.8 + 0.52 + 1.76 + 1.22 − 12.1 = −0.8',
    given: { ph: 7.8, tempF: 68, calciumHardnessMgL: 140, alkalinityMgL: 20 },
    expect: -0.8,
    ours: () => index(7.8, 68, 140, 20),
    tolerance: 0.01,
    because: 'interpolated as the example does; it prints 1.22 for 1.225',
  }),
  ...(
    [
      [7.0, 76, 200, 50, -0.9],
      [7.6, 84, 300, 75, 0.2],
      [8.0, 94, 400, 150, 1.1],
      [7.0, 84, 300, 25, -0.9],
    ] as const
  ).map(([ph, tempF, calciumHardnessMgL, alkalinityMgL, expect]) =>
    published({
      source: 'pool operator course samples (second source)',
      quantity: 'classical index',
      locus: `pH ${ph}, ${tempF} °F, hardness ${calciumHardnessMgL}, alkalinity ${alkalinityMgL}`,
      given: { ph, tempF, calciumHardnessMgL, alkalinityMgL },
      expect,
      ours: () => index(ph, tempF, calciumHardnessMgL, alkalinityMgL),
      tolerance: 0.05,
      because: 'printed to one decimal',
    }),
  ),
  ...(
    [
      [900, 12.1],
      [1100, 12.2],
    ] as const
  ).map(([tdsMgL, expect]) =>
    published({
      source: 'Montana ARM 37.115.1308 Table 7 (mirror)',
      quantity: 'constant',
      locus: `dissolved solids ${tdsMgL}`,
      given: { tdsMgL },
      expect,
      ours: () => solidsConstant(tdsMgL),
      tolerance: 1e-9,
      because: 'a row of the table',
    }),
  ),
]

function index(ph: number, tempF: number, calciumHardnessMgL: number, alkalinityMgL: number) {
  return saturationIndexTable({ ph, tempC: fahrenheitToCelsius(tempF), calciumHardnessMgL, alkalinityMgL, tdsMgL: 500 })
}

export const saturationChecks: Check[] = [...saturation, ...classical]

import {
  cyanurateConstantsWahman,
  debyeHuckel,
  hypobromousFraction,
  hypochlorousFraction,
  logHenryCarbonDioxide,
  logK1Carbonic,
  logK2Carbonic,
  logKCalciumCarbonatePair,
  logKCalciumHydrogenCarbonate,
  logKspCalcite,
  logKWater,
  pkaBoric,
  pkaCyanuricWahman,
  pkaHypochlorous,
} from '@sightglass/chemistry'
import { type Check, numbers, table } from './check.ts'

const PB82 = 'Plummer and Busenberg 1982, as PHREEQC’s databases restate it'
const constants: Check[] = table('constants.csv').flatMap((row) => {
  const tempC = Number(row.temp_c)
  const at = (source: string, column: string, ours: () => number, tolerance: number, because: string): Check => ({
    source,
    quantity: 'log10 K',
    locus: `constants.csv ${column} at ${tempC} °C`,
    kind: 'otherProgram',
    given: { tempC },
    expect: Number(row[column]),
    ours,
    tolerance,
    because,
  })
  const printed = 'printed to four decimals'
  return [
    at(PB82, 'logK1_pb82', () => logK1Carbonic(tempC), 6e-5, printed),
    at(PB82, 'logK2_pb82', () => logK2Carbonic(tempC), 6e-5, printed),
    at(PB82, 'logKH_pb82', () => logHenryCarbonDioxide(tempC), 6e-5, printed),
    at(PB82, 'logKsp_calcite_pb82', () => logKspCalcite(tempC), 6e-5, printed),
    at(PB82, 'logK_caco3_pair_pb82', () => logKCalciumCarbonatePair(tempC), 6e-5, printed),
    at(PB82, 'logK_cahco3_pair_pb82', () => logKCalciumHydrogenCarbonate(tempC), 6e-5, printed),
    at('phreeqc.dat, ion product of water', 'logKw_phreeqc', () => logKWater(tempC), 6e-5, printed),
    at('phreeqc.dat, boric acid', 'logKa_boric_phreeqc', () => -pkaBoric(tempC), 5e-4, 'rounding of its enthalpy'),
    at(
      'Debye–Hückel A, Truesdell and Jones',
      'dh_A_truesdell_jones',
      () => debyeHuckel(tempC).a,
      0.002,
      'another fit of the dielectric constant of water; 0.002 moves the index by 0.001',
    ),
    at(
      'Morris 1966 (formula from memory, computed by another program)',
      'logKa_hocl_morris1966',
      () => -pkaHypochlorous(tempC),
      1e-6,
      'the same formula, six decimals',
    ),
  ]
})

const published = (given: Omit<Check, 'kind'>): Check => ({ kind: 'published', ...given })

const printedConstants: Check[] = [
  published({
    source: 'USGS phreeqc.dat',
    quantity: 'log10 K',
    locus: 'calcite, log_k',
    given: { tempC: 25 },
    expect: -8.48,
    ours: () => logKspCalcite(25),
    tolerance: 0.003,
    because: 'printed to three decimals, fitted around it',
  }),
  ...(
    [
      ['pK1', 6.352, () => -logK1Carbonic(25)],
      ['pK2', 10.329, () => -logK2Carbonic(25)],
    ] as const
  ).map(([locus, expect, ours]) =>
    published({
      source: 'Plummer and Busenberg 1982 (second source: public codes that cite it)',
      quantity: 'pK',
      locus,
      given: { tempC: 25 },
      expect,
      ours,
      tolerance: 0.002,
      because: 'printed to three decimals',
    }),
  ),
  published({
    source: 'Wahman 2018, doi 10.1039/c8ew00431e',
    quantity: 'pK',
    locus: 'abstract: pK6 = 1743/T + 1.12, at 25 °C',
    given: { tempC: 25 },
    expect: 6.966,
    ours: () => pkaCyanuricWahman(25),
    tolerance: 0.005,
    because: 'equation read, its value computed',
  }),
  ...(
    [
      ['pK7a', 4.65, 'pk7a'],
      ['pK9a', 5.83, 'pk9a'],
    ] as const
  ).map(([locus, expect, key]) =>
    published({
      source: 'Wahman and Alexander 2019, doi 10.1089/ees.2018.0387',
      quantity: 'pK',
      locus: `abstract: ${locus} at 25 °C`,
      given: { tempC: 25 },
      expect,
      ours: () => cyanurateConstantsWahman(25)[key],
      tolerance: 0.01,
      because: 'printed to two decimals',
    }),
  ),
]

const hypochlorous: Check[] = [
  ...table('hocl-fraction.csv').map((row): Check => {
    const [tempC, ph, fraction] = numbers(row, 'temp_c', 'ph', 'hocl_fraction') as [number, number, number]
    return {
      source: 'Morris 1966 (formula from memory, computed by another program)',
      quantity: 'share of HOCl',
      locus: `hocl-fraction.csv row ${row.row}`,
      kind: 'otherProgram',
      given: { ph, tempC },
      expect: fraction,
      ours: () => hypochlorousFraction(ph, tempC),
      tolerance: 0.01 * fraction,
      because: '1 % of the value',
    }
  }),
  published({
    source: 'Water and Wastewater Engineering: Design Principles and Practice',
    quantity: 'HOCl, %',
    locus: 'Example 13-1, p. 13-3: OCl− 22.37 % at pH 7.0 with pKa 7.54',
    given: { ph: 7, tempC: 25 },
    expect: 77.63,
    ours: () => 100 * hypochlorousFraction(7, 25),
    tolerance: 0.25,
    because: 'its pKa is 7.54, Morris gives 7.537: 0.15 % of the share',
  }),
  published({
    source: 'Water Treatment Plant model, appendix A, equation A-55 (read; its value computed)',
    quantity: 'pKa of HOCl',
    locus: 'at 20 °C',
    given: { tempC: 20 },
    expect: 7.6,
    ours: () => pkaHypochlorous(20),
    tolerance: 0.045,
    because: 'another fit, which is never mixed with Morris; the two part by up to 0.045 from 0 to 35 °C',
  }),
]

const MAHC_BROMINE = 'MAHC 5.7.3.1.2.2, annex (no edition shown)'
const bromine: Check[] = (
  [
    ['HOBr', 7.5, 94, 0.5, 'printed to whole per cent'],
    ['HOBr', 8, 83, 0.5, 'printed to whole per cent'],
    ['HOCl', 7.5, 55, 0.5, 'printed to whole per cent, temperature not told: both of its values are those of 20 °C'],
    ['HOCl', 8, 28, 0.5, 'printed to whole per cent, temperature not told: both of its values are those of 20 °C'],
  ] as const
).map(([acid, ph, expect, tolerance, because]) =>
  published({
    source: MAHC_BROMINE,
    quantity: `${acid}, %`,
    locus: `pH ${ph}`,
    given: { ph, tempC: 20 },
    expect,
    ours: () => 100 * (acid === 'HOBr' ? hypobromousFraction(ph) : hypochlorousFraction(ph, 20)),
    tolerance,
    because,
  }),
)

export const equilibriaChecks: Check[] = [...constants, ...printedConstants, ...hypochlorous, ...bromine]

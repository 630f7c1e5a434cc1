import {
  alkalinityFactor,
  calciumFactor,
  cyanurateConstantsWahman,
  debyeHuckel,
  fahrenheitToCelsius,
  hypochlorousFraction,
  logK1Carbonic,
  logK2Carbonic,
  logKCalciumCarbonatePair,
  logKCalciumHydrogenCarbonate,
  logKspCalcite,
  logKWater,
  pkaBoric,
  pkaCyanuricWahman,
  pkaHypochlorous,
  saturationIndex,
  saturationIndexTable,
  solidsConstant,
  temperatureFactor,
} from '@sightglass/chemistry'
import { type Check, numbers, table } from './check.ts'

const PB82 = 'Plummer and Busenberg 1982, as PHREEQC’s databases restate it'
const constants: Check[] = table('constants.csv').flatMap((row) => {
  const tempC = Number(row.temp_c)
  const at = (source: string, column: string, ours: () => number, tolerance: number, because: string): Check => ({
    source,
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
    locus: 'Example 13-1, p. 13-3: OCl− 22.37 % at pH 7.0 with pKa 7.54',
    given: { ph: 7, tempC: 25 },
    expect: 77.63,
    ours: () => 100 * hypochlorousFraction(7, 25),
    tolerance: 0.25,
    because: 'its pKa is 7.54, Morris gives 7.537: 0.15 % of the share',
  }),
]

const saturation: Check[] = table('calcite-si.csv').flatMap((row) => {
  const [tempC, ph, calciumHardnessMgL, carbonateAlkalinityMgL, tdsMgL] = numbers(
    row,
    'temp_c',
    'ph',
    'calcium_hardness_mgl_caco3',
    'carbonate_alkalinity_mgl_caco3',
    'tds_mgl',
  ) as [number, number, number, number, number]
  const given = { tempC, ph, calciumHardnessMgL, carbonateAlkalinityMgL, tdsMgL }
  const mild = tempC >= 20 && tempC <= 30
  const shared = {
    locus: `calcite-si.csv row ${row.row}`,
    kind: 'otherProgram' as const,
    given,
    ours: () => saturationIndex(given),
  }
  return [
    {
      ...shared,
      source: 'PHREEQC with wateq4f.dat, saturation index',
      expect: Number(row.si_calcite_wateq4f),
      tolerance: mild ? 0.03 : 0.05,
      because: mild ? '20 to 30 °C' : 'whole table',
    },
    {
      ...shared,
      source: 'PHREEQC with phreeqc.dat, saturation index',
      expect: Number(row.si_calcite),
      tolerance: 0.08,
      because: 'another fit of calcite and a weaker CaHCO3+ pair: databases differ by up to 0.1',
    },
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
    published({ source: NY, locus, given: {}, expect, ours, tolerance: 1e-9, because: 'a row of the table' }),
  ),
  published({
    source: NY,
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

export const equilibriaChecks: Check[] = [
  ...constants,
  ...printedConstants,
  ...hypochlorous,
  ...saturation,
  ...classical,
]

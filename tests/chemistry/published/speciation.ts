import {
  borateAlkalinity,
  carbonateAlkalinity,
  chlorineSpecies,
  combinedChlorine,
  cyanurateAlkalinity,
  cyanurateConstantsWahman,
  gallonsToLitres,
  MG_CACO3_PER_MEQ,
} from '@sightglass/chemistry'
import { type Check, numbers, table } from './check.ts'

const chlorine: Check[] = table('chlorine-cyanurate.csv').flatMap((row) => {
  const [tempC, ph, freeChlorineMgL, cyanuricAcidMgL] = numbers(
    row,
    'temp_c',
    'ph',
    'free_chlorine_mgl_cl2',
    'cya_mgl',
  ) as [number, number, number, number]
  const given = { tempC, ph, freeChlorineMgL, cyanuricAcidMgL }
  const held = (part: string, expect: number, ours: () => number): Check => ({
    source: `O’Brien, Morris and Butler 1974 solved at 40 digits: ${part}`,
    locus: `chlorine-cyanurate.csv row ${row.row}`,
    kind: 'otherProgram',
    given,
    expect,
    ours,
    tolerance: Math.max((expect < 0.001 ? 0.02 : 0.01) * expect, 1e-9),
    because: expect < 0.001 ? '2 % below 0.001 mg/L' : '1 % of the value',
  })
  const [acid, hypochlorite, bound] = numbers(row, 'hocl_mgl_cl2', 'ocl_mgl_cl2', 'bound_chlorine_mgl_cl2') as [
    number,
    number,
    number,
  ]
  return [
    held('hypochlorous acid', acid, () => chlorineSpecies(given).hypochlorousMgL),
    held('hypochlorite', hypochlorite, () => chlorineSpecies(given).hypochloriteMgL),
    held('bound to cyanurate', bound, () => chlorineSpecies(given).boundToCyanurateMgL),
  ]
})

// 2 mg/L of chlorine as pure dichlor brings 2 × 0.910 mg/L of cyanuric acid (two chlorines for each ring)
const trueFree = (tempC: number) => {
  const water = { freeChlorineMgL: 2, cyanuricAcidMgL: 2 * 0.91, ph: 7, tempC }
  const { hypochlorousMgL, hypochloriteMgL } = chlorineSpecies(water, cyanurateConstantsWahman(tempC))
  return hypochlorousMgL + hypochloriteMgL
}
const dichlor: Check[] = (
  [
    [25, 0.9, 0.02],
    [5, 0.6, 0.03],
  ] as const
).map(([tempC, expect, tolerance]) => ({
  source: 'Wahman and Alexander 2019, doi 10.1089/ees.2018.0387',
  locus: `abstract: 2 mg/L as dichlor, pH 7.0, ${tempC} °C`,
  kind: 'published',
  given: { freeChlorineMgL: 2, ph: 7, tempC },
  expect,
  ours: () => trueFree(tempC),
  tolerance,
  because: 'the paper corrects for activity, an ideal solution gives 0.910 and 0.625',
}))

const splits: Check[] = table('alkalinity-split.csv')
  .filter((row) => Number(row.end_ph) >= 4 && Number(row.end_ph) <= 10)
  .flatMap((row) => {
    const [tempC, ph, tdsMgL, cyanuric, boron] = numbers(
      row,
      'temp_c',
      'end_ph',
      'start_tds_mgl',
      'cya_mgl',
      'borate_mgl_b',
    ) as [number, number, number, number, number]
    const water = { tempC, ph, tdsMgL }
    const part = (source: string, column: string, ours: () => number): Check => ({
      source,
      locus: `alkalinity-split.csv ${row.table} row ${row.row}`,
      kind: 'otherProgram',
      given: { ...water, cyanuric, boron },
      expect: Number(row[column]) * MG_CACO3_PER_MEQ,
      ours,
      tolerance: 0.5,
      because: '0.5 mg/L',
    })
    return [
      part('PHREEQC, cyanurate alkalinity', 'end_cyanurate_alk_meq', () => cyanurateAlkalinity(cyanuric, water)),
      part('PHREEQC, borate alkalinity', 'end_borate_alk_meq', () => borateAlkalinity(boron, water)),
    ]
  })

const TRADE = 'trade table of cyanurate factors (second source)'
const handbook: Check[] = [
  ...(
    [
      [7.0, 0.23],
      [7.2, 0.27],
      [7.4, 0.31],
      [7.6, 0.33],
      [7.8, 0.35],
      [8.0, 0.36],
    ] as const
  ).map(
    ([ph, expect]): Check => ({
      source: TRADE,
      locus: `factor at pH ${ph}`,
      kind: 'published',
      given: { ph, tempC: 25 },
      expect,
      ours: () => cyanurateAlkalinity(100, { ph, tempC: 25 }) / 100,
      tolerance: 0.015,
      because: 'printed to two decimals, temperature and salt not told',
    }),
  ),
  ...(
    [
      [TRADE, 120, 100, 7.2, 93],
      ['trade newspaper, serviceindustrynews.net, 14 September 2021 (second source)', 100, 90, 7.6, 70],
    ] as const
  ).map(
    ([source, totalAlkalinityMgL, cyanuricAcidMgL, ph, expect]): Check => ({
      source,
      locus: `alkalinity ${totalAlkalinityMgL}, cyanuric acid ${cyanuricAcidMgL}, pH ${ph}`,
      kind: 'published',
      given: { totalAlkalinityMgL, cyanuricAcidMgL, ph },
      expect,
      ours: () => carbonateAlkalinity({ totalAlkalinityMgL, cyanuricAcidMgL, ph, tempC: 25 }),
      tolerance: 1,
      because: 'rounded to whole mg/L with a two-digit factor',
    }),
  ),
  {
    source: 'KFL&A Public Health, breakpoint page, 2011',
    locus: 'total 5, free 2',
    kind: 'published',
    given: { totalChlorineMgL: 5, freeChlorineMgL: 2 },
    expect: 3,
    ours: () => combinedChlorine(5, 2),
    tolerance: 1e-9,
    because: 'a difference',
  },
  {
    source: 'pool operator practice test (second source)',
    locus: 'total 2.2, free 1.4',
    kind: 'published',
    given: { totalChlorineMgL: 2.2, freeChlorineMgL: 1.4 },
    expect: 0.8,
    ours: () => combinedChlorine(2.2, 1.4),
    tolerance: 1e-9,
    because: 'a difference',
  },
  {
    source: 'US gallon, 231 cubic inches by definition',
    locus: '10,000 US gal',
    kind: 'published',
    given: { gallons: 10_000 },
    expect: 37_854.11784,
    ours: () => gallonsToLitres(10_000),
    tolerance: 1e-6,
    because: 'exact',
  },
]

// Falk et al. 2019, Water 11(6):1314: at one ratio of cyanuric acid to chlorine hypochlorous acid varies by ± 1.8 %
const atOneRatio = [2, 3, 4].map((free) => ({ freeChlorineMgL: free, cyanuricAcidMgL: 20 * free, ph: 7.5, tempC: 25 }))
const meanAcid = () =>
  atOneRatio.reduce((sum, water) => sum + chlorineSpecies(water).hypochlorousMgL, 0) / atOneRatio.length
const ratios: Check[] = atOneRatio.map((water) => ({
  source: 'Falk et al. 2019, Water 11(6):1314',
  locus: `± 1.8 % at one ratio: free chlorine ${water.freeChlorineMgL}, cyanuric acid ${water.cyanuricAcidMgL}`,
  kind: 'published',
  given: water,
  expect: 1,
  ours: () => chlorineSpecies(water).hypochlorousMgL / meanAcid(),
  tolerance: 0.018,
  because: 'the abstract’s own span',
}))

export const speciationChecks: Check[] = [...chlorine, ...dichlor, ...splits, ...handbook, ...ratios]

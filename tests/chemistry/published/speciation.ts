import {
  carbonateAlkalinity,
  carbonateSystem,
  chlorineSpecies,
  combinedChlorine,
  cyanurateConstantsWahman,
  fahrenheitToCelsius,
  freeChlorineForHypochlorous,
  gallonsToLitres,
} from '@sightglass/chemistry'
import { type Check, numbers, table, waterOf } from './check.ts'

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
    source: 'O’Brien, Morris and Butler 1974 solved at 40 digits',
    quantity: `${part}, mg/L`,
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
    held('free chlorine for that hypochlorous acid', freeChlorineMgL, () => freeChlorineForHypochlorous(acid, given)),
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
  quantity: 'free chlorine not bound, mg/L',
  locus: `abstract: 2 mg/L as dichlor, pH 7.0, ${tempC} °C`,
  kind: 'published',
  given: { freeChlorineMgL: 2, ph: 7, tempC },
  expect,
  ours: () => trueFree(tempC),
  tolerance,
  because: 'the paper corrects for activity, an ideal solution gives 0.910 and 0.625',
}))

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
      quantity: 'cyanurate alkalinity for each mg/L',
      locus: `factor at pH ${ph}`,
      kind: 'published',
      given: { ph, tempC: 25 },
      expect,
      ours: () =>
        carbonateSystem(waterOf({ ph, totalAlkalinityMgL: 150, cyanuricAcidMgL: 100 })).alkalinity.cyanurate / 100,
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
      quantity: 'carbonate alkalinity, mg/L',
      locus: `alkalinity ${totalAlkalinityMgL}, cyanuric acid ${cyanuricAcidMgL}, pH ${ph}`,
      kind: 'published',
      given: { totalAlkalinityMgL, cyanuricAcidMgL, ph },
      expect,
      ours: () => carbonateAlkalinity(waterOf({ totalAlkalinityMgL, cyanuricAcidMgL, ph })),
      tolerance: 1,
      because: 'rounded to whole mg/L with a two-digit factor',
    }),
  ),
  {
    source: 'trade newspaper, serviceindustrynews.net, 14 September 2021 (second source)',
    quantity: 'carbonate alkalinity, mg/L',
    locus: 'alkalinity 100, borate 50, pH 7.6',
    kind: 'published',
    given: { totalAlkalinityMgL: 100, boronMgL: 50, ph: 7.6 },
    expect: 92,
    ours: () => carbonateAlkalinity(waterOf({ totalAlkalinityMgL: 100, boronMgL: 50, ph: 7.6 })),
    tolerance: 2.5,
    because:
      'its factor 0.17 for boron implies a pKa of 9.02; boric acid has 9.24, at this salt 9.18, which makes 0.12',
  },
  {
    source: 'KFL&A Public Health, breakpoint page, 2011',
    quantity: 'combined chlorine, mg/L',
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
    quantity: 'combined chlorine, mg/L',
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
    quantity: 'litres',
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
  quantity: 'HOCl over the mean of one ratio',
  locus: `± 1.8 % at one ratio: free chlorine ${water.freeChlorineMgL}, cyanuric acid ${water.cyanuricAcidMgL}`,
  kind: 'published',
  given: water,
  expect: 1,
  ours: () => chlorineSpecies(water).hypochlorousMgL / meanAcid(),
  tolerance: 0.018,
  because: 'the abstract’s own span',
}))

/** The pH at which alkalinity grows fastest with pH. */
function strongestBuffering(alkalinityAt: (ph: number) => number): number {
  const step = 0.01
  const slope = (ph: number) => alkalinityAt(ph + step) - alkalinityAt(ph - step)
  const all = Array.from({ length: 200 }, (_, index) => 5.5 + index * step)
  return all.reduce((best, ph) => (slope(ph) > slope(best) ? ph : best))
}
const at80F = (ph: number, cyanuricAcidMgL: number) =>
  carbonateSystem(waterOf({ tempC: fahrenheitToCelsius(80), ph, totalAlkalinityMgL: 300, cyanuricAcidMgL }))
const buffering: Check[] = (
  [
    ['cyanurate', 6.8, (ph: number) => at80F(ph, 100).alkalinity.cyanurate],
    [
      'carbonic acid',
      6.3,
      (ph: number) => {
        // of one amount of carbon, the share that takes up acid
        const { hydrogenCarbonateMmolL, carbonateMmolL, inorganicCarbonMmolL } = at80F(ph, 0)
        return (hydrogenCarbonateMmolL + 2 * carbonateMmolL) / inorganicCarbonMmolL
      },
    ],
  ] as const
).map(([acid, expect, alkalinityAt]) => ({
  source: 'Wojtowicz, Journal of the Swimming Pool and Spa Industry 1(2), p. 9',
  quantity: `pH at which ${acid} buffers most`,
  locus: '80 °F, 1,000 ppm of dissolved solids',
  kind: 'published',
  given: { tempF: 80, tdsMgL: 1000 },
  expect,
  ours: () => strongestBuffering(alkalinityAt),
  tolerance: 0.05,
  because: 'printed to one decimal',
}))

export const speciationChecks: Check[] = [...chlorine, ...dichlor, ...handbook, ...buffering, ...ratios]

import {
  afterDose,
  amountFor,
  CHEMICALS,
  type ChemicalKey,
  gallonsToLitres,
  gramsToPounds,
  massOfVolume,
  ofStrength,
  type Water,
} from '@sightglass/chemistry'
import { type Check, numbers, table, waterOf } from '../published/check.ts'
import { GOOD_WATER } from './given.ts'

const published = (given: Omit<Check, 'kind'>): Check => ({ kind: 'published', ...given })

const TEN_THOUSAND_GALLONS_L = gallonsToLitres(10_000)

const pounds = (key: ChemicalKey, thing: 'totalAlkalinityMgL' | 'calciumHardnessMgL', by: number, volumeL: number) =>
  gramsToPounds(amountFor(GOOD_WATER, volumeL, CHEMICALS[key], thing, GOOD_WATER[thing] + by)?.massG ?? Number.NaN)

const pintsFor5000Gallons = () => {
  const chemical = CHEMICALS.hydrochloricAcid31
  const massG = massOfVolume(chemical, gallonsToLitres(1 / 8))
  return (
    GOOD_WATER.totalAlkalinityMgL - afterDose(GOOD_WATER, gallonsToLitres(5000), { chemical, massG }).totalAlkalinityMgL
  )
}

const doses: Check[] = [
  published({
    source: '10 NYCRR 6-1.30',
    quantity: 'lb of sodium bicarbonate',
    locus: '10 mg/L of alkalinity in 10,000 gal',
    given: {},
    expect: 1.5,
    ours: () => pounds('sodiumBicarbonate', 'totalAlkalinityMgL', 10, TEN_THOUSAND_GALLONS_L),
    tolerance: 0.12,
    because: 'printed in halves of a pound; stoichiometry is 1.401',
  }),
  published({
    source: '10 NYCRR 6-1.30',
    quantity: 'mg/L of alkalinity taken by muriatic acid',
    locus: 'one pint in 5,000 gal',
    given: {},
    expect: 12,
    ours: pintsFor5000Gallons,
    tolerance: 0.6,
    because: 'its strength is not stated; at 31.45 % it is 12.5, less what hypochlorite gives back',
  }),
  published({
    source: 'CPO course, worked example (second source)',
    quantity: 'lb of sodium bisulfate',
    locus: '60,000 gal, alkalinity 150 to 100',
    given: {},
    expect: 63,
    ours: () => {
      const water = { ...GOOD_WATER, totalAlkalinityMgL: 150, ph: 8.2, freeChlorineMgL: 0 }
      const amount = amountFor(water, gallonsToLitres(60_000), CHEMICALS.sodiumBisulfate, 'totalAlkalinityMgL', 100)
      return gramsToPounds(amount?.massG ?? Number.NaN)
    },
    tolerance: 0.5,
    because: 'its rule of 2.1 lb is that of 95 %, which is where our strength comes from',
  }),
  published({
    source: 'lay article (second source, weak)',
    quantity: 'lb of calcium chloride',
    locus: '25,000 gal, hardness 150 to 200',
    given: {},
    expect: 15.6,
    ours: () => pounds('calciumChlorideDihydrate', 'calciumHardnessMgL', 50, gallonsToLitres(25_000)),
    tolerance: 0.35,
    because: 'purity not stated and rounded from 1.25 lb; pure dihydrate is 1.226',
  }),
  published({
    source: 'KFL&A Public Health, breakpoint page, 2011',
    quantity: 'litres of 5 % hypochlorite, from the catalogue',
    locus: '30 mg/L in 80,000 L',
    given: {},
    expect: 48,
    ours: () => {
      const chemical = ofStrength('sodiumHypochloriteTrade12', 5)
      return (
        amountFor(GOOD_WATER, 80_000, chemical, 'freeChlorineMgL', GOOD_WATER.freeChlorineMgL + 30)?.volumeL ??
        Number.NaN
      )
    },
    tolerance: 1e-6,
    because: 'its per cent are trade per cent',
  }),
  published({
    source: 'Disinfection of Pipelines and Storage Facilities Field Guide, table 7-2 (second source)',
    quantity: 'mg of sodium thiosulfate for each mg of chlorine',
    locus: 'pH 7',
    given: {},
    expect: 1.9,
    ours: () => {
      const amount = amountFor(
        GOOD_WATER,
        1000,
        CHEMICALS.sodiumThiosulfate,
        'freeChlorineMgL',
        GOOD_WATER.freeChlorineMgL - 2,
      )
      return (amount?.massG ?? Number.NaN) / 2
    },
    tolerance: 1e-6,
    because: 'taken from there; that it speaks of crystals is our reading',
  }),
  ...(
    [
      ['dichlor', 0.89],
      ['trichlor', 0.59],
    ] as const
  ).map(([key, expect]) =>
    published({
      source: 'Wahman & Alexander 2019, introduction',
      quantity: 'mg of cyanurate moiety (126.05 g/mol) for each mg of chlorine',
      locus: key,
      given: {},
      expect,
      ours: () => {
        const { cyanuricAcidMmolL, availableChlorineMgL } = CHEMICALS[key].perKg
        return (cyanuricAcidMmolL * 126.05) / availableChlorineMgL
      },
      tolerance: 0.005,
      because: 'printed to two decimals',
    }),
  ),
]

const HANDBOOK = 'Handbook of Chlorination (1972) as cited by a distributor (second source)'
const twelve = ofStrength('sodiumHypochloriteTrade12', 12)
const strengths: Check[] = [
  published({
    source: HANDBOOK,
    quantity: 'weight % of available chlorine',
    locus: 'trade % ÷ specific gravity, 120 g/L',
    given: {},
    expect: 12 / (twelve.densityKgL ?? Number.NaN),
    ours: () => twelve.perKg.availableChlorineMgL / 1e4,
    tolerance: 1e-6,
    because: 'a definition',
  }),
  published({
    source: HANDBOOK,
    quantity: 'weight % of sodium hypochlorite',
    locus: 'g/L × 1.05 ÷ (10 × specific gravity), 120 g/L',
    given: {},
    expect: (120 * 1.05) / (10 * (twelve.densityKgL ?? Number.NaN)),
    ours: () => 100 * (twelve.composition.sodiumHypochlorite ?? Number.NaN),
    tolerance: 0.005,
    because: '1.05 is 1.0499 rounded',
  }),
  published({
    source: 'data sheet of a maker (second source)',
    quantity: 'density of sodium hypochlorite, kg/L',
    locus: '120 g/L, 20 °C, 0.2 % NaOH',
    given: {},
    expect: 1.16,
    ours: () => twelve.densityKgL ?? Number.NaN,
    tolerance: 0.003,
    because: 'ours holds 0.3 % NaOH, which is 0.0015 more',
  }),
  ...(
    [
      ['31.50 %, 15 °C', 31.5, 1.1588],
      ['29.72 %, 15 °C', 29.72, 1.1504],
      ['34.24 %, 15 °C', 34.24, 1.173],
      ['31.9 %, 16 °C', 31.9, 1.16],
    ] as const
  ).map(([locus, pct, expect]) =>
    published({
      source: pct === 31.9 ? 'A Treatise on Beverages' : 'encyclopedic dictionary of photography',
      quantity: 'density of hydrochloric acid, kg/L',
      locus,
      given: { pct },
      expect,
      ours: () => ofStrength('hydrochloricAcid31', pct).densityKgL ?? Number.NaN,
      tolerance: 0.002,
      because: 'specific gravity over water at the same temperature, and a straight line',
    }),
  ),
  published({
    source: 'globalspec.com reference 10728, chapter 3',
    quantity: 'density of sulfuric acid, kg/L',
    locus: '100 %, 20 °C',
    given: {},
    expect: 1.8305,
    ours: () => ofStrength('sulfuricAcid93', 100).densityKgL ?? Number.NaN,
    tolerance: 1e-9,
    because: 'taken from there',
  }),
]

/** The same tables as for the equations, but through what stands in a drum or a bag. */
const AS_SOLD: Record<string, readonly ChemicalKey[]> = {
  HCl: ['hydrochloricAcid31', 'hydrochloricAcid15'],
  H2SO4: ['sulfuricAcid93', 'sulfuricAcid38'],
  NaHCO3: ['sodiumBicarbonate'],
  Na2CO3: ['sodiumCarbonate'],
  NaOH: ['sodiumHydroxide', 'sodiumHydroxide50'],
}
const VOLUME_L = 300_000

function asSold(name: 'acid-dose.csv' | 'base-dose.csv'): Check[] {
  return table(name).flatMap((row) => {
    const [tempC, ph, totalAlkalinityMgL, calciumHardnessMgL, tdsMgL, cyanuricAcidMgL, boronMgL, meq, endPh, endTa] =
      numbers(
        row,
        'temp_c',
        'start_ph',
        'start_ta_mgl_caco3',
        'calcium_hardness_mgl_caco3',
        'start_tds_mgl',
        'cya_mgl',
        'borate_mgl_b',
        'dose_meq',
        'end_ph',
        'end_ta_mgl_caco3',
      ) as [number, number, number, number, number, number, number, number, number, number]
    const water: Water = waterOf({
      tempC,
      ph,
      totalAlkalinityMgL,
      calciumHardnessMgL,
      tdsMgL,
      cyanuricAcidMgL,
      boronMgL,
    })
    return (AS_SOLD[row.chemical ?? ''] ?? []).flatMap((key): Check[] => {
      const chemical = CHEMICALS[key]
      const massG = (meq * VOLUME_L * 1000) / Math.abs(chemical.perKg.alkalinityMeqL)
      const check = (
        quantity: string,
        expect: number,
        tolerance: number,
        because: string,
        ours: () => number,
      ): Check => ({
        source: 'PHREEQC, through chemicals as sold',
        quantity,
        locus: `${name} row ${row.row}, ${key}`,
        kind: 'otherProgram',
        given: { water: row.water, meq },
        expect,
        ours,
        tolerance,
        because,
      })
      const after = () => afterDose(water, VOLUME_L, { chemical, massG })
      return [
        check('pH', endPh, 0.02, 'as required', () => after().ph),
        check('alkalinity, mg/L', endTa, 0.5, 'as required', () => after().totalAlkalinityMgL),
        check(
          'amount for that alkalinity, equivalents a litre',
          meq,
          0.01,
          'half a mg/L of alkalinity',
          () =>
            ((amountFor(water, VOLUME_L, chemical, 'totalAlkalinityMgL', endTa)?.massG ?? Number.NaN) *
              Math.abs(chemical.perKg.alkalinityMeqL)) /
            VOLUME_L /
            1000,
        ),
      ]
    })
  })
}

/** Rows of the handbooks on doses and strengths. */
export const dosingChecks: Check[] = [...doses, ...strengths, ...asSold('acid-dose.csv'), ...asSold('base-dose.csv')]

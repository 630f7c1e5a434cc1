import {
  BROMINE_PER_CHLORINE,
  breakpointChlorine,
  CHLORINE_PER_AMMONIA_NITROGEN,
  contactFor,
  giardiaLog,
} from '@sightglass/chemistry'
import type { Check } from './check.ts'

const published = (given: Omit<Check, 'kind'>): Check => ({ kind: 'published', ...given })
const water = (freeChlorineMgL: number, ph = 7.5, tempC = 25) => ({ freeChlorineMgL, ph, tempC, cyanuricAcidMgL: 0 })

const KFLA = 'KFL&A Public Health, breakpoint page, 2011'
const breakpoint: Check[] = [
  published({
    source: KFLA,
    quantity: 'chlorine to add, mg/L',
    locus: 'total 5, free 2: 10 × 3',
    given: { totalChlorineMgL: 5, freeChlorineMgL: 2 },
    expect: 30,
    ours: () => breakpointChlorine({ totalChlorineMgL: 5, freeChlorineMgL: 2 }).handbookMgL,
    tolerance: 1e-9,
    because: 'a product',
  }),
  published({
    source: KFLA,
    quantity: 'litres of 5 % liquid',
    locus: '80,000 L: ppm × L / 1e6 / (% / 100)',
    given: { volumeL: 80_000, strengthPct: 5 },
    expect: 48,
    ours: () =>
      (breakpointChlorine({ totalChlorineMgL: 5, freeChlorineMgL: 2 }).handbookMgL * 80_000) / 1e6 / (5 / 100),
    tolerance: 1e-9,
    because:
      'its arithmetic adds all of the 30, its text says "raised to"; it takes 1 L as 1 kg and 5 % as available chlorine',
  }),
  published({
    source: 'textbook ratio 7.6 : 1 (common practice, no source)',
    quantity: 'mg of chlorine for each mg of ammonia nitrogen',
    locus: '3 Cl2 : 2 N',
    given: {},
    expect: 7.6,
    ours: () => CHLORINE_PER_AMMONIA_NITROGEN,
    tolerance: 0.05,
    because: 'printed to one decimal; the stoichiometry is 7.59',
  }),
]

const contact: Check[] = [
  published({
    source: 'CDC, MMWR 2008;57:151, and the time in the trade press (second source)',
    quantity: 'minutes for Cryptosporidium',
    locus: 'CT 15,300 at 20 mg/L: 12.75 h',
    given: water(20),
    expect: 765,
    ours: () => contactFor('cryptosporidium', 3, water(20))?.minutes ?? Number.NaN,
    tolerance: 1e-9,
    because: 'a quotient',
  }),
  ...(
    [
      ['giardia', 3, 45],
      ['hepatitisA', 3, 16],
      ['ecoliO157', 3, 1],
    ] as const
  ).map(([organism, log, expect]) =>
    published({
      source: 'CDC chlorine timetable (second source)',
      quantity: `minutes for ${organism}`,
      locus: '1 ppm, pH 7.5, 25 °C',
      given: water(1),
      expect,
      ours: () => contactFor(organism, log, water(1))?.minutes ?? Number.NaN,
      tolerance: 1e-9,
      because:
        organism === 'giardia'
          ? 'EPA’s table for three powers of ten gives the very same'
          : 'taken from that table as it is',
    }),
  ),
  ...(
    [
      [15, 7.5, 1.2, 92],
      [15, 7.2, 1.1, 92],
      [19, 7.5, 1.2, 92],
    ] as const
  ).map(([tempC, ph, free, expect]) =>
    published({
      source: 'help page on EPA’s tables (second source)',
      quantity: 'CT for Giardia, mg·min/L',
      locus: `pH ${ph}, ${tempC} °C, ${free} mg/L: read as its rules say`,
      given: water(free, ph, tempC),
      expect,
      ours: () => contactFor('giardia', 3, water(free, ph, tempC))?.ctMgMinL ?? Number.NaN,
      tolerance: 1e-9,
      because: 'an entry of the table',
    }),
  ),
  published({
    source: '40 CFR 141.534',
    quantity: 'powers of ten of Giardia',
    locus: 'multiply the inactivation ratio by 3.0: a CT of 22.5 where 45 kill 99.9 %',
    given: water(1),
    expect: 1.5,
    ours: () => giardiaLog(22.5, water(1)) ?? Number.NaN,
    tolerance: 1e-9,
    because: 'a product',
  }),
]

const bromine: Check[] = [
  published({
    source: 'MAHC 5.7.3.1.2.2, annex (no edition shown)',
    quantity: 'bromine for each mg of chlorine read',
    locus: '2.25',
    given: {},
    expect: 2.25,
    ours: () => BROMINE_PER_CHLORINE,
    tolerance: 0.005,
    because: 'printed to two decimals',
  }),
]

export const disinfectionChecks: Check[] = [...breakpoint, ...contact, ...bromine]

import type { CodeProfile } from '../profile.ts'
import { MAHC_CLOSURES, MAHC_LIMITS, MAHC_MINIMA } from './cdcMahc.ts'
import { closedByMahc, newYork } from './citations.ts'
import { complete } from './complete.ts'
import { BROMINE, CHLORINE, limit } from './limits.ts'
import { PRACTICE_DAILY_TESTS, PRACTICE_LIMITS, PRACTICE_MONTHLY_TESTS, PRACTICE_WEEKLY_TESTS } from './practice.ts'

// the Department of Health's own summary of 6-1.11(c) on its report form; the section itself was read in parts only
const treatment = newYork('6-1.11(c), as summarized on form DOH-1323', 'form of October 2004, read November 2026')
const spa = newYork('6-1.25(c)')
const control = newYork('6-1.30 (control levels)')

const UNSTABILIZED_POOL = { useClass: ['pool'], cyanuricAcidUsed: false, sanitizerSystem: CHLORINE } as const

/** New York State's pool rules; for what was not read there, MAHC and practice, each cited as such. */
export const usNy: CodeProfile = {
  key: 'us-ny',
  name: 'New York State public pools',
  edition: '10 NYCRR Subpart 6-1, sections as cited, read November 2026',
  parentKey: null,
  notRead:
    'Of 6-1.11(c) only the Department’s own summary was read; what New York says of wading pools, spray grounds, therapy pools and closing was not read: the Model Aquatic Health Code and practice stand in their place. It closes over pH 8.0, where New York’s table goes on to 8.2 with more chlorine.',
  limits: complete(
    [
      limit('ny.freeChlorine.min.spa', 'freeChlorineMgL', 'min', 1.5, 'close', closedByMahc(spa), {
        useClass: ['spa'],
        sanitizerSystem: CHLORINE,
      }),
      limit('ny.freeChlorine.min.highPh', 'freeChlorineMgL', 'min', 1.5, 'close', closedByMahc(treatment), {
        ...UNSTABILIZED_POOL,
        over: { thing: 'ph', value: 7.8 },
      }),
      limit('ny.freeChlorine.min', 'freeChlorineMgL', 'min', 0.6, 'close', closedByMahc(treatment), UNSTABILIZED_POOL),
      limit('ny.freeChlorine.max.spa', 'freeChlorineMgL', 'max', 5, 'act', spa, { useClass: ['spa'] }),
      limit('ny.freeChlorine.max', 'freeChlorineMgL', 'max', 5, 'act', treatment, { useClass: ['pool'] }),
      limit('ny.bromine.min.spa', 'bromineMgL', 'min', 3, 'close', closedByMahc(spa), {
        useClass: ['spa'],
        sanitizerSystem: BROMINE,
      }),
      limit('ny.bromine.min', 'bromineMgL', 'min', 1.5, 'close', closedByMahc(treatment), {
        useClass: ['pool'],
        sanitizerSystem: BROMINE,
      }),
      limit('ny.bromine.max.spa', 'bromineMgL', 'max', 6, 'act', spa, { useClass: ['spa'] }),
      limit('ny.bromine.max', 'bromineMgL', 'max', 6, 'act', treatment, { useClass: ['pool'] }),
      limit('ny.ph.min', 'ph', 'min', 7.2, 'act', newYork('6-1.25(c) and 6-1.11(c)')),
      limit('ny.ph.min.control', 'ph', 'min', 7.4, 'watch', control, { useClass: ['pool'] }),
      limit('ny.ph.max', 'ph', 'max', 7.8, 'act', newYork('6-1.25(c) and 6-1.30 (control levels)')),
      limit('ny.alkalinity.min', 'totalAlkalinityMgL', 'min', 80, 'act', newYork('6-1.19(c)(2)')),
      limit('ny.alkalinity.max', 'totalAlkalinityMgL', 'max', 120, 'act', newYork('6-1.19(c)(2)')),
      limit('ny.calcium.min', 'calciumHardnessMgL', 'min', 180, 'watch', control),
      limit('ny.calcium.max', 'calciumHardnessMgL', 'max', 250, 'watch', control),
      limit('ny.saturation.min', 'saturationIndex', 'min', -0.5, 'watch', newYork('6-1.30')),
      limit('ny.saturation.max', 'saturationIndex', 'max', 0.5, 'watch', newYork('6-1.30')),
      // 104 °F
      limit('ny.temperature.max', 'tempC', 'max', 40, 'act', newYork('6-1.25(b)'), { useClass: ['spa'] }),
    ],
    MAHC_MINIMA,
    MAHC_LIMITS,
    PRACTICE_LIMITS,
  ),
  cyanuricAcidForbidden: [{ key: 'ny.cyanuricAcid.forbidden', when: {}, citation: treatment }],
  tests: [
    {
      key: 'ny.test.chlorine',
      parameters: ['freeChlorineMgL'],
      everyHours: 8,
      perDay: 3,
      times: 'above all before and after heavy bathing',
      when: { sanitizerSystem: CHLORINE },
      citation: treatment,
    },
    {
      key: 'ny.test.bromine',
      parameters: ['bromineMgL'],
      everyHours: 8,
      perDay: 3,
      times: 'above all before and after heavy bathing',
      when: { sanitizerSystem: BROMINE },
      citation: treatment,
    },
    ...PRACTICE_DAILY_TESTS,
    ...PRACTICE_WEEKLY_TESTS,
    ...PRACTICE_MONTHLY_TESTS,
  ],
  closures: MAHC_CLOSURES,
}

import type { CodeProfile } from '../profile.ts'
import { MAHC_CLOSURES, MAHC_LIMITS, MAHC_MINIMA } from './cdcMahc.ts'
import { closedByMahc, pimaCounty } from './citations.ts'
import { complete } from './complete.ts'
import { CHLORINE, limit } from './limits.ts'
import {
  PRACTICE_CYANURIC_ACID_FORBIDDEN,
  PRACTICE_DAILY_TESTS,
  PRACTICE_LIMITS,
  PRACTICE_MONTHLY_TESTS,
  PRACTICE_WEEKLY_TESTS,
} from './practice.ts'

const water = pimaCounty('8.32.080 C')

/** Pima County's water standards; for what was not read there, MAHC and practice, each cited as such. */
export const usAzPima: CodeProfile = {
  key: 'us-az-pima',
  name: 'Pima County, Arizona, pools',
  edition: 'Pima County Code 8.32.080, as published online, read November 2026',
  parentKey: null,
  notRead:
    'The county’s sections on wading pools, spas and closing (8.32.210, .220, .270), its test frequencies and its limits of bromine were not read: the Model Aquatic Health Code and practice stand in their place.',
  limits: complete(
    [
      limit('pima.freeChlorine.min', 'freeChlorineMgL', 'min', 1, 'close', closedByMahc(water), {
        useClass: ['pool', 'therapy'],
        sanitizerSystem: CHLORINE,
      }),
      limit('pima.freeChlorine.max', 'freeChlorineMgL', 'max', 5, 'act', water),
      limit('pima.ph.min', 'ph', 'min', 7, 'act', water),
      limit('pima.ph.max', 'ph', 'max', 8, 'close', closedByMahc(water, 4)),
      limit('pima.cyanuricAcid.max', 'cyanuricAcidMgL', 'max', 100, 'act', water),
      limit('pima.alkalinity.min', 'totalAlkalinityMgL', 'min', 60, 'act', water),
      limit('pima.alkalinity.max', 'totalAlkalinityMgL', 'max', 180, 'act', water),
    ],
    MAHC_MINIMA,
    MAHC_LIMITS,
    PRACTICE_LIMITS,
  ),
  cyanuricAcidForbidden: PRACTICE_CYANURIC_ACID_FORBIDDEN,
  tests: [...PRACTICE_DAILY_TESTS, ...PRACTICE_WEEKLY_TESTS, ...PRACTICE_MONTHLY_TESTS],
  closures: MAHC_CLOSURES,
}

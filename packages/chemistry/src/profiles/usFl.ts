import type { CodeProfile } from '../profile.ts'
import { MAHC_CLOSURES, MAHC_LIMITS, MAHC_MINIMA } from './cdcMahc.ts'
import { closedByMahc, florida } from './citations.ts'
import { complete } from './complete.ts'
import { CHLORINE, limit } from './limits.ts'
import {
  PRACTICE_CYANURIC_ACID_FORBIDDEN,
  PRACTICE_DAILY_TESTS,
  PRACTICE_LIMITS,
  PRACTICE_MONTHLY_TESTS,
  PRACTICE_WEEKLY_TESTS,
} from './practice.ts'

const ph = florida('64E-9.004(1)(d)1')
const residual = florida('64E-9.004(1)(d)2')

/** Florida's operational requirements, text of 2024 (that of 2016 differs); the rest is MAHC and practice, cited as such. */
export const usFl: CodeProfile = {
  key: 'us-fl',
  name: 'Florida public pools',
  edition: '64E-9.004, text of 2024',
  parentKey: null,
  notRead:
    'Florida’s limits of bromine, ORP and cyanuric acid, its test frequencies and what closes a pool were not read in the text of 2024 (that of 2016 no longer holds): the Model Aquatic Health Code and practice stand in their place.',
  limits: complete(
    [
      limit('fl.freeChlorine.min', 'freeChlorineMgL', 'min', 1, 'close', closedByMahc(residual), {
        useClass: ['pool'],
        sanitizerSystem: CHLORINE,
      }),
      // "all other type pools" than conventional swimming pools
      limit('fl.freeChlorine.min.other', 'freeChlorineMgL', 'min', 2, 'close', closedByMahc(residual), {
        sanitizerSystem: CHLORINE,
      }),
      limit('fl.freeChlorine.max', 'freeChlorineMgL', 'max', 10, 'act', residual),
      limit('fl.ph.min', 'ph', 'min', 7, 'act', ph),
      limit('fl.ph.max', 'ph', 'max', 7.8, 'act', ph),
    ],
    MAHC_MINIMA,
    MAHC_LIMITS,
    PRACTICE_LIMITS,
  ),
  cyanuricAcidForbidden: PRACTICE_CYANURIC_ACID_FORBIDDEN,
  tests: [...PRACTICE_DAILY_TESTS, ...PRACTICE_WEEKLY_TESTS, ...PRACTICE_MONTHLY_TESTS],
  closures: MAHC_CLOSURES,
}

import type { CodeProfile } from '../profile.ts'
import { MAHC_CLOSURES, MAHC_LIMITS, MAHC_MINIMA } from './cdcMahc.ts'
import { northCarolina } from './citations.ts'
import { complete } from './complete.ts'
import { BROMINE, CHLORINE, limit } from './limits.ts'
import {
  PRACTICE_CYANURIC_ACID_FORBIDDEN,
  PRACTICE_DAILY_TESTS,
  PRACTICE_LIMITS,
  PRACTICE_MONTHLY_TESTS,
  PRACTICE_WEEKLY_TESTS,
} from './practice.ts'

const ph = northCarolina('18A .2535(1); closing (six demerits, immediate suspension of the permit): 18A .2511(b)(3)')
const residual = northCarolina(
  '18A .2535(4)–(5); closing (six demerits, immediate suspension of the permit): 18A .2511(b)(2)',
)
const SWIMMING = ['pool', 'therapy'] as const

/** North Carolina's water standards; for what was not read there, MAHC and practice, each cited as such. */
export const usNc: CodeProfile = {
  key: 'us-nc',
  name: 'North Carolina public pools',
  edition: '15A NCAC 18A .2511 and .2535, read November 2026',
  parentKey: null,
  notRead:
    'North Carolina’s rules for wading pools, spas and water attractions (.2531, .2532, .2543) and its test frequencies were not read: the Model Aquatic Health Code and practice stand in their place.',
  limits: complete(
    [
      limit('nc.freeChlorine.min', 'freeChlorineMgL', 'min', 1, 'close', residual, {
        useClass: SWIMMING,
        sanitizerSystem: CHLORINE,
      }),
      limit('nc.bromine.min', 'bromineMgL', 'min', 2, 'close', residual, {
        useClass: SWIMMING,
        sanitizerSystem: BROMINE,
      }),
      limit('nc.ph.min', 'ph', 'min', 7.2, 'close', ph),
      limit('nc.ph.max', 'ph', 'max', 7.8, 'close', ph),
      limit('nc.cyanuricAcid.max', 'cyanuricAcidMgL', 'max', 100, 'act', northCarolina('18A .2535(4)–(5)')),
    ],
    MAHC_MINIMA,
    MAHC_LIMITS,
    PRACTICE_LIMITS,
  ),
  cyanuricAcidForbidden: PRACTICE_CYANURIC_ACID_FORBIDDEN,
  tests: [...PRACTICE_DAILY_TESTS, ...PRACTICE_WEEKLY_TESTS, ...PRACTICE_MONTHLY_TESTS],
  closures: [
    {
      key: 'nc.closure.bottomNotVisible',
      trigger: 'bottomNotVisible',
      when: {},
      citation: northCarolina('18A .2535(2); closing: 18A .2511(b)(1)'),
    },
    ...MAHC_CLOSURES.filter(({ trigger }) => trigger !== 'bottomNotVisible'),
  ],
}

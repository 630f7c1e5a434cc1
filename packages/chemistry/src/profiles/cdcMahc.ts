import type { ClosureRule, CodeProfile, LimitRule } from '../profile.ts'
import { mahc4th, mahc5th, mahcBromineMinimum, mahcChlorineMinimum, mahcHazard } from './citations.ts'
import { complete } from './complete.ts'
import { DEFAULT_PROFILE_KEY } from './defaultKey.ts'
import { BROMINE, CHLORINE, limit, WARM_OR_SHALLOW } from './limits.ts'
import {
  PRACTICE_CYANURIC_ACID_FORBIDDEN,
  PRACTICE_DAILY_TESTS,
  PRACTICE_LIMITS,
  PRACTICE_MONTHLY_TESTS,
  PRACTICE_WEEKLY_TESTS,
} from './practice.ts'

/** The least that a body must hold, for what a code's own text leaves open. */
export const MAHC_MINIMA: readonly LimitRule[] = [
  limit('mahc.freeChlorine.min.warm', 'freeChlorineMgL', 'min', 3, 'close', mahcChlorineMinimum, {
    useClass: WARM_OR_SHALLOW,
    sanitizerSystem: CHLORINE,
  }),
  limit('mahc.freeChlorine.min.stabilized', 'freeChlorineMgL', 'min', 2, 'close', mahcChlorineMinimum, {
    cyanuricAcidUsed: true,
    sanitizerSystem: CHLORINE,
  }),
  limit('mahc.freeChlorine.min', 'freeChlorineMgL', 'min', 1, 'close', mahcChlorineMinimum, {
    sanitizerSystem: CHLORINE,
  }),
  limit('mahc.bromine.min.warm', 'bromineMgL', 'min', 4, 'close', mahcBromineMinimum, {
    useClass: WARM_OR_SHALLOW,
    sanitizerSystem: BROMINE,
  }),
  limit('mahc.bromine.min', 'bromineMgL', 'min', 2, 'close', mahcBromineMinimum, { sanitizerSystem: BROMINE }),
]

/** What MAHC calls an imminent hazard or sets outright, apart from the sanitizer minima: other profiles build on it. */
export const MAHC_LIMITS: readonly LimitRule[] = [
  limit('mahc.freeChlorine.max', 'freeChlorineMgL', 'max', 10, 'close', mahc5th('6.3.3.1 (with bathers present)')),
  limit('mahc.cyanuricAcidRatio.max', 'cyanuricAcidToChlorineRatio', 'max', 45, 'close', mahc4th('closure items')),
  {
    // the text read asks for immediate remediation; it does not say closing
    ...limit('mahc.cyanuricAcid.max', 'cyanuricAcidMgL', 'max', 300, 'act', mahc5th('5.7.3.1.3.3')),
    inclusive: true,
  },
  limit('mahc.ph.min.close', 'ph', 'min', 6.5, 'close', mahcHazard(3)),
  limit('mahc.ph.max.close', 'ph', 'max', 8, 'close', mahcHazard(4)),
  limit('mahc.ph.min', 'ph', 'min', 7, 'act', mahc4th('minimum pH')),
]

/** Imminent hazards that no test kit measures. */
export const MAHC_CLOSURES: readonly ClosureRule[] = [
  { key: 'mahc.closure.treatmentStopped', trigger: 'treatmentStopped', when: {}, citation: mahcHazard(5) },
  { key: 'mahc.closure.bottomNotVisible', trigger: 'bottomNotVisible', when: {}, citation: mahcHazard(11) },
]

export const cdcMahc: CodeProfile = {
  key: DEFAULT_PROFILE_KEY,
  name: 'CDC Model Aquatic Health Code',
  edition: '4th (2023) and 5th (2025) editions, as cited at each rule',
  parentKey: null,
  notRead:
    'The code’s limits of bromine, combined chlorine, alkalinity, hardness, ORP and temperature and its test frequencies were not read: practice of the trade stands in their place. It is a model code: it is law only where it was adopted.',
  limits: complete([...MAHC_MINIMA, ...MAHC_LIMITS], PRACTICE_LIMITS),
  cyanuricAcidForbidden: PRACTICE_CYANURIC_ACID_FORBIDDEN,
  tests: [...PRACTICE_DAILY_TESTS, ...PRACTICE_WEEKLY_TESTS, ...PRACTICE_MONTHLY_TESTS],
  closures: MAHC_CLOSURES,
}

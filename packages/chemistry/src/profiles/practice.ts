import type { CodeProfile, LimitRule, TestRule } from '../profile.ts'
import { practice } from './citations.ts'
import { BROMINE, CHLORINE, limit, WARM_OR_SHALLOW } from './limits.ts'

const DAILY_H = 24
const WEEKLY_H = 7 * 24
export const MONTHLY_H = 31 * 24

/** What a working company needs and no text read by us sets. Common practice, no source; it never closes a body. */
export const PRACTICE_LIMITS: readonly LimitRule[] = [
  limit('practice.freeChlorine.min.therapy', 'freeChlorineMgL', 'min', 3, 'act', practice, {
    useClass: ['therapy'],
    sanitizerSystem: CHLORINE,
  }),
  limit('practice.freeChlorine.max.indoor', 'freeChlorineMgL', 'max', 5, 'watch', practice, {
    setting: 'indoor',
    useClass: ['pool'],
  }),
  limit('practice.freeChlorine.max', 'freeChlorineMgL', 'max', 8, 'watch', practice),
  limit('practice.bromine.min.warm', 'bromineMgL', 'min', 4, 'act', practice, {
    useClass: [...WARM_OR_SHALLOW, 'therapy'],
    sanitizerSystem: BROMINE,
  }),
  limit('practice.bromine.min', 'bromineMgL', 'min', 3, 'act', practice, { sanitizerSystem: BROMINE }),
  limit('practice.bromine.max', 'bromineMgL', 'max', 10, 'act', practice),
  limit('practice.bromine.max.watch', 'bromineMgL', 'max', 8, 'watch', practice),
  limit('practice.combinedChlorine.max', 'combinedChlorineMgL', 'max', 1, 'act', practice),
  limit('practice.combinedChlorine.max.watch', 'combinedChlorineMgL', 'max', 0.4, 'watch', practice),
  limit('practice.cyanuricAcidRatio.max', 'cyanuricAcidToChlorineRatio', 'max', 20, 'watch', practice),
  limit('practice.cyanuricAcid.max', 'cyanuricAcidMgL', 'max', 90, 'watch', practice),
  limit('practice.ph.max', 'ph', 'max', 7.8, 'act', practice),
  limit('practice.ph.min.watch', 'ph', 'min', 7.2, 'watch', practice),
  limit('practice.alkalinity.min', 'totalAlkalinityMgL', 'min', 60, 'watch', practice),
  limit('practice.alkalinity.max', 'totalAlkalinityMgL', 'max', 180, 'watch', practice),
  limit('practice.calcium.min', 'calciumHardnessMgL', 'min', 150, 'watch', practice),
  limit('practice.calcium.max', 'calciumHardnessMgL', 'max', 1000, 'watch', practice),
  // 40 °C is 104 °F, the limit for spas in 10 NYCRR 6-1.25 too
  limit('practice.temperature.max', 'tempC', 'max', 40, 'act', practice),
  // 10 NYCRR 6-1.30 has the same tolerance, for the classical index
  limit('practice.saturation.min.watch', 'saturationIndex', 'min', -0.5, 'watch', practice),
  limit('practice.saturation.max.watch', 'saturationIndex', 'max', 0.5, 'watch', practice),
  limit('practice.saturation.min', 'saturationIndex', 'min', -1, 'act', practice),
  limit('practice.saturation.max', 'saturationIndex', 'max', 1, 'act', practice),
  // published minima run from 600 to 770 mV
  limit('practice.orp.min', 'orpMv', 'min', 600, 'act', practice),
  limit('practice.orp.min.watch', 'orpMv', 'min', 650, 'watch', practice),
  limit('practice.orp.max', 'orpMv', 'max', 900, 'act', practice),
]

export const PRACTICE_CYANURIC_ACID_FORBIDDEN: CodeProfile['cyanuricAcidForbidden'] = [
  { key: 'practice.cyanuricAcid.forbidden.indoor', when: { setting: 'indoor' }, citation: practice },
  { key: 'practice.cyanuricAcid.forbidden.warm', when: { useClass: ['spa', 'therapy'] }, citation: practice },
]

export const PRACTICE_DAILY_TESTS: readonly TestRule[] = [
  {
    key: 'practice.test.chlorine',
    parameters: ['freeChlorineMgL', 'ph'],
    everyHours: DAILY_H,
    when: { sanitizerSystem: CHLORINE },
    citation: practice,
  },
  {
    key: 'practice.test.bromine',
    parameters: ['bromineMgL', 'ph'],
    everyHours: DAILY_H,
    when: { sanitizerSystem: BROMINE },
    citation: practice,
  },
]
export const PRACTICE_WEEKLY_TESTS: readonly TestRule[] = [
  {
    key: 'practice.test.balance',
    parameters: ['totalAlkalinityMgL', 'calciumHardnessMgL'],
    everyHours: WEEKLY_H,
    when: {},
    citation: practice,
  },
]
export const PRACTICE_MONTHLY_TESTS: readonly TestRule[] = [
  {
    key: 'practice.test.cyanuricAcid',
    parameters: ['cyanuricAcidMgL'],
    everyHours: MONTHLY_H,
    when: { cyanuricAcidUsed: true },
    citation: practice,
  },
]

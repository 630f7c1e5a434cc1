import type { CodeProfile } from '../profile.ts'
import { MAHC_LIMITS } from './cdcMahc.ts'
import { california } from './citations.ts'
import { BROMINE, CHLORINE, limit, WARM_OR_SHALLOW } from './limits.ts'
import { MONTHLY_H, PRACTICE_LIMITS, PRACTICE_WEEKLY_TESTS } from './practice.ts'

const residual = california('65529(b)')

/** California's disinfection and testing rules; for what was not read there, MAHC and practice, each cited as such. */
export const usCa: CodeProfile = {
  key: 'us-ca',
  name: 'California public pools',
  edition: '22 CCR 65523 and 65529, as published online, read November 2026',
  parentKey: null,
  limits: [
    limit('ca.freeChlorine.min.warm', 'freeChlorineMgL', 'min', 3, 'close', residual, {
      useClass: WARM_OR_SHALLOW,
      sanitizerSystem: CHLORINE,
    }),
    limit('ca.freeChlorine.min.stabilized', 'freeChlorineMgL', 'min', 2, 'close', residual, {
      cyanuricAcidUsed: true,
      sanitizerSystem: CHLORINE,
    }),
    limit('ca.freeChlorine.min', 'freeChlorineMgL', 'min', 1, 'close', residual, { sanitizerSystem: CHLORINE }),
    limit('ca.freeChlorine.max', 'freeChlorineMgL', 'max', 10, 'close', residual),
    limit('ca.bromine.min.warm', 'bromineMgL', 'min', 4, 'close', residual, {
      useClass: WARM_OR_SHALLOW,
      sanitizerSystem: BROMINE,
    }),
    limit('ca.bromine.min', 'bromineMgL', 'min', 2, 'close', residual, { sanitizerSystem: BROMINE }),
    ...MAHC_LIMITS.filter((rule) => rule.thing !== 'freeChlorineMgL'),
    ...PRACTICE_LIMITS,
  ],
  // 65529(b) gives spas a minimum "with or without" cyanuric acid, so it is not forbidden there
  cyanuricAcidForbidden: [],
  tests: [
    {
      key: 'ca.test.chlorine',
      parameters: ['freeChlorineMgL', 'ph'],
      everyHours: 24,
      when: { sanitizerSystem: CHLORINE },
      citation: california('65523'),
    },
    {
      key: 'ca.test.bromine',
      parameters: ['bromineMgL', 'ph'],
      everyHours: 24,
      when: { sanitizerSystem: BROMINE },
      citation: california('65523'),
    },
    ...PRACTICE_WEEKLY_TESTS,
    {
      key: 'ca.test.cyanuricAcid',
      parameters: ['cyanuricAcidMgL'],
      everyHours: MONTHLY_H,
      when: { cyanuricAcidUsed: true },
      citation: california('65523'),
    },
  ],
}

import type { CodeProfile } from '../profile.ts'
import { MAHC_CLOSURES, MAHC_LIMITS } from './cdcMahc.ts'
import { california } from './citations.ts'
import { complete } from './complete.ts'
import { BROMINE, CHLORINE, limit, WARM_OR_SHALLOW } from './limits.ts'
import { MONTHLY_H, PRACTICE_LIMITS, PRACTICE_WEEKLY_TESTS } from './practice.ts'

const residual = california('65529(b); closing: 65545 (inadequate disinfection)')

/** California's disinfection and testing rules; for what was not read there, MAHC and practice, each cited as such. */
export const usCa: CodeProfile = {
  key: 'us-ca',
  name: 'California public pools',
  edition: '22 CCR 65523, 65529 and 65545, as published online, read November 2026',
  parentKey: null,
  notRead:
    'California’s own limits of pH and cyanuric acid (22 CCR 65530) were not read: those of the Model Aquatic Health Code and practice stand in their place.',
  limits: complete(
    [
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
    ],
    MAHC_LIMITS,
    PRACTICE_LIMITS,
  ),
  // 65529(b) gives spas a minimum "with or without" cyanuric acid, so it is not forbidden there
  cyanuricAcidForbidden: [],
  tests: [
    {
      key: 'ca.test.chlorine',
      parameters: ['freeChlorineMgL', 'ph'],
      everyHours: 24,
      perDay: 1,
      when: { sanitizerSystem: CHLORINE },
      citation: california('65523(a)'),
    },
    {
      key: 'ca.test.bromine',
      parameters: ['bromineMgL', 'ph'],
      everyHours: 24,
      perDay: 1,
      when: { sanitizerSystem: BROMINE },
      citation: california('65523(a)'),
    },
    ...PRACTICE_WEEKLY_TESTS,
    {
      key: 'ca.test.cyanuricAcid',
      parameters: ['cyanuricAcidMgL'],
      everyHours: MONTHLY_H,
      when: { cyanuricAcidUsed: true },
      citation: california('65523(b)'),
    },
  ],
  closures: MAHC_CLOSURES,
}

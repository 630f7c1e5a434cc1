import type { CodeProfile } from '../profile.ts'
import { MAHC_LIMITS } from './cdcMahc.ts'
import { districtOfColumbia } from './citations.ts'
import { BROMINE, CHLORINE, limit } from './limits.ts'
import {
  PRACTICE_CYANURIC_ACID_FORBIDDEN,
  PRACTICE_LIMITS,
  PRACTICE_MONTHLY_TESTS,
  PRACTICE_WEEKLY_TESTS,
} from './practice.ts'

const water = districtOfColumbia('C404')
const log = districtOfColumbia('C412')

/** The District of Columbia's water rules; for what was not read there, MAHC and practice, each cited as such. */
export const usDc: CodeProfile = {
  key: 'us-dc',
  name: 'District of Columbia public pools',
  edition: 'DCMR 25-C, 2017',
  parentKey: null,
  limits: [
    limit('dc.freeChlorine.min.spa', 'freeChlorineMgL', 'min', 3, 'close', water, {
      useClass: ['spa'],
      sanitizerSystem: CHLORINE,
    }),
    limit('dc.freeChlorine.min', 'freeChlorineMgL', 'min', 1, 'close', water, { sanitizerSystem: CHLORINE }),
    limit('dc.freeChlorine.max.indoor', 'freeChlorineMgL', 'max', 5, 'act', water, { setting: 'indoor' }),
    limit('dc.freeChlorine.max', 'freeChlorineMgL', 'max', 10, 'act', water),
    limit('dc.bromine.min.spa', 'bromineMgL', 'min', 4, 'close', water, {
      useClass: ['spa'],
      sanitizerSystem: BROMINE,
    }),
    limit('dc.bromine.min', 'bromineMgL', 'min', 1.5, 'close', water, { sanitizerSystem: BROMINE }),
    limit('dc.bromine.max.indoor', 'bromineMgL', 'max', 6, 'act', water, { setting: 'indoor' }),
    limit('dc.bromine.max', 'bromineMgL', 'max', 8, 'act', water),
    limit('dc.combinedChlorine.max', 'combinedChlorineMgL', 'max', 0.4, 'act', water),
    limit('dc.ph.min.close', 'ph', 'min', 6.5, 'close', water),
    limit('dc.ph.max.close', 'ph', 'max', 8, 'close', water),
    limit('dc.ph.min', 'ph', 'min', 7.2, 'act', water),
    limit('dc.ph.max', 'ph', 'max', 7.8, 'act', water),
    limit('dc.orp.min', 'orpMv', 'min', 600, 'act', districtOfColumbia('C404.2(d)')),
    limit('dc.orp.max', 'orpMv', 'max', 900, 'act', districtOfColumbia('C404.2(d)')),
    ...MAHC_LIMITS.filter((rule) => rule.thing !== 'ph'),
    ...PRACTICE_LIMITS,
  ],
  cyanuricAcidForbidden: PRACTICE_CYANURIC_ACID_FORBIDDEN,
  tests: [
    {
      key: 'dc.test.chlorine',
      parameters: ['freeChlorineMgL', 'ph'],
      everyHours: 8,
      when: { sanitizerSystem: CHLORINE },
      citation: log,
    },
    {
      key: 'dc.test.bromine',
      parameters: ['bromineMgL', 'ph'],
      everyHours: 8,
      when: { sanitizerSystem: BROMINE },
      citation: log,
    },
    ...PRACTICE_WEEKLY_TESTS,
    ...PRACTICE_MONTHLY_TESTS,
  ],
}

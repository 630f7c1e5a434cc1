import type { CodeProfile } from '../profile.ts'
import { MAHC_CLOSURES, MAHC_LIMITS } from './cdcMahc.ts'
import { closedByMahc, districtOfColumbia } from './citations.ts'
import { complete } from './complete.ts'
import { BROMINE, CHLORINE, limit } from './limits.ts'
import {
  PRACTICE_CYANURIC_ACID_FORBIDDEN,
  PRACTICE_LIMITS,
  PRACTICE_MONTHLY_TESTS,
  PRACTICE_WEEKLY_TESTS,
} from './practice.ts'

const chlorine = districtOfColumbia('C404.2(b)(1)–(2)')
const bromine = districtOfColumbia('C404.2(b)(3)')
const indoor = districtOfColumbia('C404.2(b)(4)')
const ph = districtOfColumbia('C404.2(a)')
const orp = districtOfColumbia('C404.2(d)')
const log = districtOfColumbia('C412')

/** The District of Columbia's water rules; for what was not read there, MAHC and practice, each cited as such. */
export const usDc: CodeProfile = {
  key: 'us-dc',
  name: 'District of Columbia public pools',
  edition: 'DCMR 25-C, 2017',
  parentKey: null,
  notRead:
    'What closes a pool (other than through pH) and the limits of alkalinity, hardness and cyanuric acid were not read: the Model Aquatic Health Code and practice stand in their place.',
  limits: complete(
    [
      limit('dc.freeChlorine.min.spa', 'freeChlorineMgL', 'min', 3, 'close', closedByMahc(chlorine), {
        useClass: ['spa'],
        sanitizerSystem: CHLORINE,
      }),
      // "all other type pools" than conventional swimming pools
      limit('dc.freeChlorine.min.other', 'freeChlorineMgL', 'min', 2, 'close', closedByMahc(chlorine), {
        useClass: ['wading', 'splash', 'therapy'],
        sanitizerSystem: CHLORINE,
      }),
      limit('dc.freeChlorine.min', 'freeChlorineMgL', 'min', 1, 'close', closedByMahc(chlorine), {
        sanitizerSystem: CHLORINE,
      }),
      limit('dc.freeChlorine.max.indoor', 'freeChlorineMgL', 'max', 5, 'act', indoor, {
        setting: 'indoor',
        useClass: ['pool'],
      }),
      limit('dc.freeChlorine.max', 'freeChlorineMgL', 'max', 10, 'act', chlorine),
      limit('dc.bromine.min.spa', 'bromineMgL', 'min', 4, 'close', closedByMahc(bromine), {
        useClass: ['spa'],
        sanitizerSystem: BROMINE,
      }),
      limit('dc.bromine.min', 'bromineMgL', 'min', 1.5, 'close', closedByMahc(bromine), { sanitizerSystem: BROMINE }),
      limit('dc.bromine.max.indoor', 'bromineMgL', 'max', 6, 'act', indoor, { setting: 'indoor', useClass: ['pool'] }),
      limit('dc.bromine.max', 'bromineMgL', 'max', 8, 'act', bromine),
      limit('dc.combinedChlorine.max', 'combinedChlorineMgL', 'max', 0.4, 'act', districtOfColumbia('C404.2(c)')),
      limit('dc.ph.min.close', 'ph', 'min', 6.5, 'close', closedByMahc(ph, 3)),
      limit('dc.ph.max.close', 'ph', 'max', 8, 'close', closedByMahc(ph, 4)),
      limit('dc.ph.min', 'ph', 'min', 7.2, 'act', ph),
      limit('dc.ph.max', 'ph', 'max', 7.8, 'act', ph),
      limit('dc.orp.min', 'orpMv', 'min', 600, 'act', orp),
      limit('dc.orp.max', 'orpMv', 'max', 900, 'act', orp),
    ],
    MAHC_LIMITS,
    PRACTICE_LIMITS,
  ),
  cyanuricAcidForbidden: PRACTICE_CYANURIC_ACID_FORBIDDEN,
  tests: [
    {
      key: 'dc.test.chlorine',
      parameters: ['freeChlorineMgL', 'ph'],
      everyHours: 8,
      perDay: 3,
      when: { sanitizerSystem: CHLORINE },
      citation: log,
    },
    {
      key: 'dc.test.bromine',
      parameters: ['bromineMgL', 'ph'],
      everyHours: 8,
      perDay: 3,
      when: { sanitizerSystem: BROMINE },
      citation: log,
    },
    ...PRACTICE_WEEKLY_TESTS,
    ...PRACTICE_MONTHLY_TESTS,
  ],
  closures: MAHC_CLOSURES,
}

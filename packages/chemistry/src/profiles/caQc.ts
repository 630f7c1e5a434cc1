import type { CodeProfile } from '../profile.ts'
import type { UseClass } from '../vocabulary.ts'
import { MAHC_CLOSURES, MAHC_LIMITS, MAHC_MINIMA } from './cdcMahc.ts'
import { quebec } from './citations.ts'
import { complete } from './complete.ts'
import { BROMINE, CHLORINE, limit } from './limits.ts'
import {
  PRACTICE_CYANURIC_ACID_FORBIDDEN,
  PRACTICE_LIMITS,
  PRACTICE_MONTHLY_TESTS,
  PRACTICE_WEEKLY_TESTS,
} from './practice.ts'

const standard = quebec('s. 5')
const hot = quebec('s. 6', 'version of 19 November 2024')
const evacuate = quebec('s. 17 (evacuate and close)', 'version of 20 July 2021')
const samples = quebec('s. 11 (private pools of 10 to 50 dwellings)', 'version of 16 April 2024')

// s. 4: wading pools, whirlpools and splash pads too; s. 3: not pools used only for medical purposes
const COVERED: readonly UseClass[] = ['pool', 'spa', 'wading', 'splash']
const IN = { useClass: COVERED, setting: 'indoor' } as const
const OUT = { useClass: COVERED, setting: 'outdoor' } as const
const CHLORINATED = { useClass: COVERED, sanitizerSystem: CHLORINE }
const BROMINATED = { useClass: COVERED, sanitizerSystem: BROMINE }
const OVER_35_C = { over: { thing: 'tempC', value: 35 } } as const

/** Québec's standards and what it evacuates by; for what was not read there, MAHC and practice, each cited as such. */
export const caQc: CodeProfile = {
  key: 'ca-qc',
  name: 'Québec swimming pools and other artificial pools',
  edition: 'Q-2, r. 39, sections in the versions cited, read November 2026',
  parentKey: null,
  notRead:
    'How often pools open to the public are tested (s. 9) and the ORP standard up to 35 °C were not read. Outdoors, water with cyanuric acid must have the same disinfecting power, by no number: the minimum of the Model Aquatic Health Code stands in its place. Pools used only for medical purposes are outside the regulation.',
  limits: complete(
    [
      limit('qc.freeChlorine.min.hot', 'freeChlorineMgL', 'min', 2, 'act', hot, { ...CHLORINATED, ...OVER_35_C }),
      limit('qc.freeChlorine.min', 'freeChlorineMgL', 'min', 0.8, 'act', standard, CHLORINATED),
      // with cyanuric acid so little would have no disinfecting power: there the minimum of MAHC closes
      limit('qc.freeChlorine.min.close', 'freeChlorineMgL', 'min', 0.3, 'close', evacuate, {
        ...CHLORINATED,
        cyanuricAcidUsed: false,
      }),
      limit('qc.freeChlorine.max.hot', 'freeChlorineMgL', 'max', 3, 'act', hot, { useClass: COVERED, ...OVER_35_C }),
      limit('qc.freeChlorine.max.indoor', 'freeChlorineMgL', 'max', 2, 'act', standard, IN),
      limit('qc.freeChlorine.max.outdoor', 'freeChlorineMgL', 'max', 3, 'act', standard, OUT),
      limit('qc.freeChlorine.max.close', 'freeChlorineMgL', 'max', 5, 'close', evacuate, { useClass: COVERED }),
      limit('qc.bromine.min.hot', 'bromineMgL', 'min', 3, 'act', hot, { ...BROMINATED, ...OVER_35_C }),
      limit('qc.bromine.min', 'bromineMgL', 'min', 2, 'act', standard, BROMINATED),
      limit('qc.bromine.min.close', 'bromineMgL', 'min', 0.6, 'close', evacuate, BROMINATED),
      limit('qc.bromine.max', 'bromineMgL', 'max', 5, 'act', standard, { useClass: COVERED }),
      limit('qc.combinedChlorine.max.indoor', 'combinedChlorineMgL', 'max', 0.5, 'act', standard, IN),
      limit('qc.combinedChlorine.max.outdoor', 'combinedChlorineMgL', 'max', 1, 'act', standard, OUT),
      {
        ...limit('qc.combinedChlorine.max.close', 'combinedChlorineMgL', 'max', 1, 'close', evacuate, {
          useClass: COVERED,
        }),
        lastingHours: 24,
      },
      limit('qc.ph.min', 'ph', 'min', 7.2, 'act', standard, { useClass: COVERED }),
      limit('qc.ph.max', 'ph', 'max', 7.8, 'act', standard, { useClass: COVERED }),
      limit('qc.alkalinity.min', 'totalAlkalinityMgL', 'min', 60, 'act', standard, { useClass: COVERED }),
      limit('qc.alkalinity.max', 'totalAlkalinityMgL', 'max', 150, 'act', standard, { useClass: COVERED }),
      limit('qc.calcium.min', 'calciumHardnessMgL', 'min', 150, 'act', standard, { useClass: COVERED }),
      limit('qc.calcium.max', 'calciumHardnessMgL', 'max', 400, 'act', standard, { useClass: COVERED }),
      limit('qc.cyanuricAcid.max', 'cyanuricAcidMgL', 'max', 60, 'act', standard, { useClass: COVERED }),
      {
        // "must be greater than 750 mV"
        ...limit('qc.orp.min.hot', 'orpMv', 'min', 750, 'act', hot, { useClass: COVERED, ...OVER_35_C }),
        inclusive: true,
      },
    ],
    MAHC_MINIMA,
    MAHC_LIMITS,
    PRACTICE_LIMITS,
  ),
  cyanuricAcidForbidden: [
    { key: 'qc.cyanuricAcid.forbidden.indoor', when: IN, citation: standard },
    ...PRACTICE_CYANURIC_ACID_FORBIDDEN,
  ],
  tests: [
    {
      key: 'qc.test.chlorine',
      parameters: ['freeChlorineMgL', 'ph'],
      everyHours: 12,
      perDay: 2,
      times: 'before opening and halfway through the day',
      when: { sanitizerSystem: CHLORINE },
      citation: samples,
    },
    {
      key: 'qc.test.bromine',
      parameters: ['bromineMgL', 'ph'],
      everyHours: 12,
      perDay: 2,
      times: 'before opening and halfway through the day',
      when: { sanitizerSystem: BROMINE },
      citation: samples,
    },
    ...PRACTICE_WEEKLY_TESTS,
    ...PRACTICE_MONTHLY_TESTS,
  ],
  closures: [
    { key: 'qc.closure.treatmentStopped', trigger: 'treatmentStopped', when: {}, citation: evacuate },
    { key: 'qc.closure.turbid', trigger: 'turbid', when: { useClass: COVERED }, citation: evacuate },
    { key: 'qc.closure.fecesOrVomit', trigger: 'fecesOrVomit', when: {}, citation: evacuate },
    ...MAHC_CLOSURES.filter(({ trigger }) => trigger === 'bottomNotVisible'),
  ],
}

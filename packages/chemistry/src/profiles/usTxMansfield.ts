import type { CodeProfile, TestRule } from '../profile.ts'
import { MAHC_LIMITS, MAHC_MINIMA } from './cdcMahc.ts'
import { mansfield, texas } from './citations.ts'
import { complete } from './complete.ts'
import { BROMINE, CHLORINE, limit } from './limits.ts'
import {
  PRACTICE_CYANURIC_ACID_FORBIDDEN,
  PRACTICE_LIMITS,
  PRACTICE_MONTHLY_TESTS,
  PRACTICE_WEEKLY_TESTS,
} from './practice.ts'

const closing = (item: number | string) => mansfield(`92.47(A)(${item})`)
const records = mansfield('92.47, daily records')
const threeADay = (key: string, parameters: TestRule['parameters'], when: TestRule['when']): TestRule => ({
  key,
  parameters,
  everyHours: 8,
  perDay: 3,
  when,
  citation: records,
})

/** What closes a pool in Mansfield, Texas; the State's minima are a figure that could not be read, so MAHC's stand in. */
export const usTxMansfield: CodeProfile = {
  key: 'us-tx-mansfield',
  name: 'Mansfield, Texas, public pools',
  edition: 'Code of Ordinances 92.47 and 25 TAC 265.193, read November 2026',
  parentKey: null,
  notRead:
    'Mansfield closes below the minimum residuals of the State of Texas (25 TAC 265.193(c)), which could not be read: those of the Model Aquatic Health Code stand in their place. The State’s other limits were not read either.',
  limits: complete(
    [
      limit('mansfield.freeChlorine.max', 'freeChlorineMgL', 'max', 8, 'close', closing(4)),
      limit('mansfield.ph.min', 'ph', 'min', 7, 'close', closing(2)),
      limit('mansfield.ph.max', 'ph', 'max', 7.8, 'close', closing(2)),
      {
        ...limit('mansfield.cyanuricAcid.max.close', 'cyanuricAcidMgL', 'max', 300, 'close', closing(10)),
        inclusive: true,
      },
      {
        ...limit('mansfield.cyanuricAcid.max', 'cyanuricAcidMgL', 'max', 100, 'act', closing('10)(a')),
        inclusive: true,
      },
    ],
    MAHC_MINIMA,
    MAHC_LIMITS,
    PRACTICE_LIMITS,
  ),
  cyanuricAcidForbidden: [
    { key: 'tx.cyanuricAcid.forbidden.indoor', when: { setting: 'indoor' }, citation: texas('265.193(d)') },
    { key: 'tx.cyanuricAcid.forbidden.therapy', when: { useClass: ['therapy'] }, citation: texas('265.193(d)') },
    ...PRACTICE_CYANURIC_ACID_FORBIDDEN.filter(({ when }) => when.useClass?.includes('spa')),
  ],
  tests: [
    threeADay('mansfield.test.chlorine', ['freeChlorineMgL', 'ph'], { sanitizerSystem: CHLORINE }),
    threeADay('mansfield.test.bromine', ['bromineMgL', 'ph'], { sanitizerSystem: BROMINE }),
    {
      key: 'mansfield.test.alkalinity',
      parameters: ['totalAlkalinityMgL'],
      everyHours: 7 * 24,
      when: {},
      citation: records,
    },
    ...PRACTICE_WEEKLY_TESTS,
    ...PRACTICE_MONTHLY_TESTS,
  ],
  closures: [
    { key: 'mansfield.closure.treatmentStopped', trigger: 'treatmentStopped', when: {}, citation: closing(17) },
    { key: 'mansfield.closure.bottomNotVisible', trigger: 'bottomNotVisible', when: {}, citation: closing(3) },
    { key: 'mansfield.closure.fecesOrVomit', trigger: 'fecesOrVomit', when: {}, citation: closing(7) },
  ],
}

import type { CodeProfile, TestRule } from '../profile.ts'
import { MAHC_CLOSURES, MAHC_LIMITS, MAHC_MINIMA } from './cdcMahc.ts'
import { closedByMahc, victoria } from './citations.ts'
import { complete } from './complete.ts'
import { BROMINE, CHLORINE, limit } from './limits.ts'
import { MONTHLY_H, PRACTICE_CYANURIC_ACID_FORBIDDEN, PRACTICE_LIMITS, PRACTICE_WEEKLY_TESTS } from './practice.ts'

const treatment = (part: string) => victoria(`regulation 54(${part})`)
const testing = victoria('regulation 48', 'S.R. No. 135/2019, in force when read, November 2026')
const fourHourly = (key: string, parameters: TestRule['parameters'], when: TestRule['when']): TestRule => ({
  key,
  parameters,
  everyHours: 4,
  times: 'just before opening and every 4 hours while open',
  when,
  citation: testing,
})

/** Victoria's treatment and testing of aquatic facilities; for what was not read there, MAHC and practice, cited as such. */
export const auVic: CodeProfile = {
  key: 'au-vic',
  name: 'Victoria, Australia, aquatic facilities',
  edition: 'Public Health and Wellbeing Regulations 2019, regulations 48 and 54, read November 2026',
  parentKey: null,
  notRead:
    'Of regulation 54 the parts on bromine and on which pools it is about beside spas, of the others the limits of cyanuric acid, alkalinity and combined chlorine were not read: the Model Aquatic Health Code and practice stand in their place, also for wading, splash and therapy pools.',
  limits: complete(
    [
      limit('vic.freeChlorine.min.spa', 'freeChlorineMgL', 'min', 3, 'close', closedByMahc(treatment('4')), {
        useClass: ['spa'],
        sanitizerSystem: CHLORINE,
      }),
      limit('vic.freeChlorine.min.stabilized', 'freeChlorineMgL', 'min', 2, 'close', closedByMahc(treatment('3')), {
        useClass: ['pool'],
        cyanuricAcidUsed: true,
        sanitizerSystem: CHLORINE,
      }),
      limit('vic.freeChlorine.min', 'freeChlorineMgL', 'min', 1, 'close', closedByMahc(treatment('2')), {
        useClass: ['pool'],
        sanitizerSystem: CHLORINE,
      }),
      limit('vic.totalChlorine.max', 'totalChlorineMgL', 'max', 10, 'act', treatment('2–4'), {
        sanitizerSystem: CHLORINE,
      }),
      limit('vic.ph.min', 'ph', 'min', 7.2, 'act', treatment('2–4')),
      limit('vic.ph.max', 'ph', 'max', 7.8, 'act', treatment('2–4')),
    ],
    MAHC_MINIMA,
    MAHC_LIMITS,
    PRACTICE_LIMITS,
  ),
  cyanuricAcidForbidden: PRACTICE_CYANURIC_ACID_FORBIDDEN,
  tests: [
    fourHourly('vic.test.chlorine', ['freeChlorineMgL', 'totalChlorineMgL', 'ph'], { sanitizerSystem: CHLORINE }),
    fourHourly('vic.test.bromine', ['bromineMgL', 'ph'], { sanitizerSystem: BROMINE }),
    { key: 'vic.test.alkalinity', parameters: ['totalAlkalinityMgL'], everyHours: 7 * 24, when: {}, citation: testing },
    {
      key: 'vic.test.cyanuricAcid',
      parameters: ['cyanuricAcidMgL'],
      everyHours: MONTHLY_H,
      when: { cyanuricAcidUsed: true },
      citation: testing,
    },
    ...PRACTICE_WEEKLY_TESTS,
  ],
  closures: MAHC_CLOSURES,
}

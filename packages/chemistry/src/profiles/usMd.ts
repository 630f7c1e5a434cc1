import type { CodeProfile, TestRule } from '../profile.ts'
import type { Parameter } from '../vocabulary.ts'
import { MAHC_CLOSURES, MAHC_LIMITS, MAHC_MINIMA } from './cdcMahc.ts'
import { maryland } from './citations.ts'
import { complete } from './complete.ts'
import { BROMINE, CHLORINE } from './limits.ts'
import { PRACTICE_CYANURIC_ACID_FORBIDDEN, PRACTICE_LIMITS } from './practice.ts'

const SANITIZERS = [
  { name: 'chlorine', parameters: ['freeChlorineMgL', 'totalChlorineMgL', 'ph'], sanitizerSystem: CHLORINE },
  { name: 'bromine', parameters: ['bromineMgL', 'ph'], sanitizerSystem: BROMINE },
] as const satisfies readonly { name: string; parameters: readonly Parameter[]; sanitizerSystem: readonly string[] }[]

const automated: readonly TestRule[] = SANITIZERS.map(({ name, parameters, sanitizerSystem }) => ({
  key: `md.test.${name}.automated`,
  parameters,
  everyHours: 8,
  perDay: 3,
  times: 'half an hour before opening, between noon and 2 p.m., and the last done 2 hours before closing',
  when: { sanitizerSystem, automated: true },
  citation: maryland('10.17.01.46 B(1) (with an approved automatic controller)'),
}))
const twoHourly: readonly TestRule[] = SANITIZERS.map(({ name, parameters, sanitizerSystem }) => ({
  key: `md.test.${name}`,
  parameters,
  everyHours: 2,
  times: 'from half an hour before opening',
  when: { sanitizerSystem },
  citation: maryland('10.17.01.46 A'),
}))
const threeADay: readonly TestRule[] = SANITIZERS.map(({ name, parameters, sanitizerSystem }) => ({
  key: `md.test.${name}.semipublic`,
  parameters,
  everyHours: 8,
  perDay: 3,
  times: 'from half an hour before opening',
  when: { sanitizerSystem, useClass: ['pool', 'wading', 'splash', 'therapy'] },
  citation: maryland('10.17.01.46 A'),
}))

const balance = (key: string, parameters: readonly Parameter[], when: TestRule['when']): TestRule[] => [
  {
    key: `${key}.spa`,
    parameters,
    everyHours: 24,
    when: { ...when, useClass: ['spa'] },
    citation: maryland('10.17.01.46 D'),
  },
  { key, parameters, everyHours: 7 * 24, when, citation: maryland('10.17.01.46 D') },
]
const BALANCE = [
  ...balance('md.test.balance', ['totalAlkalinityMgL', 'calciumHardnessMgL'], {}),
  ...balance('md.test.cyanuricAcid', ['cyanuricAcidMgL'], { cyanuricAcidUsed: true }),
]

const common = {
  edition: 'COMAR 10.17.01.46 (tests), current through 20 September 2024',
  parentKey: null,
  notRead:
    'Maryland’s own limits (COMAR 10.17.01.44 and .45) were not read, only how often to test: the limits of the Model Aquatic Health Code and practice stand in their place and may be laxer than the law. Enter the local limits in a profile of your own before relying on it.',
  limits: complete(MAHC_MINIMA, MAHC_LIMITS, PRACTICE_LIMITS),
  cyanuricAcidForbidden: PRACTICE_CYANURIC_ACID_FORBIDDEN,
  closures: MAHC_CLOSURES,
} satisfies Partial<CodeProfile>

/** Maryland's test frequencies for recreational pools and public spas; its limits were not read. */
export const usMd: CodeProfile = {
  ...common,
  key: 'us-md',
  name: 'Maryland recreational pools and public spas: tests only',
  tests: [...automated, ...twoHourly, ...BALANCE],
}

/** The same for semipublic pools (of hotels, apartments) and those of limited public use; their spas are public spas. */
export const usMdSemipublic: CodeProfile = {
  ...common,
  key: 'us-md-semipublic',
  name: 'Maryland semipublic pools: tests only',
  tests: [...automated, ...threeADay, ...twoHourly, ...BALANCE],
}

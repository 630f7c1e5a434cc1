import type { Citation, Unit } from './finding.ts'
import type { Parameter, SanitizerSystem, Setting, UseClass } from './vocabulary.ts'

/** What a limit can be set on: measured parameters and what follows from them. */
export type LimitedThing =
  | Parameter
  | 'combinedChlorineMgL'
  | 'cyanuricAcidToChlorineRatio'
  | 'saturationIndex'
  | 'orpMv'

/** A rule of a code profile: the first rule whose condition fits the body counts, per thing, side and effect. */
export interface LimitRule {
  key: string
  thing: LimitedThing
  side: 'min' | 'max'
  value: number
  unit: Unit
  /** The limit itself already counts as passed: the text says "300 or more", not "more than 300". */
  inclusive?: boolean
  /** What passing it means: `close` bathers may not use it; `act` a person today; `watch`. */
  effect: 'close' | 'act' | 'watch'
  when: Condition
  citation: Citation
}

/** Absent fields do not matter; all present ones must hold. */
export interface Condition {
  useClass?: readonly UseClass[]
  setting?: Setting
  cyanuricAcidUsed?: boolean
  sanitizerSystem?: readonly SanitizerSystem[]
}

/** How often something must be tested by hand. */
export interface TestRule {
  key: string
  /** All of these must have been tested within the interval. */
  parameters: readonly Parameter[]
  everyHours: number
  when: Condition & { automated?: boolean }
  citation: Citation
}

export interface CodeProfile {
  key: string
  name: string
  edition: string
  /** The profile this one was derived from; null for a published one. */
  parentKey: string | null
  limits: readonly LimitRule[]
  /** Where cyanuric acid may not be used at all. */
  cyanuricAcidForbidden: readonly { key: string; when: Condition; citation: Citation }[]
  tests: readonly TestRule[]
}

/** A company's own value in place of its parent's; `value: null` takes the rule away. */
export interface ProfileOverride {
  ruleKey: string
  value: number | null
  reason: string
  citation: string
}

import type { Citation, Unit } from './finding.ts'
import type { ClosureTrigger, Parameter, SanitizerSystem, Setting, UseClass } from './vocabulary.ts'

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
  /** Passing it counts only once it has lasted longer than this. */
  lastingHours?: number
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
  /** Holds while the water is over this; not while nobody knows. */
  over?: WaterOver
}

export interface WaterOver {
  thing: 'ph' | 'tempC'
  value: number
}

/** What the rules that depend on the water itself go by; null when it is not known. */
export interface WaterNow {
  ph: number | null
  tempC: number | null
}

/** How often something must be tested by hand. */
export interface TestRule {
  key: string
  /** All of these must have been tested within the interval. */
  parameters: readonly Parameter[]
  everyHours: number
  /** The text counts tests rather than hours: at least so many on each day that it is open. */
  perDay?: number
  /** When in the day, in the text's sense; '' or absent where it does not say. */
  times?: string
  when: Condition & { automated?: boolean }
  citation: Citation
}

/** Bathers may not use the water, by what no test kit measures. */
export interface ClosureRule {
  key: string
  trigger: ClosureTrigger
  when: Condition
  citation: Citation
}

/** Where cyanuric acid may not be used at all. */
export interface ForbiddenRule {
  key: string
  when: Condition
  citation: Citation
}

export interface CodeProfile {
  key: string
  name: string
  edition: string
  /** The profile this one was derived from; null for a published one. */
  parentKey: string | null
  /** What of the code's own text was not read, and what stands in its place. */
  notRead: string
  limits: readonly LimitRule[]
  cyanuricAcidForbidden: readonly ForbiddenRule[]
  tests: readonly TestRule[]
  closures: readonly ClosureRule[]
}

/** A company's own value in place of its parent's; `value: null` takes the rule away. */
export interface ProfileOverride {
  ruleKey: string
  value: number | null
  reason: string
  citation: string
  /** Somebody said that a value laxer than the law it takes the place of is meant. */
  laxerConfirmed?: boolean
}

/** A limit of the company where its parent has none. */
export interface ProfileAddition {
  thing: LimitedThing
  side: LimitRule['side']
  effect: LimitRule['effect']
  value: number
  when: Condition
  reason: string
  citation: string
}

import type { Cause, FindingFamily, FindingKind, FindingSeverity, Severity } from './vocabulary.ts'

/** Something wrong with a body, or about to be. */
export interface Finding {
  kind: FindingKind
  /** Tells apart two findings of one kind on one body (a drum's or feeder's id); '' when the kind can occur once. */
  subject: string
  family: FindingFamily
  severity: FindingSeverity
  /** One sentence with the number and the limit, in the reader's words; units are shown through `{…}` quantities, see `Phrase`. */
  sentence: Phrase
  value: Quantified | null
  limit: Limit | null
  /** When the evidence for it began (the test, or the first hour in an unbroken run), ms UTC. */
  sinceMs: number
  evidence: EvidenceLine[]
  advice: Phrase[]
  cautions: CautionKey[]
  /** Where several things can be behind it: which, the likeliest first. */
  causes?: LikelyCause[]
  /** What to put on the truck for it. */
  bring?: Phrase[]
}

export interface LikelyCause {
  cause: Cause
  /** 0–1; those of one finding add up to 1. A way to order them, no measured frequency. */
  share: number
}

/** Text with quantities left open for the reader's units: 'Free chlorine {0} is under the minimum of {1}.' */
export interface Phrase {
  text: string
  quantities: Quantified[]
}

export interface Quantified {
  value: number
  unit: Unit
}

/** The stored units; the screen converts to the reader's. `pH` and `ratio` have no unit to show. */
export const UNITS = [
  'mg/L',
  'pH',
  'mV',
  '°C',
  'L',
  'L/min',
  'L/h',
  'g',
  'm²',
  'min',
  'h',
  'd',
  '%',
  'SI',
  'ratio',
  'count',
  'mg·min/L',
] as const
export type Unit = (typeof UNITS)[number]

export interface Limit {
  side: 'min' | 'max'
  value: number
  unit: Unit
  citation: Citation
}

/** Whose limit it is. `law`: the text of a published code was read. `practice`: common practice, no source. `company`: set by the company itself. */
export interface Citation {
  authority: 'law' | 'practice' | 'company'
  /** e.g. 'CDC Model Aquatic Health Code' */
  document: string
  /** Edition and date; '' for practice. */
  edition: string
  /** Section; '' for practice. */
  section: string
}

/** One number that the judgement rests on. */
export interface EvidenceLine {
  label: string
  quantity: Quantified
  atMs: number | null
  source: 'test' | 'controller' | 'derived'
}

export const CAUTION_KEYS = [
  'localCodeFirst',
  'protectiveEquipment',
  'acidIntoWater',
  'neverTogether',
  'retestBeforeBathers',
  'clearBathersBeforeFlow',
  'ventilateAndLeave',
] as const
export type CautionKey = (typeof CAUTION_KEYS)[number]

/** A body's overall state. */
export interface Standing {
  severity: Severity
  /** 0 (worst) to 100; null when `unheard` leaves nothing to score. */
  score: number | null
  parts: ScorePart[]
}

/** What a family of findings takes off the score, so that score = 100 − Σ taken. */
export interface ScorePart {
  family: FindingFamily
  taken: number
  because: FindingKind[]
}

export interface Assessment {
  findings: Finding[]
  standing: Standing
  /** The earliest time at which time alone can change this judgement (a test falls due, a controller counts as silent); null when none can. */
  dueAtMs: number | null
}

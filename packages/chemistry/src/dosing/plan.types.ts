import type { CautionKey, Phrase } from '../finding.ts'
import type { Parameter } from '../vocabulary.ts'
import type { Water } from '../water.ts'
import type { ChemicalKey } from './catalogue.ts'

/** Water with what follows from it; null where it lies outside what the equations were made for. */
export interface WaterState {
  water: Water
  saturationIndex: number | null
  /** Active chlorine, mg/L as Cl2; null also where bromine is the sanitizer. */
  hypochlorousMgL: number | null
  carbonateAlkalinityMgL: number
}

/** How much of a chemical, as it stands in its drum or bag. */
export interface Amount {
  massG: number
  /** Liquids only; null for solids and gases, which are weighed. */
  volumeL: number | null
}

interface Step {
  /** What it is for: 'Raise free chlorine from {0} to {1}.' */
  purpose: Phrase
  /** How the amount was worked out, line by line. */
  working: Phrase[]
  /** What it also does to the water, and what to watch while doing it. */
  notes: Phrase[]
  cautions: CautionKey[]
  /** The water when the step is done, mixed and waited for. */
  after: WaterState
  /** How long to wait before the next step, minutes. */
  waitMin: number
  /** What to test after that wait, before the next step. */
  retest: readonly Parameter[]
}

export interface DoseStep extends Step {
  kind: 'dose'
  chemical: ChemicalKey
  /** Its name with its strength: 'Sodium hypochlorite, 12.5 trade %'. */
  label: string
  /** All parts together. */
  amount: Amount
  /** Equal additions, 1 or more; none of them moves pH or chlorine too far. */
  parts: number
  /** Between two parts, minutes. */
  betweenMin: number
}
/** Replace part of the water, where nothing that is dosed lowers a value. */
export interface ReplaceStep extends Step {
  kind: 'replace'
  volumeL: number
  /** 0–1 of the body's volume. */
  share: number
}
/** Let carbon dioxide out: raises pH without alkalinity. */
export interface AerateStep extends Step {
  kind: 'aerate'
}
export type PlanStep = DoseStep | ReplaceStep | AerateStep

/** From the water as it is to the ranges wanted, in the order in which it is done. */
export interface DosePlan {
  before: WaterState
  steps: readonly PlanStep[]
  after: WaterState
  /** What remains outside the wanted ranges and why nothing here mends it. */
  remains: Phrase[]
  /** For the plan as a whole: what may not be added together, and to whom it defers. */
  cautions: CautionKey[]
}

import {
  type Amount,
  type BodyFacts,
  CAUTION_KEYS,
  type CautionKey,
  type CodeProfile,
  type DosePlan,
  formatQuantity,
  type LimitedThing,
  limitValuesFor,
  midSentence,
  type Parameter,
  type PlanStep,
  type Unit,
  unitOf,
  type WaterNow,
  type WaterState,
} from '@sightglass/chemistry'
import { type System, thingText, thingUnit, thingUnitLabel, type ValueModel, valueModel } from './measure.ts'
import { counted } from './numbers.ts'
import { sentenceOf } from './phrase.ts'
import { PARAMETER_SHORT, thingWords } from './words.ts'

/** One step of a dose plan, in the order in which it is read: what, how much, how, then wait and test. */
export interface StepModel {
  what: string
  amount: string
  /** A liquid's weight, for whoever has a scale and no measure. */
  weight: string
  parts: string
  purpose: string
  wait: string
  retest: string
  notes: string[]
  working: string[]
  cautions: CautionKey[]
}

const unbroken = (text: string) => text.replaceAll(' ', '\u00a0')
const quantityText = (value: number, unit: Unit, system: System) => unbroken(formatQuantity({ value, unit }, system))

/** An amount as it is measured out: a liquid by volume, the rest by weight. */
export const amountText = ({ massG, volumeL }: Amount, system: System) =>
  volumeL === null ? quantityText(massG, 'g', system) : quantityText(volumeL, 'L', system)

export const prepareStep = (step: PlanStep, system: System): StepModel => ({
  ...measureOf(step, system),
  purpose: sentenceOf(step.purpose, system),
  wait: step.waitMin > 0 ? `Wait ${waitText(step.waitMin)}` : '',
  retest: retestText(step, system),
  notes: step.notes.map((note) => sentenceOf(note, system)),
  working: step.working.map((line) => sentenceOf(line, system)),
  cautions: step.cautions,
})

/** What a plan and its steps caution against, each once; the one that is always on the page is left out. */
export function planCautions({ cautions, steps }: DosePlan): CautionKey[] {
  const keys = new Set([...cautions, ...steps.flatMap((step) => step.cautions)])
  return CAUTION_KEYS.filter((key) => keys.has(key) && key !== 'localCodeFirst')
}

/** '1 h 25 min': in steps of five minutes, and never shorter than it is. */
function waitText(minutes: number): string {
  const upMin = Math.ceil(minutes / 5) * 5
  const [hours, rest] = [Math.floor(upMin / 60), upMin % 60]
  return unbroken([hours > 0 ? `${hours} h` : '', rest > 0 ? `${rest} min` : ''].filter(Boolean).join(' '))
}

function measureOf(step: PlanStep, system: System): Pick<StepModel, 'what' | 'amount' | 'weight' | 'parts'> {
  if (step.kind === 'aerate') return { what: 'Air', amount: '', weight: '', parts: '' }
  if (step.kind === 'replace') {
    const share = quantityText(100 * step.share, '%', system)
    return {
      what: 'Fresh water',
      amount: quantityText(step.volumeL, 'L', system),
      weight: '',
      parts: `${share} of the body`,
    }
  }
  const { label, amount, parts, betweenMin } = step
  const part = { massG: amount.massG / parts, volumeL: amount.volumeL === null ? null : amount.volumeL / parts }
  return {
    what: label,
    amount: amountText(amount, system),
    weight: amount.volumeL === null ? '' : quantityText(amount.massG, 'g', system),
    parts:
      parts > 1
        ? `in ${counted(parts, 'equal part')} of ${amountText(part, system)}, ${waitText(betweenMin)} apart`
        : 'in one go',
  }
}

/** What to test, and what should be found: `pH 7.4, total alkalinity 90 ppm`. */
const retestText = ({ retest, after }: PlanStep, system: System) =>
  retest
    .map((parameter) => {
      const value = held(after, parameter)
      const name = midSentence(thingWords(parameter))
      return value === null ? name : `${name} ${unbroken(thingText(parameter, asShown(parameter, value), system))}`
    })
    .join(', ')

/** What a state of water holds of a thing that can be measured or has limits; null where it is not known. */
export function held(state: WaterState, thing: Parameter | LedgerThing): number | null {
  const { water } = state
  switch (thing) {
    case 'totalChlorineMgL':
      return water.freeChlorineMgL + water.combinedChlorineMgL
    case 'saltMgL':
      return null
    case 'saturationIndex':
    case 'hypochlorousMgL':
      return state[thing]
    default:
      return water[thing]
  }
}

/** A value that was worked out, rounded as it is shown: it is held against its range as the reader sees it. */
export function asShown(thing: string, value: number) {
  const { decimals } = unitOf(thingUnit(thing), 'metric')
  return Number(value.toFixed(decimals(Math.abs(value))))
}

export type LedgerThing =
  | 'freeChlorineMgL'
  | 'combinedChlorineMgL'
  | 'bromineMgL'
  | 'hypochlorousMgL'
  | 'ph'
  | 'totalAlkalinityMgL'
  | 'calciumHardnessMgL'
  | 'cyanuricAcidMgL'
  | 'saturationIndex'

/** What is shown of a water, the sanitizer that the body does not use left out. */
export const ledgerThings = (sanitizerSystem: BodyFacts['sanitizerSystem']): LedgerThing[] => [
  ...(sanitizerSystem === 'bromine'
    ? (['bromineMgL'] as const)
    : (['freeChlorineMgL', 'combinedChlorineMgL', 'hypochlorousMgL'] as const)),
  'ph',
  'totalAlkalinityMgL',
  'calciumHardnessMgL',
  'cyanuricAcidMgL',
  'saturationIndex',
]

export interface Ledger {
  columns: { thing: LedgerThing; title: string; unit: string; range: string }[]
  rows: { title: string; cells: LedgerCell[] }[]
}

export interface LedgerCell {
  /** Null where it was never tested, or cannot be told. */
  value: ValueModel | null
  /** It reads otherwise than in the row before. */
  moved: boolean
}

const LEDGER_TITLES: Partial<Record<LedgerThing, string>> = {
  combinedChlorineMgL: 'Combined',
  hypochlorousMgL: 'Active Cl',
  saturationIndex: 'Saturation',
}
const ledgerTitle = (thing: LedgerThing) =>
  LEDGER_TITLES[thing] ?? PARAMETER_SHORT[thing as Parameter] ?? thingWords(thing)

/** The water row by row, each value beside its range, what moved marked; what was not tested stays empty. */
export function prepareLedger(
  states: { title: string; state: WaterState }[],
  given: { profile: CodeProfile; body: BodyFacts; water: WaterNow; untested: readonly string[]; system: System },
): Ledger {
  const { profile, body, water, untested, system } = given
  const columns = ledgerThings(body.sanitizerSystem).map((thing) => ({
    thing,
    ...limitValuesFor(profile, body, thing as LimitedThing, water),
  }))
  const rows = states.map(({ title, state }, index) => {
    const before = states[index - 1]?.state
    return {
      title,
      cells: columns.map(({ thing, ...range }): LedgerCell => {
        const shown = (of: WaterState | undefined) => {
          const value = of && !untested.includes(thing) ? held(of, thing) : null
          return value === null ? null : valueModel(thing, ledgerTitle(thing), asShown(thing, value), range, system)
        }
        const value = shown(state)
        return { value, moved: before !== undefined && shown(before)?.value !== value?.value }
      }),
    }
  })
  return {
    columns: columns.map(({ thing, ...range }) => ({
      thing,
      title: ledgerTitle(thing),
      unit: thingUnitLabel(thing, system),
      range: valueModel(thing, '', 0, range, system).range,
    })),
    rows,
  }
}

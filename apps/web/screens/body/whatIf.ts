import {
  type AlkalinityParts,
  type Assessment,
  bodyAsTested,
  carbonateSystem,
  type LimitedThing,
  limitValuesFor,
  OutOfRange,
  type ReaderUnit,
  type Severity,
  unitOf,
  WATER_RANGE,
  type Water,
  type WaterState,
  waterNow,
  waterState,
  whatIf,
} from '@sightglass/chemistry'
import { PARAMETER_RANGES } from '@sightglass/contract'
import { type DoseEntry, dosesOf } from '../../shared/amounts.ts'
import { asShown, held, ledgerThings } from '../../shared/doses.ts'
import { assessed, type Known, type KnownWater, withWater } from '../../shared/known.ts'
import { type System, thingText, thingUnit, type ValueModel, valueModel } from '../../shared/measure.ts'
import { type FindingLine, findingLines } from '../../shared/phrase.ts'
import { thingWords } from '../../shared/words.ts'

/** What a person tries: nothing of it is a test, and nothing is stored. */
export interface Tried {
  moved: Partial<Water>
  doses: readonly DoseEntry[]
}
export const NOTHING_TRIED: Tried = { moved: {}, doses: [] }

export const isTrying = ({ moved, doses }: Tried) => Object.keys(moved).length > 0 || doses.length > 0

/** A value that can be moved, with its slider in the reader's units. */
export interface Control {
  thing: keyof Water
  label: string
  unit: ReaderUnit
  stored: number
  slider: { min: number; max: number; step: number; value: number }
  now: string
  moved: boolean
  trouble: string
}

interface Slider {
  /** Stored units: where such water usually lies. */
  usual: readonly [number, number]
  /** In the reader's units. */
  step: number
}
const SLIDERS: Record<Exclude<keyof Water, 'sulfateMgL'>, Slider> = {
  freeChlorineMgL: { usual: PARAMETER_RANGES.freeChlorineMgL.usual, step: 0.1 },
  combinedChlorineMgL: { usual: [0, 3], step: 0.1 },
  bromineMgL: { usual: PARAMETER_RANGES.bromineMgL.usual, step: 0.1 },
  ph: { usual: PARAMETER_RANGES.ph.usual, step: 0.05 },
  totalAlkalinityMgL: { usual: [0, 300], step: 5 },
  calciumHardnessMgL: { usual: [0, 1000], step: 10 },
  cyanuricAcidMgL: { usual: PARAMETER_RANGES.cyanuricAcidMgL.usual, step: 5 },
  tempC: { usual: PARAMETER_RANGES.tempC.usual, step: 1 },
  tdsMgL: { usual: [0, 8000], step: 50 },
  boronMgL: { usual: [0, 60], step: 1 },
}
const CHLORINE = ['freeChlorineMgL', 'combinedChlorineMgL'] as const
const OTHERS = [
  'ph',
  'totalAlkalinityMgL',
  'calciumHardnessMgL',
  'cyanuricAcidMgL',
  'tempC',
  'tdsMgL',
  'boronMgL',
] as const

export function prepareControls(known: Known, base: KnownWater, { moved }: Tried, system: System): Control[] {
  const bromine = known.snapshot.body.sanitizerSystem === 'bromine'
  const things = [...(bromine ? (['bromineMgL'] as const) : CHLORINE), ...OTHERS]
  return things.map((thing) => {
    const unit = unitOf(thingUnit(thing), system)
    const { usual, step } = SLIDERS[thing]
    const now = base.water[thing]
    const stored = moved[thing] ?? now
    const onStep = (value: number, round: (steps: number) => number) => Number((round(value / step) * step).toFixed(2))
    const nowText = thingText(thing, asShown(thing, now), system)
    return {
      thing,
      label: thingWords(thing),
      unit,
      stored,
      slider: {
        min: onStep(unit.toReader(Math.min(usual[0], now)), Math.floor),
        max: onStep(unit.toReader(Math.max(usual[1], now)), Math.ceil),
        step,
        value: unit.toReader(stored),
      },
      now: base.untested.includes(thing) ? `${nowText}, assumed` : nowText,
      moved: thing in moved,
      trouble: troubleOf(thing, stored, unit),
    }
  })
}

function troubleOf(thing: keyof Water, stored: number, unit: ReaderUnit) {
  const [low, high] = WATER_RANGE[thing]
  if (stored >= low && stored <= high) return ''
  const shown = (value: number) => Number(unit.toReader(value).toFixed(1))
  return `${thingWords(thing)} can be reckoned from ${shown(low)} to ${shown(high)}${unit.label && ` ${unit.label}`}.`
}

export interface WhatIfModel {
  rows: { thing: string; label: string; now: ValueModel | null; tried: ValueModel | null; moved: boolean }[]
  standing: { now: Standing; tried: Standing | null }
  /** What would be found, worst first. */
  findings: FindingLine[]
  /** What moves most, in a line. */
  gist: string
  /** Why nothing can be reckoned; '' when it can. */
  trouble: string
}
interface Standing {
  severity: Severity
  score: string
}

export function prepareWhatIf(
  known: Known,
  base: KnownWater,
  tried: Tried,
  { system, nowMs, volumeL }: { system: System; nowMs: number; volumeL: number | null },
): WhatIfModel {
  const present = { state: waterState(base.water), untested: base.untested }
  const { state, trouble } = outcomeOf(base, tried, volumeL)
  const told =
    state && isTrying(tried) ? { state, untested: base.untested.filter((key) => !(key in tried.moved)) } : null
  const judged = told && assessed(withWater(known, { ...told.state, ...told }, nowMs), known, nowMs)
  const rows = rowsOf(known, present, told, system)
  return {
    rows,
    gist: GIST.flatMap(({ thing, name }) => {
      const row = rows.find((one) => one.thing === thing)
      return row?.tried ? [`${name} ${row.tried.value}`] : []
    }).join(' · '),
    standing: {
      now: standingOf(assessed(known.snapshot, known, nowMs)),
      tried: judged && standingOf(judged),
    },
    findings: findingLines(judged?.findings ?? [], system),
    trouble,
  }
}

const standingOf = ({ standing: { severity, score } }: Assessment): Standing => ({
  severity,
  score: score === null ? '' : String(Math.round(score)),
})

function outcomeOf(
  { water }: KnownWater,
  { moved, doses: entries }: Tried,
  volumeL: number | null,
): { state: WaterState | null; trouble: string } {
  const nothing = (trouble: string) => ({ state: null, trouble })
  const doses = dosesOf(entries)
  if (doses.length > 0 && volumeL === null)
    return nothing(
      'What a chemical does depends on the volume of the water, which is not known: enter it under The plant.',
    )
  try {
    return { state: whatIf(water, volumeL ?? 1, { moved, doses }), trouble: '' }
  } catch (error) {
    if (error instanceof OutOfRange) return nothing(`No such water can be reckoned: ${error.message}.`)
    throw error
  }
}

/** Without the hardness there is no index. */
const restsOn = (thing: string) => (thing === 'saturationIndex' ? ['calciumHardnessMgL'] : [thing])

interface Told {
  state: WaterState
  untested: readonly string[]
}

function rowsOf({ snapshot, profile }: Known, present: Told, told: Told | null, system: System): WhatIfModel['rows'] {
  const body = bodyAsTested(snapshot)
  const row = (label: string, thing: string, value: (told: Told) => number | null) => {
    const range = limitValuesFor(profile, body, thing as LimitedThing, waterNow(snapshot))
    const shown = (of: Told | null) => {
      const number = of && value(of)
      return number == null ? null : valueModel(thing, label, asShown(thing, number), range, system)
    }
    const [now, tried] = [shown(present), shown(told)]
    return { thing, label, now, tried, moved: told !== null && now?.value !== tried?.value }
  }
  return [
    ...ledgerThings(body.sanitizerSystem).map((thing) =>
      row(thingWords(thing), thing, ({ state, untested }) =>
        restsOn(thing).some((of) => untested.includes(of)) ? null : held(state, thing),
      ),
    ),
    ...ALKALINITY_PARTS.map(({ part, label }) =>
      row(label, 'alkalinityPartMgL', ({ state }) => alkalinityPartsOf(state.water)?.[part] ?? null),
    ),
  ]
}

const GIST = [
  { thing: 'ph', name: 'pH' },
  { thing: 'saturationIndex', name: 'saturation' },
  { thing: 'hypochlorousMgL', name: 'active chlorine' },
]

const ALKALINITY_PARTS: { part: keyof AlkalinityParts; label: string }[] = [
  { part: 'carbonate', label: 'Alkalinity as carbonate' },
  { part: 'cyanurate', label: 'Alkalinity as cyanurate' },
  { part: 'borate', label: 'Alkalinity as borate' },
  { part: 'hydroxide', label: 'Alkalinity as hydroxide' },
]

/** Null where the tests contradict each other: more is held by other bases than was titrated. */
function alkalinityPartsOf(water: Water): AlkalinityParts | null {
  try {
    return carbonateSystem(water).alkalinity
  } catch (error) {
    if (error instanceof OutOfRange) return null
    throw error
  }
}

import { PARAMETERS, type Parameter, type SanitizerSystem } from '@sightglass/chemistry'
import {
  isUnusual,
  type Method,
  outsideHardRange,
  PARAMETER_RANGES,
  type Problem,
  type Reading,
  type ReadingCreate,
  type TestValues,
} from '@sightglass/contract'
import { type Range, rangeText, type System, thingNumber, thingUnit, thingUnitLabel, unitOf } from './measure.ts'
import { plainNumber, typedNumber } from './numbers.ts'
import { fromLocalInput, localInput, timeTrouble } from './time.ts'

/** What can be typed of a test: its parameters and what the controller's display showed. */
export const DISPLAYS = ['displayPh', 'displayOrpMv'] as const
export type EntryKey = Parameter | (typeof DISPLAYS)[number]
export type Texts = Partial<Record<EntryKey, string>>

/** A test as it is being typed, kept in the browser until it is stored. Its id is made once, so that a retry is the same test. */
export interface Draft {
  id: string
  /** On the facility's clock, as a datetime-local input holds it. */
  at: string
  person: string
  method: Method
  texts: Texts
  note: string
  confirmed: Parameter[]
  reason: string
  /** The units in which the texts were typed. */
  system: System
  startedMs: number
}

export const emptyDraft = (id: string, nowMs: number, zone: string, person: string, system: System): Draft => ({
  id,
  at: localInput(nowMs, zone),
  person,
  method: 'dropTest',
  texts: {},
  note: '',
  confirmed: [],
  reason: '',
  system,
  startedMs: nowMs,
})

/** A stored test as texts to be corrected. */
export const draftOf = (reading: Reading, id: string, zone: string, system: System, nowMs: number): Draft => ({
  ...emptyDraft(id, Date.parse(reading.at), zone, reading.person, system),
  method: reading.method,
  texts: textsOf(reading, system),
  note: reading.note,
  startedMs: nowMs,
})

const bare = (text: string) => text.replaceAll(',', '').replace('−', '-')

function textsOf(reading: Reading, system: System): Texts {
  const texts: Texts = {}
  for (const parameter of PARAMETERS) {
    const value = reading.values[parameter]
    if (value !== undefined)
      texts[parameter] = bare(plainNumber(unitOf(thingUnit(parameter), system).toReader(value), 2))
  }
  if (reading.displayPh !== null) texts.displayPh = bare(plainNumber(reading.displayPh, 2))
  if (reading.displayOrpMv !== null) texts.displayOrpMv = bare(plainNumber(reading.displayOrpMv, 0))
  return texts
}

/** The reader changed units while typing: what was typed is converted, never taken for the other unit. */
export function inSystem(draft: Draft, system: System): Draft {
  if (draft.system === system) return draft
  const texts = { ...draft.texts }
  for (const parameter of PARAMETERS) {
    const typed = typedNumber(texts[parameter] ?? '')
    const [from, to] = [unitOf(thingUnit(parameter), draft.system), unitOf(thingUnit(parameter), system)]
    if (typed.state === 'number' && from.toStored !== to.toStored)
      texts[parameter] = bare(plainNumber(to.toReader(from.toStored(typed.value)), 1))
  }
  return { ...draft, texts, system }
}

export interface FieldModel {
  key: EntryKey
  label: string
  unit: string
  range: string
}

/** The usual ones first; the sanitizer that the body does not use is left out. */
export function fieldsFor(
  sanitizerSystem: SanitizerSystem,
  ranges: Partial<Record<string, Range>>,
  system: System,
): { tests: FieldModel[]; displays: FieldModel[] } {
  const absent: Parameter[] =
    sanitizerSystem === 'bromine' ? ['freeChlorineMgL', 'totalChlorineMgL', 'saltMgL'] : ['bromineMgL']
  const field = (key: EntryKey, thing: string, label: string): FieldModel => ({
    key,
    label,
    unit: thingUnitLabel(thing, system),
    range: rangeText(thing, ranges[thing] ?? { min: null, max: null }, system),
  })
  return {
    tests: PARAMETERS.filter((parameter) => !absent.includes(parameter)).map((parameter) =>
      field(parameter, parameter, PARAMETER_RANGES[parameter].words),
    ),
    displays: [field('displayPh', 'ph', 'Display pH'), field('displayOrpMv', 'orpMv', 'Display ORP')],
  }
}

export interface Unusual {
  key: Parameter
  words: string
}

export interface Read {
  values: TestValues
  displayPh: number | null
  displayOrpMv: number | null
  errors: Partial<Record<EntryKey, string>>
  /** Possible but rare, and not yet said to be meant. */
  unusual: Unusual[]
}

/** Reads the texts of one test: numbers in stored units, what is wrong in the reader's. */
export function readTexts(texts: Texts, confirmed: readonly Parameter[], system: System): Read {
  const read: Read = { values: {}, displayPh: null, displayOrpMv: null, errors: {}, unusual: [] }
  for (const parameter of PARAMETERS) {
    const typed = typedNumber(texts[parameter] ?? '')
    if (typed.state === 'empty') continue
    if (typed.state === 'wrong') {
      read.errors[parameter] = typed.message
      continue
    }
    const unit = unitOf(thingUnit(parameter), system)
    const range = PARAMETER_RANGES[parameter]
    const [low, high] = range.hard
    const trouble = outsideHardRange(
      { ...range, hard: [tidy(unit.toReader(low)), tidy(unit.toReader(high))] },
      typed.value,
    )
    if (trouble) {
      read.errors[parameter] = trouble
      continue
    }
    const stored = clampTo(range.hard, unit.toStored(typed.value))
    read.values[parameter] = stored
    if (isUnusual(range, stored) && !confirmed.includes(parameter))
      read.unusual.push({ key: parameter, words: unusualWords(parameter, stored, system) })
  }
  for (const key of DISPLAYS) readDisplay(key, texts[key] ?? '', read)
  return read
}

const tidy = (value: number) => Number(value.toFixed(1))
// A conversion may land a hair outside of a limit that the reader's number keeps.
const clampTo = ([low, high]: readonly [number, number], value: number) => Math.min(high, Math.max(low, value))

function readDisplay(key: (typeof DISPLAYS)[number], text: string, read: Read) {
  const typed = typedNumber(text)
  if (typed.state === 'wrong') read.errors[key] = typed.message
  if (typed.state !== 'number') return
  const hard = key === 'displayPh' ? ([0, 14] as const) : ([-1000, 1300] as const)
  const words = key === 'displayPh' ? 'pH' : 'ORP'
  const trouble = outsideHardRange({ words, hard, usual: hard }, typed.value)
  if (trouble) read.errors[key] = trouble
  else read[key] = typed.value
}

function unusualWords(parameter: Parameter, stored: number, system: System) {
  const unit = thingUnitLabel(parameter, system)
  return `${PARAMETER_RANGES[parameter].words} ${thingNumber(parameter, stored, system)}${unit && ` ${unit}`}`
}

export type Errors = Partial<Record<EntryKey | 'at' | 'person' | 'method' | 'note' | 'reason' | 'values', string>>

export type Entry =
  | { state: 'ready'; reading: Omit<ReadingCreate, 'bodyId'> }
  | { state: 'held'; errors: Errors; unusual: Unusual[] }

/** The draft as the API takes it, or everything that keeps it from being stored. */
export function readDraft(draft: Draft, zone: string, nowMs: number, { reasonNeeded = false } = {}): Entry {
  const read = readTexts(draft.texts, draft.confirmed, draft.system)
  const atMs = fromLocalInput(draft.at, zone)
  const errors: Errors = { ...read.errors, ...swapped(read.values) }
  const wrongTime = timeTrouble(atMs, nowMs)
  if (wrongTime) errors.at = wrongTime
  if (!draft.person.trim()) errors.person = 'must name the person'
  if (reasonNeeded && !draft.reason.trim()) errors.reason = 'must say why'
  const nothing = Object.keys(read.values).length === 0 && read.displayPh === null && read.displayOrpMv === null
  if (nothing && Object.keys(read.errors).length === 0) errors.values = 'At least one value must be given.'
  if (Object.keys(errors).length || read.unusual.length || atMs === null)
    return { state: 'held', errors, unusual: read.unusual }
  return {
    state: 'ready',
    reading: {
      id: draft.id,
      at: new Date(atMs).toISOString(),
      person: draft.person.trim(),
      method: draft.method,
      values: read.values,
      displayPh: read.displayPh,
      displayOrpMv: read.displayOrpMv,
      note: draft.note.trim(),
      confirmed: draft.confirmed,
    },
  }
}

// Test kits read in steps of 0.2; the contract holds the same rule.
const KIT_STEP_MG_L = 0.2

export function swapped({ freeChlorineMgL, totalChlorineMgL }: TestValues): Errors {
  const under =
    freeChlorineMgL !== undefined &&
    totalChlorineMgL !== undefined &&
    totalChlorineMgL < freeChlorineMgL - KIT_STEP_MG_L
  return under ? { totalChlorineMgL: 'Total chlorine cannot be under free chlorine: were the two swapped?' } : {}
}

const FIELDS: readonly string[] = [...PARAMETERS, ...DISPLAYS, 'at', 'person', 'method', 'note', 'reason', 'values']

/** The problem's fields by the row they speak of and their key; what belongs to no field is left for the whole form. */
export function problemByRow(problem: Problem): { rows: Map<number, Errors>; rest: string[] } {
  const rows = new Map<number, Errors>()
  const rest: string[] = []
  for (const { path, message } of problem.fields ?? []) {
    const parts = path.split(/[./[\]]+/).filter((part) => part && part !== 'body')
    const row = parts[0] === 'readings' ? Number(parts[1]) : 0
    // the last word that names a field: `values` itself only when nothing stands behind it
    const key = parts.findLast((part) => FIELDS.includes(part))
    if (key === undefined || Number.isNaN(row)) rest.push(message)
    else rows.set(row, { ...rows.get(row), [key]: message })
  }
  return { rows, rest }
}

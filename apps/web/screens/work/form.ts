import {
  isUnusual,
  outsideHardRange,
  type Problem,
  QUANTITY_RANGES,
  WORK_FIELDS,
  WORK_KINDS,
  type Work,
  type WorkCreate,
  type WorkField,
  type WorkKind,
} from '@sightglass/contract'
import { typedNumber } from '../../shared/numbers.ts'
import { fromLocalInput, localInput } from '../../shared/time.ts'

type SetPoint = 'orpSetPointMv' | 'phSetPoint'

/** Work as it is being typed, kept in the browser until it is stored. */
export interface WorkDraft {
  /** What was done, each with an id that is made once, so that a retry is the same work. */
  chosen: Partial<Record<WorkKind, string>>
  texts: Partial<Record<WorkField, string>>
  /** On the facility's clock, as a datetime-local input holds it. */
  at: string
  person: string
  note: string
  confirmed: SetPoint[]
  /** Of a correction: why, and whether it was done at all. */
  reason: string
  done: boolean
}

export const emptyWork = (nowMs: number, zone: string, person: string): WorkDraft => ({
  chosen: {},
  texts: {},
  at: localInput(nowMs, zone),
  person,
  note: '',
  confirmed: [],
  reason: '',
  done: true,
})

/** The same with the ORP set point moved to a value. */
export const withSetPoint = (draft: WorkDraft, orpSetPointMv: string, id: string): WorkDraft => ({
  ...draft,
  chosen: { ...draft.chosen, orpSetPointMoved: draft.chosen.orpSetPointMoved ?? id },
  texts: { ...draft.texts, orpSetPointMv },
  confirmed: draft.confirmed.filter((key) => key !== 'orpSetPointMv'),
})

/** What an address says of the ORP set point, as text; '' where that is none that could be meant. */
export function askedSetPoint(asked: string): string {
  const typed = typedNumber(asked)
  const isOne = typed.state === 'number' && outsideHardRange(QUANTITY_RANGES.orpSetPointMv, typed.value) === null
  return isOne ? String(typed.value) : ''
}

/** Stored work as texts to be corrected. */
export const draftOf = (work: Work, id: string, zone: string): WorkDraft => ({
  ...emptyWork(Date.parse(work.at), zone, work.person),
  chosen: { [work.kind]: id },
  texts: {
    ...(work.orpSetPointMv !== null && { orpSetPointMv: String(work.orpSetPointMv) }),
    ...(work.phSetPoint !== null && { phSetPoint: String(work.phSetPoint) }),
    ...(work.slopePct !== null && { slopePct: String(work.slopePct) }),
    ...(work.feederId !== null && { feederId: work.feederId }),
  },
  note: work.note,
})

export type WorkErrors = Partial<Record<WorkField | 'chosen' | 'at' | 'person' | 'note' | 'reason', string>>
export interface Unusual {
  key: SetPoint
  words: string
}
export type WorkEntry = Omit<WorkCreate, 'bodyId'>
export type ReadWork = { state: 'ready'; work: WorkEntry[] } | { state: 'held'; errors: WorkErrors; unusual: Unusual[] }

const AHEAD_MS = 10 * 60_000
const LONGEST_NOTE = 2000

/** What is typed, as it is stored, or what keeps it from being stored. */
export function readWork(draft: WorkDraft, zone: string, nowMs: number, { reasonNeeded = false } = {}): ReadWork {
  const errors: WorkErrors = {}
  const unusual: Unusual[] = []
  const kinds = WORK_KINDS.filter((kind) => draft.chosen[kind])
  if (kinds.length === 0) errors.chosen = 'Choose what was done.'
  const atMs = fromLocalInput(draft.at, zone)
  if (atMs === null) errors.at = 'is not a time that the facility’s clock shows'
  else if (atMs > nowMs + AHEAD_MS) errors.at = 'lies in the future'
  if (!draft.person.trim()) errors.person = 'must name the person'
  if (draft.note.trim().length > LONGEST_NOTE) errors.note = 'is longer than 2,000 characters'
  if (reasonNeeded && !draft.reason.trim()) errors.reason = 'must say why'
  const work = kinds.map((kind): WorkEntry => {
    const fields = readFields(kind, draft, errors, unusual)
    const id = draft.chosen[kind] ?? ''
    const at = atMs === null ? '' : new Date(atMs).toISOString()
    return { id, kind, at, person: draft.person.trim(), note: draft.note.trim(), confirmed: draft.confirmed, ...fields }
  })
  if (Object.keys(errors).length > 0 || unusual.length > 0) return { state: 'held', errors, unusual }
  return { state: 'ready', work }
}

function readFields(kind: WorkKind, draft: WorkDraft, errors: WorkErrors, unusual: Unusual[]) {
  const text = (field: WorkField) => (WORK_FIELDS[field].kind === kind ? (draft.texts[field] ?? '') : '')
  return {
    feederId: text('feederId') || null,
    slopePct: numberOf('slopePct', text('slopePct'), errors, { words: 'Slope', hard: [1, 150], usual: [1, 150] }),
    orpSetPointMv: readSetPoint('orpSetPointMv', kind, text('orpSetPointMv'), draft, errors, unusual),
    phSetPoint: readSetPoint('phSetPoint', kind, text('phSetPoint'), draft, errors, unusual),
  }
}

type Range = (typeof QUANTITY_RANGES)[SetPoint]

function numberOf(field: WorkField, text: string, errors: WorkErrors, range: Range): number | null {
  const typed = typedNumber(text)
  if (typed.state === 'empty') return null
  const trouble = typed.state === 'wrong' ? typed.message : outsideHardRange(range, typed.value)
  if (trouble) errors[field] = trouble
  return typed.state === 'number' && !trouble ? typed.value : null
}

function readSetPoint(
  key: SetPoint,
  kind: WorkKind,
  text: string,
  { confirmed }: WorkDraft,
  errors: WorkErrors,
  unusual: Unusual[],
): number | null {
  if (WORK_FIELDS[key].kind !== kind) return null
  const range = QUANTITY_RANGES[key]
  const value = numberOf(key, text, errors, range)
  if (value === null) errors[key] ??= 'must say what it was set to'
  else if (isUnusual(range, value) && !confirmed.includes(key)) unusual.push({ key, words: `${range.words} ${value}` })
  return value
}

const SHOWN: readonly string[] = [
  'feederId',
  'slopePct',
  'orpSetPointMv',
  'phSetPoint',
  'at',
  'person',
  'note',
  'reason',
]

/** What the API complains of, by the field that shows it; the rest is shown above the form's end. */
export function errorsOf(problem: Problem): { errors: WorkErrors; rest: string[] } {
  const errors: WorkErrors = {}
  const rest: string[] = []
  for (const { path, message } of problem.fields ?? []) {
    const name = path.split('.').at(-1) ?? ''
    if (SHOWN.includes(name)) errors[name as keyof WorkErrors] ??= message
    else rest.push(message)
  }
  return { errors, rest }
}

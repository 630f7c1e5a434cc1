import type { IncidentKind, ReopeningCheck } from '@sightglass/chemistry'
import { REOPENING_CHECKS } from '@sightglass/chemistry'
import type { Incident, IncidentClose, IncidentCorrect, IncidentOpen, Problem } from '@sightglass/contract'
import { plainNumber, typedNumber } from '../../shared/numbers.ts'
import { fromLocalInput, localInput, timeTrouble } from '../../shared/time.ts'

/** What is typed of an incident, kept in the browser until it is stored. Its id is made once, so that a retry is the same. */
export interface ReportDraft {
  id: string
  kind: IncidentKind | ''
  /** On the facility's clock, as a datetime-local input holds it. */
  at: string
  person: string
  note: string
  /** An authority asked for a level and a time of its own. */
  instructed: boolean
  level: string
  hold: string
  phMax: string
  by: string
  reason: string
}
export type ReportKey = Exclude<keyof ReportDraft, 'id' | 'instructed'>
export type ReportErrors = Partial<Record<ReportKey, string>>

/** A draft as the browser keeps it: null where nobody typed anything yet. */
export type Kept<Draft extends { at: string; person: string }> = Omit<Draft, 'at' | 'person'> & {
  at: string | null
  person: string | null
}

/**
 * A kept draft as it is shown and stored: the time is now and the person who used this browser last, unless typed otherwise. A
 * time left from an earlier visit would let tests count that were made before.
 */
export const asOfNow = <Draft extends { at: string; person: string }>(
  kept: Kept<Draft>,
  nowMs: number,
  zone: string,
  person: string,
) => ({ ...kept, at: kept.at ?? localInput(nowMs, zone), person: kept.person ?? person }) as unknown as Draft

export const emptyReport = (id: string): Kept<ReportDraft> => ({
  id,
  kind: '',
  at: null,
  person: null,
  note: '',
  instructed: false,
  level: '',
  hold: '',
  phMax: '',
  by: '',
  reason: '',
})

/** What is stored, to be corrected. */
export function reportOf({ kind, at, note, instruction, timeZone }: Incident, id: string, person: string): ReportDraft {
  const text = (value: number | null | undefined) => (value == null ? '' : plainNumber(value, 2).replaceAll(',', ''))
  return {
    ...asOfNow<ReportDraft>(emptyReport(id), Date.parse(at), timeZone, person),
    kind,
    note,
    instructed: instruction !== null,
    level: text(instruction?.freeChlorineMgL),
    hold: text(instruction?.holdMin),
    phMax: text(instruction?.phMax),
    by: instruction?.by ?? '',
  }
}

type Said = Omit<IncidentOpen, 'bodyId'>
export type ReadReport = { state: 'ready'; report: Said } | { state: 'held'; errors: ReportErrors }

/** The draft as the API takes it, or what keeps it from being stored. Ranges are the API's to judge. */
export function readReport(draft: ReportDraft, zone: string, nowMs: number): ReadReport {
  const errors: ReportErrors = {}
  const at = readTime(draft.at, zone, nowMs, errors)
  if (!draft.kind) errors.kind = 'must be chosen'
  if (!draft.person.trim()) errors.person = 'must name the person'
  const instruction = draft.instructed ? readInstruction(draft, errors) : null
  if (Object.keys(errors).length > 0 || at === null || !draft.kind) return { state: 'held', errors }
  const { id, kind, person, note } = draft
  return { state: 'ready', report: { id, kind, at, person: person.trim(), note: note.trim(), instruction } }
}

export type ReadCorrection = { state: 'ready'; report: IncidentCorrect } | { state: 'held'; errors: ReportErrors }

export function readCorrection(draft: ReportDraft, zone: string, nowMs: number): ReadCorrection {
  const read = readReport(draft, zone, nowMs)
  const reason = draft.reason.trim()
  const errors: ReportErrors = {
    ...(read.state === 'held' ? read.errors : {}),
    ...(reason ? {} : { reason: 'must say why' }),
  }
  if (read.state === 'held' || !reason) return { state: 'held', errors }
  return { state: 'ready', report: { ...read.report, reason } }
}

function readInstruction(draft: ReportDraft, errors: ReportErrors): Said['instruction'] {
  const number = (key: 'level' | 'hold' | 'phMax') => {
    const typed = typedNumber(draft[key])
    if (typed.state === 'wrong') errors[key] = typed.message
    if (typed.state === 'empty' && key !== 'phMax') errors[key] = 'must be given'
    return typed.state === 'number' ? typed.value : null
  }
  const [freeChlorineMgL, holdMin, phMax] = [number('level'), number('hold'), number('phMax')]
  if (!draft.by.trim()) errors.by = 'must name the authority'
  if (freeChlorineMgL === null || holdMin === null) return null
  return { freeChlorineMgL, holdMin, phMax, by: draft.by.trim() }
}

function readTime(text: string, zone: string, nowMs: number, errors: { at?: string }): string | null {
  const atMs = fromLocalInput(text, zone)
  const wrong = timeTrouble(atMs, nowMs)
  if (wrong) errors.at = wrong
  return atMs === null ? null : new Date(atMs).toISOString()
}

/** What is typed to close an incident. */
export interface CloseDraft {
  checks: ReopeningCheck[]
  at: string
  person: string
  note: string
  authority: string
  reason: string
}
export type CloseErrors = Partial<Record<keyof CloseDraft, string>>

export const emptyClose = (): Kept<CloseDraft> => ({
  checks: [],
  at: null,
  person: null,
  note: '',
  authority: '',
  reason: '',
})

export type ReadClose = { state: 'ready'; closing: IncidentClose } | { state: 'held'; errors: CloseErrors }

/** @param reached the contact time is: nobody need allow it then */
export function readClose(draft: CloseDraft, reached: boolean, zone: string, nowMs: number): ReadClose {
  const errors: CloseErrors = {}
  const at = readTime(draft.at, zone, nowMs, errors)
  if (REOPENING_CHECKS.some((check) => !draft.checks.includes(check))) errors.checks = 'Each of them must be confirmed.'
  if (!draft.person.trim()) errors.person = 'must name the person'
  if (!reached && !draft.authority.trim()) errors.authority = 'must name who allows it'
  if (!reached && !draft.reason.trim()) errors.reason = 'must say why the contact time need not be reached'
  if (Object.keys(errors).length > 0 || at === null) return { state: 'held', errors }
  const exception = reached ? null : { authority: draft.authority.trim(), reason: draft.reason.trim() }
  return {
    state: 'ready',
    closing: { at, person: draft.person.trim(), checks: draft.checks, note: draft.note.trim(), exception },
  }
}

const FIELDS: Record<string, ReportKey> = { freeChlorineMgL: 'level', holdMin: 'hold' }

/** The API's complaints at the fields that they speak of; what belongs to no field is left for the whole form. */
export function errorsOf<Key extends string>(problem: Problem, keys: readonly Key[]) {
  const errors: Partial<Record<Key, string>> = {}
  const rest: string[] = []
  for (const { path, message } of problem.fields ?? []) {
    const last = path.split(/[./]/).findLast((part) => part in FIELDS || keys.includes(part as Key))
    const key = last && ((FIELDS[last] ?? last) as Key)
    if (key && keys.includes(key)) errors[key] = message
    else rest.push(message)
  }
  return { errors, rest }
}

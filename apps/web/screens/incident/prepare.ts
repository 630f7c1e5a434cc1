import {
  type ContactState,
  type ContactTime,
  type CountedReading,
  formatQuantity,
  INCIDENT_WORDS,
  type Phrase,
  REOPENING_CHECK_WORDS,
  type ResponseStep,
} from '@sightglass/chemistry'
import type { Incident, IncidentDetail } from '@sightglass/contract'
import { type System, thingText } from '../../shared/measure.ts'
import { sentenceOf } from '../../shared/phrase.ts'
import { ago, exactTime } from '../../shared/time.ts'

/** A body with more incidents than this shows the newest. */
export const MOST_LISTED = 100

const STATE_WORDS: Record<ContactState, string> = {
  noProtocol: 'No time to hold',
  notStarted: 'Not started',
  running: 'Running',
  interrupted: 'Stands still',
  reached: 'Reached',
}

export interface TimerModel {
  state: ContactState
  words: string
  /** 0 to 100, rounded down: 99.9 % is not all of it. Null without a level to hold. */
  pct: number | null
  ct: string
  /** What a test must show to count. */
  toHold: string
  /** As of when, what follows from it. */
  lines: string[]
}

export function prepareTimer(contact: ContactTime, zone: string, system: System, nowMs: number): TimerModel {
  const { state, share, protocol } = contact
  const ct = (value: number) => formatQuantity({ value, unit: 'mg·min/L' }, system).replace(/ mg·min\/L$/, '')
  return {
    state,
    words: STATE_WORDS[state],
    pct: share === null ? null : Math.floor(share * 100),
    ct: protocol ? `CT ${ct(Math.floor(contact.ctMgMinL))} of ${ct(protocol.ctMgMinL)} mg·min/L` : '',
    toHold: protocol
      ? `Hold ${thingText('freeChlorineMgL', protocol.freeChlorineMgL, system)} or more, pH ${thingText('ph', protocol.phMax, system)} or lower, ${thingText('tempC', protocol.tempMinC, system)} or warmer.`
      : '',
    lines: timerLines(contact, zone, nowMs).concat(contact.because ? [sentenceOf(contact.because, system)] : []),
  }
}

function timerLines({ asOfMs, earliestMs, reachedAtMs, state }: ContactTime, zone: string, nowMs: number): string[] {
  const time = (ms: number) => exactTime(ms, zone, nowMs)
  if (reachedAtMs !== null) return [`Reached ${time(reachedAtMs)}.`]
  if (asOfMs === null) return ['No test since the incident is entered.']
  const lines = [
    `As of the test of ${time(asOfMs)}, ${ago(asOfMs, nowMs)}; what came after it is not known and not counted.`,
  ]
  if (earliestMs !== null)
    lines.push(
      earliestMs <= nowMs
        ? `If the level held, it is complete since ${time(earliestMs)}: test now.`
        : `Complete at the earliest ${time(earliestMs)}, if the level holds; only a test then proves it.`,
    )
  if (state === 'interrupted') lines.push('The newest test does not count. What was proved before stays.')
  return lines
}

export interface StepModel {
  key: string
  state: ResponseStep['state']
  text: string
  notes: string[]
  whose: string
}

export const prepareSteps = (steps: readonly ResponseStep[], system: System): StepModel[] =>
  steps.map(({ key, state, text, notes, citation }) => ({
    key,
    state,
    text: sentenceOf(text, system),
    notes: notes.map((note) => sentenceOf(note, system)),
    whose: citation ?? 'Common practice, no source.',
  }))

export interface TestRow {
  at: string
  cells: { label: string; value: string }[]
  counts: boolean
  why: string
  ct: string
}

/** The tests since the incident, newest first, each with what it adds or why it adds nothing. */
export function prepareTests(
  { readings, protocol }: ContactTime,
  zone: string,
  system: System,
  nowMs: number,
): TestRow[] {
  return [...readings].reverse().map((reading) => ({
    at: exactTime(reading.atMs, zone, nowMs),
    cells: cellsOf(reading, system),
    counts: reading.counts,
    why: protocol
      ? reading.why.map((phrase) => sentenceOf(phrase, system)).join(' ')
      : 'There is no level to hold it against.',
    ct: formatQuantity({ value: Math.floor(reading.ctMgMinL), unit: 'mg·min/L' }, system).replace(/ mg·min\/L$/, ''),
  }))
}

const cellsOf = ({ freeChlorineMgL, ph, tempC }: CountedReading, system: System) => [
  { label: 'Free Cl', value: thingText('freeChlorineMgL', freeChlorineMgL, system) },
  { label: 'pH', value: ph === null ? '' : thingText('ph', ph, system) },
  { label: 'Water', value: tempC === null ? '' : thingText('tempC', tempC, system) },
]

export const titleOf = ({ kind }: Pick<Incident, 'kind'>) => INCIDENT_WORDS[kind]

/** `Happened Nov 25, 6:00 am, 13 h ago. Reported by Ines Calloway.` */
export function reportWords({ at, reportedBy, person, timeZone }: Incident, nowMs: number) {
  const changed = person === reportedBy ? '' : ` Last corrected by ${person}.`
  return `Happened ${exactTime(at, timeZone, nowMs)}, ${ago(at, nowMs)}. Reported by ${reportedBy}.${changed}`
}

/** How an incident stands, in a line of a list. */
export function stateWords({ contact, closing, timeZone }: Incident, nowMs: number) {
  if (closing) {
    const allowed = closing.exception ? `, allowed by ${closing.exception.authority}` : ''
    return `Closed ${exactTime(closing.at, timeZone, nowMs)} by ${closing.person}${allowed}`
  }
  if (!contact) return 'Open; the body is retired'
  const { state, share } = contact
  return share === null ? `Open. ${STATE_WORDS[state]}` : `Open. ${STATE_WORDS[state]}, ${Math.floor(share * 100)} %`
}

export interface ClosingModel {
  words: string
  checks: string[]
  note: string
  exception: string
}

export function prepareClosing({ closing, timeZone }: Incident, nowMs: number): ClosingModel | null {
  if (!closing) return null
  const { exception } = closing
  return {
    words: `${closing.person} closed it ${exactTime(closing.at, timeZone, nowMs)}.`,
    checks: closing.checks.map((check) => REOPENING_CHECK_WORDS[check]),
    note: closing.note,
    exception: exception
      ? `The contact time was not proved. ${exception.authority} allowed it: ${exception.reason}`
      : '',
  }
}

export function instructionWords({ instruction }: Pick<Incident, 'instruction'>, system: System) {
  if (!instruction) return ''
  const { freeChlorineMgL, holdMin, phMax, by } = instruction
  const ph = phMax === null ? '' : `, pH ${thingText('ph', phMax, system)} or lower`
  return `${by} asked for ${thingText('freeChlorineMgL', freeChlorineMgL, system)} for ${formatQuantity({ value: holdMin, unit: 'min' }, system)}${ph}, in place of what is published.`
}

/** The versions of what was reported, newest first, when there is more than one. */
export const prepareVersions = ({ versions, timeZone }: IncidentDetail, system: System, nowMs: number) =>
  versions.length < 2
    ? []
    : versions.map((version) => ({
        id: version.id,
        what: `${titleOf(version)}, ${exactTime(version.at, timeZone, nowMs)}`,
        who: `${version.person}, ${exactTime(version.createdAt, timeZone, nowMs)}${version.reason ? `: ${version.reason}` : ''}`,
        more: [instructionWords(version, system), version.note].filter(Boolean).join(' '),
        replaced: version.replacedAt !== null,
      }))

export const lines = (phrases: readonly Phrase[], system: System) => phrases.map((phrase) => sentenceOf(phrase, system))

import { SEVERITY_WORDS, type Severity } from '@sightglass/chemistry'
import type { TriageRow } from '@sightglass/contract'
import { prepareTrace, type TraceModel } from '../../charts/prepare/trace.ts'
import { type System, type ValueModel, valueModel } from '../../shared/measure.ts'
import { counted, plainNumber } from '../../shared/numbers.ts'
import { sentenceOf } from '../../shared/phrase.ts'
import { ago, exactTime, span } from '../../shared/time.ts'
import { bodyFacts } from '../../shared/words.ts'

/** What one source says of a body: its values, and how old they are. */
export interface Said {
  values: ValueModel[]
  /** `2 h old`; of the oldest value where they differ, '' when there is none. */
  age: string
}

export interface RowModel {
  bodyId: string
  href: string
  bodyName: string
  facilityId: string
  facilityName: string
  facts: string
  severity: Severity
  severityWord: string
  score: string
  sentences: string[]
  /** `and 2 more`, '' when all are shown. */
  more: string
  test: Said
  controller: Said
  daysLeft: { text: string; low: boolean } | null
  heard: { ago: string; exact: string } | null
  trace: TraceModel | null
}

const TRACE_SIZE = { width: 132, height: 40 }
const SENTENCES_SHOWN = 2
/** Days of chemical under which the number is set apart. A week is the usual time between visits; common practice, no source. */
const LOW_DAYS = 7

/** One line of the morning list, in the reader's units and words. */
export function prepareRow(row: TriageRow, system: System, nowMs: number): RowModel {
  const { view } = row
  const sentences = (view?.sentences ?? []).slice(0, SENTENCES_SHOWN).map((phrase) => sentenceOf(phrase, system))
  return {
    bodyId: row.bodyId,
    href: `/bodies/${row.bodyId}`,
    bodyName: row.bodyName,
    facilityId: row.facilityId,
    facilityName: row.facilityName,
    facts: bodyFacts(row),
    severity: row.severity,
    severityWord: SEVERITY_WORDS[row.severity],
    score: row.score === null ? 'no score' : `${Math.round(row.score)} of 100`,
    sentences: sentences.length ? sentences : [quietSentence(row, nowMs)],
    more: view && view.findings > sentences.length ? `and ${view.findings - sentences.length} more` : '',
    test: testSaid(row, system, nowMs),
    controller: controllerSaid(row, system, nowMs),
    daysLeft: daysLeft(row.daysLeft),
    heard: row.heardAt ? { ago: ago(row.heardAt, nowMs), exact: exactTime(row.heardAt, row.timeZone, nowMs) } : null,
    trace: view?.trace ? prepareTrace(view.trace, view.ranges, TRACE_SIZE) : null,
  }
}

/** What a row says that has no finding: silence is never dressed up as all being well. */
function quietSentence({ severity, view, heardAt, timeZone }: TriageRow, nowMs: number) {
  if (!view) return 'Not assessed yet.'
  if (view.outOfUse) return outOfUseSentence(view.outOfUse, timeZone, nowMs)
  if (severity === 'fine') return 'Within its limits by what is known.'
  return heardAt
    ? 'Nothing recent enough to judge it by.'
    : 'Nothing has ever been heard of it: enter a test or import an export.'
}

const outOfUseSentence = (
  { from, to, reason }: NonNullable<NonNullable<TriageRow['view']>['outOfUse']>,
  zone: string,
  nowMs: number,
) =>
  `Out of use since ${exactTime(from, zone, nowMs)}${to ? ` until ${exactTime(to, zone, nowMs)}` : ''}: ${reason.replace(/\.$/, '')}.`

function testSaid({ view, sanitizerSystem }: TriageRow, system: System, nowMs: number): Said {
  if (!view) return { values: [], age: '' }
  const { ph, sanitizer } = view.test
  const bromine = sanitizerSystem === 'bromine'
  const values = [
    sanitizer &&
      valueModel(
        bromine ? 'bromineMgL' : 'freeChlorineMgL',
        bromine ? 'Br' : 'Cl',
        sanitizer.value,
        view.ranges.sanitizer,
        system,
      ),
    ph && valueModel('ph', 'pH', ph.value, view.ranges.ph, system),
  ].filter((value) => value !== null)
  const times = [ph, sanitizer].filter((test) => test !== null).map(({ at }) => Date.parse(at))
  return { values, age: times.length ? `${span(nowMs - Math.min(...times))} old` : '' }
}

function controllerSaid({ view }: TriageRow, system: System, nowMs: number): Said {
  if (!view?.controller) return { values: [], age: '' }
  const { ph, orpMv, at } = view.controller
  const values = [
    orpMv !== null && valueModel('orpMv', 'ORP', orpMv, view.ranges.orpMv, system),
    ph !== null && valueModel('ph', 'pH', ph, view.ranges.ph, system),
  ].filter((value) => value !== false)
  return { values, age: values.length ? `${span(nowMs - Date.parse(at))} old` : '' }
}

function daysLeft(days: number | null) {
  if (days === null) return null
  const text = days < 1 ? 'under 1 day' : `${plainNumber(days, days < 3 ? 1 : 0)} ${days === 1 ? 'day' : 'days'}`
  return { text, low: days < LOW_DAYS }
}

/** Fresh rows in the order that is on the screen, so that nothing moves under a reader's hand.
 *  `moved` counts the places that would show another body; null order: the fresh order is taken. */
export function holdOrder<Row extends { bodyId: string }>(held: readonly Row[] | null, fresh: readonly Row[]) {
  if (!held) return { rows: fresh, moved: 0 }
  const freshById = new Map(fresh.map((row) => [row.bodyId, row]))
  const moved = Math.max(held.length, fresh.length)
    ? Array.from({ length: Math.max(held.length, fresh.length) }).filter(
        (_, index) => held[index]?.bodyId !== fresh[index]?.bodyId,
      ).length
    : 0
  return { rows: moved ? held.map((row) => freshById.get(row.bodyId) ?? row) : fresh, moved }
}

export const SORT_WORDS = {
  worst: 'Worst first',
  score: 'Lowest score',
  facility: 'Facility name',
  daysLeft: 'Least chemical left',
  heard: 'Longest unheard',
} as const

export const totalWords = (total: number, narrowed: boolean) =>
  `${counted(total, 'body of water', 'bodies of water')}${narrowed ? ' match' : ''}`

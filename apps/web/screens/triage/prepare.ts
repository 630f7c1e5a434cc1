import { renderPhrase, SEVERITY_WORDS, type Severity } from '@sightglass/chemistry'
import type { TriageRow } from '@sightglass/contract'
import { prepareTrace, type TraceModel } from '../../charts/prepare/trace.ts'
import { type System, type ValueModel, valueModel } from '../../shared/measure.ts'
import { counted, plainNumber } from '../../shared/numbers.ts'
import { ago, exactTime, span } from '../../shared/time.ts'
import { bodyFacts } from '../../shared/words.ts'

export interface AgedValue {
  value: ValueModel
  age: string | null
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
  test: AgedValue[]
  controller: AgedValue[]
  controllerAge: string | null
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
  const sentences = (view?.sentences ?? []).slice(0, SENTENCES_SHOWN).map((phrase) => renderPhrase(phrase, system))
  return {
    bodyId: row.bodyId,
    href: `/bodies/${row.bodyId}`,
    bodyName: row.bodyName,
    facilityId: row.facilityId,
    facilityName: row.facilityName,
    facts: bodyFacts(row),
    severity: row.severity,
    severityWord: SEVERITY_WORDS[row.severity],
    score: row.score === null ? 'no score' : String(Math.round(row.score)),
    sentences: sentences.length ? sentences : [quietSentence(row)],
    more: view && view.findings > sentences.length ? `and ${view.findings - sentences.length} more` : '',
    test: testValues(row, system, nowMs),
    controller: controllerValues(row, system),
    controllerAge: view?.controller ? span(nowMs - Date.parse(view.controller.at)) : null,
    daysLeft: daysLeft(row.daysLeft),
    heard: row.heardAt ? { ago: ago(row.heardAt, nowMs), exact: exactTime(row.heardAt, row.timeZone, nowMs) } : null,
    trace: view?.trace ? prepareTrace(view.trace, view.ranges, TRACE_SIZE) : null,
  }
}

/** What a row says that has no finding: silence is never dressed up as all being well. */
function quietSentence({ severity, view, heardAt }: TriageRow) {
  if (!view) return 'Not assessed yet.'
  if (severity === 'fine') return 'Within its limits by what is known.'
  return heardAt
    ? 'Nothing recent enough to judge it by.'
    : 'Nothing has ever been heard of it: enter a test or import an export.'
}

function testValues({ view, sanitizerSystem }: TriageRow, system: System, nowMs: number): AgedValue[] {
  if (!view) return []
  const { ph, sanitizer } = view.test
  const bromine = sanitizerSystem === 'bromine'
  const aged = (thing: string, label: string, tested: typeof ph, range: typeof view.ranges.ph) =>
    tested
      ? [{ value: valueModel(thing, label, tested.value, range, system), age: span(nowMs - Date.parse(tested.at)) }]
      : []
  return [
    ...aged(bromine ? 'bromineMgL' : 'freeChlorineMgL', bromine ? 'Br' : 'Cl', sanitizer, view.ranges.sanitizer),
    ...aged('ph', 'pH', ph, view.ranges.ph),
  ]
}

function controllerValues({ view }: TriageRow, system: System): AgedValue[] {
  if (!view?.controller) return []
  const { ph, orpMv } = view.controller
  return [
    ...(orpMv === null ? [] : [{ value: valueModel('orpMv', 'ORP', orpMv, view.ranges.orpMv, system), age: null }]),
    ...(ph === null ? [] : [{ value: valueModel('ph', 'pH', ph, view.ranges.ph, system), age: null }]),
  ]
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

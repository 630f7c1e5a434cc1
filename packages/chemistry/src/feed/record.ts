import type { Facts } from '../findings/facts.ts'
import type { DrumFacts, FeederFacts, LatestSample, PastTest } from '../snapshot.ts'
import { type DrawnStretch, drawnStretches, type RunTime, runTimeOf } from '../supply/use.ts'
import { HOUR_MS } from '../time.ts'
import type { FeederRole } from '../vocabulary.ts'
import { type History, historyOf, medianOf } from './history.ts'

const remembered = new WeakMap<Facts, History>()

/** The hours of a body as columns, made once for a judgement. */
export function historyFor(facts: Facts): History {
  let history = remembered.get(facts)
  if (!history) {
    const hours = facts.snapshot.controller?.hours ?? []
    const last = hours[hours.length - 1]
    const past = last && last.hourMs > facts.nowMs ? hours.filter(({ hourMs }) => hourMs <= facts.nowMs) : hours
    history = historyOf(past, facts.body)
    remembered.set(facts, history)
  }
  return history
}

/** Less than this is no past to compare with. */
const PAST_HOURS = 5 * 24
export const hasPast = (history: History) => history.count >= PAST_HOURS

/** Single samples up to now, oldest first; empty when none were asked for. */
export const recentOf = ({ snapshot, nowMs }: Facts): readonly LatestSample[] => {
  const recent = snapshot.controller?.recent ?? []
  const last = recent[recent.length - 1]
  return last && last.atMs > nowMs ? recent.filter(({ atMs }) => atMs <= nowMs) : recent
}

export const feederOf = ({ snapshot }: Facts, role: FeederRole): FeederFacts | undefined =>
  snapshot.feeders.find((feeder) => feeder.role === role)

/** A feeder's run time and what it drew from its drum between readings. */
export interface Drawing {
  run: RunTime
  stretches: DrawnStretch[]
}

/** null where the drum is not known, or feeds other feeders too: then their run time does not tell its fall. */
export function drawingOf(facts: Facts, feeder: FeederFacts | undefined): (Drawing & { drum: DrumFacts }) | null {
  const drum = feeder?.drum
  if (!drum || drum.sharedElsewhere) return null
  if (facts.snapshot.feeders.filter((other) => other.drum?.id === drum.id).length > 1) return null
  const run = runTimeOf(historyFor(facts), feeder.role)
  return { drum, run, stretches: drawnStretches(drum, run) }
}

/** Sanitizer by the test kit since a time against the days before. */
export interface TestsSince {
  before: number
  since: number
  ratio: number
  count: number
  newestMs: number
}

const BEFORE_MS = 14 * 24 * HOUR_MS
const FEWEST_BEFORE = 3

/** Sanitizer by the newest tests against those of the weeks before, whatever happened when; null without either. */
export function testsLately(facts: Facts): TestsSince | null {
  const tests = facts.snapshot.pastTests
  return testsSince(tests, facts.nowMs - LATELY_MS, facts.nowMs, facts.nowMs - BEFORE_LATELY_MS)
}
const LATELY_MS = 26 * HOUR_MS
const BEFORE_LATELY_MS = 3 * 24 * HOUR_MS

/** How far the pH probe stands over the test kit since a time, median of the newest three; null without tests since. */
export function shownOverTested(facts: Facts, sinceMs: number): number | null {
  const history = historyFor(facts)
  const apart = (facts.snapshot.pastTests ?? []).flatMap(({ atMs, ph }) => {
    if (ph === null || atMs < sinceMs || atMs > facts.nowMs) return []
    const shownPh = history.ph[Math.floor((atMs - history.fromMs) / HOUR_MS)] ?? Number.NaN
    return Number.isNaN(shownPh) ? [] : [shownPh - ph]
  })
  return apart.length > 0 ? medianOf(apart.slice(-3)) : null
}

/** Medians, so that one wrong test decides nothing; null when there are too few on either side. */
export function testsSince(
  tests: readonly PastTest[] | undefined,
  sinceMs: number,
  nowMs: number,
  beforeMs = sinceMs,
): TestsSince | null {
  const measured = (tests ?? []).filter(({ sanitizerMgL, atMs }) => sanitizerMgL !== null && atMs <= nowMs)
  const values = (from: number, to: number) =>
    measured.filter(({ atMs }) => atMs >= from && atMs < to).map(({ sanitizerMgL }) => sanitizerMgL as number)
  const before = values(beforeMs - BEFORE_MS, beforeMs)
  const since = values(sinceMs, nowMs + 1)
  const newest = measured[measured.length - 1]
  if (before.length < FEWEST_BEFORE || since.length === 0 || !newest) return null
  const [usual, now] = [medianOf(before), medianOf(since.slice(-3))]
  if (!(usual > 0)) return null
  return { before: usual, since: now, ratio: now / usual, count: since.length, newestMs: newest.atMs }
}

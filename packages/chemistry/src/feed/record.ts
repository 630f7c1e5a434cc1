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
  if (!drum || facts.snapshot.feeders.filter((other) => other.drum?.id === drum.id).length > 1) return null
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

const BEFORE_MS = 10 * 24 * HOUR_MS
const FEWEST_BEFORE = 3

/** Medians, so that one wrong test decides nothing; null when there are too few on either side. */
export function testsSince(tests: readonly PastTest[] | undefined, sinceMs: number, nowMs: number): TestsSince | null {
  const measured = (tests ?? []).filter(({ sanitizerMgL, atMs }) => sanitizerMgL !== null && atMs <= nowMs)
  const values = (from: number, to: number) =>
    measured.filter(({ atMs }) => atMs >= from && atMs < to).map(({ sanitizerMgL }) => sanitizerMgL as number)
  const before = values(sinceMs - BEFORE_MS, sinceMs)
  const since = values(sinceMs, nowMs + 1)
  const newest = measured[measured.length - 1]
  if (before.length < FEWEST_BEFORE || since.length === 0 || !newest) return null
  const [usual, now] = [medianOf(before), medianOf(since.slice(-6))]
  if (!(usual > 0)) return null
  return { before: usual, since: now, ratio: now / usual, count: since.length, newestMs: newest.atMs }
}

import { type Facts, standingMin } from '../findings/facts.ts'
import type { HourRecord, Spread } from '../snapshot.ts'
import { DAY_MS, HOUR_MS } from '../time.ts'

/** Hours on end that have something in common, up to the newest. */
export interface Run {
  hours: HourRecord[]
  newest: HourRecord
  oldest: HourRecord
}

// feeders take turns in cycles of up to an hour: the hour under way says nothing of shares until half of it is covered
const HOUR_COUNTS_MIN = 30

/** The unbroken run of hours up to the newest that fit; a missing hour in between is bridged, more breaks it. */
export function runOf(facts: Facts, fits: (hour: HourRecord) => boolean, atLeast: number): Run | null {
  const run: HourRecord[] = []
  const underWay = (facts.hours[facts.hours.length - 1]?.coveredMin ?? 0) < HOUR_COUNTS_MIN ? 1 : 0
  for (let index = facts.hours.length - 1 - underWay; index >= 0; index--) {
    const hour = facts.hours[index] as HourRecord
    const after = run[0]
    if (!fits(hour) || (after && after.hourMs - hour.hourMs > 2 * HOUR_MS)) break
    run.unshift(hour)
  }
  const [oldest] = run
  const newest = run[run.length - 1]
  if (!oldest || !newest || run.length < atLeast) return null
  // the hours are a day's window: without news the run grows shorter from its start
  facts.changesAt(oldest.hourMs + DAY_MS)
  return { hours: run, newest, oldest }
}

export const flowing = (facts: Facts, hour: HourRecord) => (standingMin(hour, facts.body) ?? 0) < hour.coveredMin / 2

/** Part of the covered time that a feeder ran; null where its feed is not reported. */
export const shareOf = (minutes: number | null, hour: HourRecord) =>
  minutes === null || hour.coveredMin <= 0 ? null : minutes / hour.coveredMin

export const meanOf = (hours: readonly HourRecord[], of: (hour: HourRecord) => Spread | null) =>
  hours.reduce((sum, hour) => sum + (of(hour)?.mean ?? 0), 0) / hours.length

export function feedShare(run: Run, of: (hour: HourRecord) => number | null): number {
  const covered = run.hours.reduce((sum, hour) => sum + hour.coveredMin, 0)
  return covered > 0 ? run.hours.reduce((sum, hour) => sum + (of(hour) ?? 0), 0) / covered : 0
}

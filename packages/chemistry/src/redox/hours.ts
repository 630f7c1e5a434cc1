import type { HourRecord, Spread } from '../measured.ts'
import { DAY_MS, HOUR_MS } from '../time.ts'
import { median } from './numbers.ts'

/** An hour that is told by this many minutes at least, with flow all along: only moving water tells of the pool. Judgement. */
const LEAST_COVERED_MIN = 30

export const told = ({ coveredMin, noFlowMin, orpMv }: HourRecord): boolean =>
  coveredMin >= LEAST_COVERED_MIN && (noFlowMin ?? 0) === 0 && orpMv !== null

/** Hours that ended within so many days before now, oldest first. */
export const lastDays = (hours: readonly HourRecord[], nowMs: number, days: number): HourRecord[] =>
  hours.filter(({ hourMs }) => hourMs + HOUR_MS <= nowMs + HOUR_MS && hourMs > nowMs - days * DAY_MS)

/** By how much the ORP usually stands under its set point (over: negative) in the last week: a controller that feeds in
 * proportion to the distance needs a distance to feed. Null when the hours do not tell. */
export function standsUnder(hours: readonly HourRecord[], nowMs: number): number | null {
  const apart = lastDays(hours, nowMs, 7)
    .filter(told)
    .flatMap(({ orpMv, orpSetPointMv }) => (orpMv && orpSetPointMv !== null ? [orpSetPointMv - orpMv.mean] : []))
  return apart.length >= LEAST_HOURS ? median(apart) : null
}
const LEAST_HOURS = 24

/** A probe in living water never stands quite still while there is feed. Judgement. */
const STILL_HOURS = 12
const STILL_FEED_MIN = 10
/** Where it seldom moves anyway (a display of few digits), standing still tells nothing. */
const MOVES_SHARE = 0.5

/** The newest told hours in which a probe did not move although there was feed; null when it moved, or hardly ever does. */
export function standsStill(
  hours: readonly HourRecord[],
  pick: (hour: HourRecord) => Spread | null,
  least: number,
  feedMin: (hour: HourRecord) => number,
): { at: number; sinceMs: number; hours: number; fedMin: number } | null {
  const flowing = hours.filter((hour) => told(hour) && pick(hour) !== null && hour.samples > 1)
  const last = flowing[flowing.length - 1]
  const at = last ? (pick(last)?.mean ?? 0) : 0
  const still = (hour: HourRecord) => {
    const spread = pick(hour)
    return spread !== null && spread.max - spread.min <= least && Math.abs(spread.mean - at) <= least
  }
  const from = flowing.findLastIndex((hour) => !still(hour)) + 1
  const run = flowing.slice(from)
  const before = flowing.slice(0, from)
  const fedMin = run.reduce((sum, hour) => sum + feedMin(hour), 0)
  const moving = before.filter((hour) => !still(hour)).length
  if (!run[0] || run.length < STILL_HOURS || fedMin < STILL_FEED_MIN) return null
  if (before.length < STILL_HOURS || moving < MOVES_SHARE * before.length) return null
  return { at, sinceMs: run[0].hourMs, hours: run.length, fedMin }
}

import type { HourRecord } from '../snapshot.ts'
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

import { type History, quantileOf } from './history.ts'

// Common practice, no source: standing water in a flow cell loses its sanitizer within hours, whatever the pool does.
const HOURS = 3
const LEAST_MV = 15
const TIMES = 1.8
const DAY = 24
const LOOKED_AT_HOURS = 12

/**
 * ORP that sank, about a time, far faster than this water ever lost its sanitizer, and went on for hours: the cell may
 * stand, whatever its switch shows. A probe that jumps does so within the hour.
 */
export function sinksAsIfItStood({ orp, phRange, count, fromMs }: History, sinceMs: number): boolean {
  const since = Math.round((sinceMs - fromMs) / 3_600_000)
  const fall = (at: number) => (orp[at - HOURS] as number) - (orp[at] as number)
  const before: number[] = []
  for (let at = HOURS; at < since - HOURS; at++) if (!Number.isNaN(fall(at))) before.push(fall(at))
  if (before.length < 4 * DAY) return false
  const fast = Math.max(LEAST_MV, TIMES * quantileOf(before, 0.99))
  let run = 0
  for (let at = Math.max(HOURS, since - HOURS); at < Math.min(count, since + LOOKED_AT_HOURS); at++) {
    const steady = (orp[at - 1] as number) - (orp[at] as number) < fast * 0.7
    run = fall(at) > fast && steady ? run + 1 : 0
    if (run >= 2) return phStands(phRange, at, since - HOURS)
  }
  return false
}

/** Standing water keeps its pH: within the hour it moves as little as in the stillest quarter of the hours before. */
function phStands(phRange: Float64Array, at: number, before: number): boolean {
  const known = [...phRange.subarray(0, Math.max(0, before))].filter((range) => !Number.isNaN(range))
  const now = [...phRange.subarray(at - 1, Math.min(phRange.length, at + HOURS))].filter(
    (range) => !Number.isNaN(range),
  )
  return known.length === 0 || (now.length > 0 && quantileOf(now, 0.5) <= quantileOf(known, STILLEST))
}
const STILLEST = 0.25

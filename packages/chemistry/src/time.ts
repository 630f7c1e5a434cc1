import type { Quantified } from './finding.ts'

export const MINUTE_MS = 60_000
export const HOUR_MS = 60 * MINUTE_MS
export const DAY_MS = 24 * HOUR_MS

// ages are told in steps, so that a sentence need not be written anew every minute
const STEPS_MS = [
  ...[15, 30].map((minutes) => minutes * MINUTE_MS),
  ...[1, 2, 3, 4, 6, 8, 12, 18, 24, 36].map((hours) => hours * HOUR_MS),
  ...[2, 3, 4, 5, 6, 7, 8, 9, 10, 14, 21, 30, 45, 60, 90, 120, 180, 365, 730].map((days) => days * DAY_MS),
]

/** 'More than this' for an age, and from which age on the next step would be said; null when there is none. */
export function ageStep(ageMs: number): { moreThan: Quantified; nextMs: number | null } {
  let step = 0
  while (step + 1 < STEPS_MS.length && ageMs > (STEPS_MS[step + 1] as number)) step++
  const ms = STEPS_MS[step] as number
  const moreThan: Quantified =
    ms < HOUR_MS
      ? { value: ms / MINUTE_MS, unit: 'min' }
      : ms < 2 * DAY_MS
        ? { value: ms / HOUR_MS, unit: 'h' }
        : { value: ms / DAY_MS, unit: 'd' }
  return { moreThan, nextMs: STEPS_MS[step + 1] ?? null }
}

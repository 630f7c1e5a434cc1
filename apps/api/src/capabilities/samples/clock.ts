/** Controllers' clocks run ahead; more than a day is a wrong date. Common practice, no source. */
const AHEAD_MS = 86_400_000
const EARLIEST_MS = Date.UTC(2000, 0, 1)

/** Why a sample cannot carry this time; null when it can. */
export function unlikelySampleTime(atMs: number, nowMs: number): string | null {
  if (atMs < EARLIEST_MS) return 'The time is before the year 2000: check the controller’s clock.'
  if (atMs > nowMs + AHEAD_MS)
    return 'The time lies more than a day in the future: check the controller’s clock and the order of day and month.'
  return null
}

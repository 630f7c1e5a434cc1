import { invalidAt } from './problems.ts'

/** Clocks of phones and controllers run a little ahead; more than this is a mistake. Common practice, no source. */
const AHEAD_MIN = 10
const EARLIEST = new Date('2000-01-01T00:00:00Z')

/** Why a person's entry cannot carry this time; null when it can. */
export function unlikelyTime(at: Date, now: Date): string | null {
  if (at < EARLIEST) return `${at.toISOString()} is before the year 2000: check the date.`
  if (+at > +now + AHEAD_MIN * 60_000)
    return `${at.toISOString()} lies in the future (the server's clock says ${now.toISOString()}): check date and time.`
  return null
}

/** @throws ProblemError `invalid` at `path` when the time cannot be meant */
export function refuseUnlikelyTime(text: string, now: Date, path: string): Date {
  const at = new Date(text)
  const message = unlikelyTime(at, now)
  if (message) throw invalidAt(path, message)
  return at
}

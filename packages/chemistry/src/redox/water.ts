import type { Measured } from '../snapshot.ts'
import { DAY_MS } from '../time.ts'
import { surroundings } from './observations.ts'
import type { RedoxPair, RedoxRecord, RedoxWater } from './types.ts'

/** A test kit's pH is good to a few hundredths: the middle of a week's tests tells more than the last. */
const WEEK_MS = 7 * DAY_MS

/** The water as the newest tests tell it; pH is the middle of the last week's tests. Null when nothing was ever tested. */
export function presentWater(record: RedoxRecord, nowMs: number): RedoxWater | null {
  const tested = record.pairs.filter(({ atMs, test }) => atMs <= nowMs && test.sanitizerMgL !== null)
  const newest = tested[tested.length - 1]
  if (!newest) return null
  return {
    sanitizerMgL: newest.test.sanitizerMgL as number,
    ...surroundings(record, newest.test, newest.atMs),
    ...middlePh(tested, newest),
  }
}

function middlePh(tested: readonly RedoxPair[], newest: RedoxPair): { ph?: number } {
  const own = tested
    .filter(({ atMs }) => atMs > newest.atMs - WEEK_MS)
    .flatMap(({ test, atMs }) => (test.ph && measuredThen(test.ph, atMs) ? [test.ph.value] : []))
  return own.length > 0 ? { ph: median(own) } : {}
}

const measuredThen = (measured: Measured, atMs: number) => Math.abs(measured.atMs - atMs) < DAY_MS / 24

/** Of at least one number. */
export function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b)
  const middle = Math.floor(sorted.length / 2)
  const upper = sorted[middle] as number
  return sorted.length % 2 === 1 ? upper : (upper + (sorted[middle - 1] as number)) / 2
}

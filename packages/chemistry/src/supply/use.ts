import { type History, quantileOf } from '../feed/history.ts'
import type { DrumFacts } from '../snapshot.ts'
import { DAY_MS, HOUR_MS } from '../time.ts'
import type { FeederRole } from '../vocabulary.ts'
import { type Fall, fallsOf, stickErrorL } from './falls.ts'
import { fading, spreadOf, type UseRange } from './spread.ts'

/** Minutes that a feeder ran between two times; null where less than eight tenths of that was heard. */
export type RunTime = (fromMs: number, toMs: number) => number | null

const HEARD_SHARE = 0.8

export function runTimeOf(history: History, role: FeederRole): RunTime {
  const feed = history.feed[role]
  const minutes = new Float64Array(history.count + 1)
  const known = new Float64Array(history.count + 1)
  for (let at = 0; at < history.count; at++) {
    const value = feed[at] as number
    const isKnown = !Number.isNaN(value)
    minutes[at + 1] = (minutes[at] as number) + (isKnown ? value : 0)
    known[at + 1] = (known[at] as number) + (isKnown ? 1 : 0)
  }
  const at = (list: Float64Array, timeMs: number) => {
    const exact = Math.min(history.count, Math.max(0, (timeMs - history.fromMs) / HOUR_MS))
    const whole = Math.floor(exact)
    const before = list[whole] as number
    return before + (exact - whole) * ((list[whole + 1] ?? before) - before)
  }
  return (fromMs, toMs) => {
    const hours = (toMs - fromMs) / HOUR_MS
    const heard = at(known, toMs) - at(known, fromMs)
    if (hours <= 0 || heard < HEARD_SHARE * hours) return null
    return ((at(minutes, toMs) - at(minutes, fromMs)) * hours) / heard
  }
}

/** What a feeder drew between two readings of its drum, beside how long it ran. */
export interface DrawnStretch extends Fall {
  runMin: number
  litresPerMin: number
  /** Standard deviation of `litresPerMin` from the reading of the stick. */
  error: number
}

/** Falls of the drum in which its feeder was heard to run; oldest first. */
export function drawnStretches(drum: DrumFacts, run: RunTime): DrawnStretch[] {
  return fallsOf(drum, (fromMs, toMs) => run(fromMs, toMs) !== null).flatMap((fall) => {
    const runMin = run(fall.fromMs, fall.toMs) ?? 0
    if (runMin <= 0) return []
    return [{ ...fall, runMin, litresPerMin: fall.fallL / runMin, error: stickErrorL(drum) / runMin }]
  })
}

/** Litres for each minute of run, as a range over the stretches; null when none tells. */
export type Draw = UseRange

/** @param nowMs where given, later stretches weigh more */
export function drawOf(stretches: readonly DrawnStretch[], nowMs?: number): Draw | null {
  return spreadOf(
    stretches.map(({ litresPerMin, runMin, toMs }) => ({
      value: litresPerMin,
      weight: runMin * (nowMs === undefined ? 1 : fading(nowMs - toMs)),
    })),
    { alone: 0.25, among: 0.08 },
  )
}

/** A pump that moves less for each minute than it did. */
export interface PumpWear {
  /** Now beside before: 0.6 is four tenths less. */
  ratio: number
  beforeLH: number
  nowLH: number
  /** The stretch that shows it begins here. */
  sinceMs: number
  /** Over weeks, as a tube wears; else it shows in the newest stretch only. */
  gradual: boolean
}

// Common practice, no source: a tube is changed well before it delivers half
const WORN_RATIO = 0.7
const FEWEST_BEFORE = 2
const BEYOND_ERROR = 5
/** What lies about the line by more than this part of its fall is no slow wear. */
const MOST_SCATTER = 0.25

/**
 * Wear from the litres for each minute, where the difference is more than the reading of the stick explains: the newest
 * stretch against the median of those before, or the straight line through all of them from its start to its end.
 * @param sinceMs when the pump was last served: what was before is another pump
 */
export function pumpWear(stretches: readonly DrawnStretch[], sinceMs = Number.NEGATIVE_INFINITY): PumpWear | null {
  const counted = stretches.filter(({ fromMs }) => fromMs >= sinceMs)
  if (counted.length <= FEWEST_BEFORE) return null
  return wornAtOnce(counted) ?? wornOverWeeks(counted)
}

function wornAtOnce(stretches: readonly DrawnStretch[]): PumpWear | null {
  const newest = stretches[stretches.length - 1] as DrawnStretch
  const usual = quantileOf(
    stretches.slice(0, -1).map(({ litresPerMin }) => litresPerMin),
    0.5,
  )
  return worn(usual, newest.litresPerMin, newest.error, newest.fromMs, false)
}

/** The straight line that fits best, each stretch by how well it is known. */
function wornOverWeeks(stretches: readonly DrawnStretch[]): PumpWear | null {
  const points = stretches.map(({ fromMs, toMs, litresPerMin, error }) => ({
    atDays: (fromMs + toMs) / 2 / DAY_MS,
    litresPerMin,
    weight: 1 / error ** 2,
  }))
  const whole = points.reduce((sum, { weight }) => sum + weight, 0)
  const mean = (of: (point: (typeof points)[number]) => number) =>
    points.reduce((sum, point) => sum + point.weight * of(point), 0) / whole
  const [meanDays, meanRate] = [mean(({ atDays }) => atDays), mean(({ litresPerMin }) => litresPerMin)]
  const wide = mean(({ atDays }) => (atDays - meanDays) ** 2)
  if (!(wide > 0)) return null
  const slope = mean(({ atDays, litresPerMin }) => (atDays - meanDays) * (litresPerMin - meanRate)) / wide
  const at = (days: number) => meanRate + slope * (days - meanDays)
  const [first, last] = [points[0], points[points.length - 1]] as [(typeof points)[number], (typeof points)[number]]
  const scatter = Math.sqrt(mean(({ atDays, litresPerMin }) => (litresPerMin - at(atDays)) ** 2))
  if (scatter > MOST_SCATTER * (at(first.atDays) - at(last.atDays))) return null
  const error = (last.atDays - first.atDays) / Math.sqrt(wide * whole)
  const since = (stretches[0] as DrawnStretch).fromMs
  return worn(at(first.atDays), Math.max(0, at(last.atDays)), error, since, true)
}

function worn(before: number, now: number, error: number, sinceMs: number, gradual: boolean): PumpWear | null {
  const ratio = now / before
  if (!(ratio <= WORN_RATIO) || before - now < BEYOND_ERROR * error) return null
  return { ratio, beforeLH: before * 60, nowLH: now * 60, sinceMs, gradual }
}

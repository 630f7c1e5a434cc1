import { type History, quantileOf } from '../feed/history.ts'
import type { DrumFacts } from '../snapshot.ts'
import { DAY_MS, HOUR_MS } from '../time.ts'
import type { FeederRole } from '../vocabulary.ts'

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
export interface DrawnStretch {
  fromMs: number
  toMs: number
  fallL: number
  runMin: number
  litresPerMin: number
  /** Standard deviation of `litresPerMin` from the reading of the stick. */
  error: number
}

// a stick or a scale on the drum is read to about a hundredth of its content; common practice, no source
const STICK_SHARE = 0.01
// a rise beyond this share of the drum is a refill that nobody wrote down
const REFILL_SHARE = 0.03

/** Stretches between level readings in which it ran long enough to tell litres for each minute; oldest first. */
export function drawnStretches(drum: DrumFacts, run: RunTime): DrawnStretch[] {
  const stretches: DrawnStretch[] = []
  const error = Math.SQRT2 * STICK_SHARE * drum.capacityL
  let from = drum.levels[0]
  let fallL = 0
  for (let index = 1; index < drum.levels.length && from; index++) {
    const level = drum.levels[index]
    const before = drum.levels[index - 1]
    if (!level || !before) break
    const fell = before.levelL - (level.levelL - level.deliveredL)
    if (fell < -REFILL_SHARE * drum.capacityL) {
      from = level
      fallL = 0
      continue
    }
    fallL += fell
    const runMin = run(from.atMs, level.atMs)
    // too little drawn to stand out from the stick: let it run on to the next reading
    if (runMin !== null && runMin > 0 && fallL < 2 * error && level.atMs - from.atMs < 20 * DAY_MS) continue
    if (runMin !== null && runMin > 0) {
      const drawn = Math.max(0, fallL)
      stretches.push({
        fromMs: from.atMs,
        toMs: level.atMs,
        fallL: drawn,
        runMin,
        litresPerMin: drawn / runMin,
        error: error / runMin,
      })
    }
    from = level
    fallL = 0
  }
  return stretches
}

/** Litres for each minute of run, as a range over the stretches; null when none tells. */
export interface Draw {
  low: number
  typical: number
  high: number
}

export function drawOf(stretches: readonly DrawnStretch[]): Draw | null {
  if (stretches.length === 0) return null
  const rates = stretches.map(({ litresPerMin }) => litresPerMin)
  const typical = quantileOf(rates, 0.5)
  const least = stretches.length === 1 ? 0.25 : 0.08
  return {
    low: Math.min(quantileOf(rates, 0.25), typical * (1 - least)),
    typical,
    high: Math.max(quantileOf(rates, 0.75), typical * (1 + least)),
  }
}

/** A pump that moves less for each minute than it did. */
export interface PumpWear {
  /** Now beside before: 0.6 is four tenths less. */
  ratio: number
  beforeLH: number
  nowLH: number
  /** The stretch that shows it begins here. */
  sinceMs: number
}

// Common practice, no source: a tube is changed well before it delivers half
const WORN_RATIO = 0.7
const FEWEST_BEFORE = 2
const BEYOND_ERROR = 5

/**
 * Wear from the litres for each minute: the newest stretch against the median of those before, where the difference is
 * more than the reading of the stick explains.
 */
export function pumpWear(stretches: readonly DrawnStretch[], sinceMs = Number.NEGATIVE_INFINITY): PumpWear | null {
  const counted = stretches.filter(({ fromMs }) => fromMs >= sinceMs)
  const newest = counted[counted.length - 1]
  const before = counted.slice(0, -1)
  if (!newest || before.length < FEWEST_BEFORE) return null
  const usual = quantileOf(
    before.map(({ litresPerMin }) => litresPerMin),
    0.5,
  )
  const ratio = newest.litresPerMin / usual
  if (!(ratio <= WORN_RATIO) || usual - newest.litresPerMin < BEYOND_ERROR * newest.error) return null
  return { ratio, beforeLH: usual * 60, nowLH: newest.litresPerMin * 60, sinceMs: newest.fromMs }
}

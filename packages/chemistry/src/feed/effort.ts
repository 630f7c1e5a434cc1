import { type History, hourAt, medianOf, quantileOf } from './history.ts'

/** A feeder that runs far more than it used to in the same hours of the days before. */
export interface EffortChange {
  /** From which hour on, ms. */
  sinceMs: number
  /** How many times as much as usual, in the last 24 hours or since it began. */
  ratio: number
  /** Minutes a day as usual, and at the rate of those hours. */
  usualMinPerDay: number
  nowMinPerDay: number
  /** The ratio of the quietest and of the busiest third of the day since it began; NaN until enough of each has passed. A
   * feeder that delivers less runs longer in both alike; bathers and sun ask for more in one. */
  quietRatio: number
  busyRatio: number
  /** It came within hours; else over days. */
  sudden: boolean
}

interface Stretch {
  hours: number
  times: number
  overMost: number
}
// How many times as much, and how far over the most of all days before, in a stretch of that many hours. Chosen on
// simulated plants: a healthy one is told about once in five years.
const STRETCHES: readonly Stretch[] = [
  { hours: 6, times: 2.7, overMost: 1.4 },
  { hours: 12, times: 1.9, overMost: 1.25 },
  { hours: 24, times: 1.5, overMost: 1.15 },
]
/** What asks for acid changes more: alkalinity that was added, fresh water, a cover that was left off. */
const PH_TIMES = 1.4
/** Enough to say so, in the quietest and in the busiest third of the day. */
const CONFIRMED_TIMES = { sanitizer: 1.7, ph: 2.8 }
const THIRD = 8
const THIRD_TIMES = { sanitizer: 1.5, ph: 1.8 }
const THIRD_HOURS = 4
const PLAIN_TIMES = 2.2
const PLAIN_BY_DAY_TIMES = 3.6
/** It is over when half a day was near the usual again. */
const OVER_TIMES = 1.3
const OVER_HOURS = 12

/** In the first day and a half after a delivery the product or an unprimed pump is at hand as a reason. */
const SUSPECT_MS = 36 * 3_600_000
const SUSPECT_PART = 0.75

/** What comes at once is near its height after so many hours. */
const SUDDEN_HOURS = 36
const SUDDEN_PART = 0.7

const DAY = 24
const REFERENCE_DAYS = 14
const FEWEST_DAYS = 4
/** Minutes an hour that a feeder's habits are uncertain by: without it, twice of next to nothing would be a change. */
const FLOOR_MIN = 0.15

/** After a set point was raised the feeder has to catch up. */
const CATCH_UP_HOURS = 12
const RAISED_MV = 2.5
const LOWERED_PH = 0.03
/** A value that moved away from its set point within two hours, this many times as far as usual: a dose by hand, a probe. */
const JUMP_TIMES = 2
const JUMP_HOURS = 24
const JUMP_LEAST = { mv: 12, ph: 0.06 }
/** mV of ORP for ten times the chlorine. Common practice, no source; a pool's own slope lies between 50 and 80. */
const MV_PER_TEN_TIMES = 65
/** A pH that rose explains more feed; one that sank may be the probe. Powers of ten by which the chlorine grows that one ORP stands for, with each pH: less of it is acid, and ORP sinks with pH. Common practice, no source. */
const TENS_PER_PH = 0.8

/**
 * Walks through the hours as they came and tells whether a change is on at the end. What is usual is frozen when a change
 * begins, so that a lasting fault does not become the new habit.
 * @param reported minutes of feed in each hour
 * @param rises the feeder holds ORP, which feeding raises; else pH, which feeding lowers
 * @param deliveredMs when its drum was filled: in the hours after, less is enough to say so
 */
export function effortChange(
  history: History,
  reported: Float64Array,
  rises: boolean,
  deliveredMs: readonly number[] = [],
): EffortChange | null {
  const { count } = history
  const setPoint = rises ? history.orpSet : history.phSet
  const value = rises ? history.orp : history.ph
  const feed = rises ? atOneTarget(history, reported) : reported
  const stretches = scaled(rises ? 1 : PH_TIMES)
  const suspicious = scaled(SUSPECT_PART * (rises ? 1 : PH_TIMES))
  const suspect = (at: number) => isSuspect(hourAt(history, at), deliveredMs)
  const jump = jumpOf(value, rises)
  const sums = new Sums(count)
  const reference = new Sums(count)
  let change: Change | null = null
  let calmFrom = FEWEST_DAYS * DAY
  for (let at = 0; at < count; at++) {
    const minutes = feed[at] as number
    sums.put(at, minutes)
    reference.put(at, change ? Number.NaN : minutes)
    if (movedTowardsFeed(setPoint, at, rises)) calmFrom = Math.max(calmFrom, at + CATCH_UP_HOURS)
    if (fallsBehind(value, at, rises) > jump) calmFrom = Math.max(calmFrom, at + JUMP_HOURS)
    if (change) {
      change.add(at, minutes)
      if (change.hasEnded(sums, at)) change = null
      else change.confirm(sums, at, rises ? 'sanitizer' : 'ph', suspect(at))
      continue
    }
    if (at < calmFrom || Number.isNaN(minutes)) continue
    const tripped = (suspect(at) ? suspicious : stretches).find((stretch) => trips(sums, reference, at, stretch))
    if (!tripped) continue
    change = new Change(history, feed, profileBefore(history, feed, reference, at - tripped.hours), at)
    for (let hour = change.onset; hour <= at; hour++) {
      reference.put(hour, Number.NaN)
      change.add(hour, feed[hour] as number)
    }
  }
  return change?.confirmed ? change.describe(sums, count - 1) : null
}

const scaled = (part: number): Stretch[] =>
  STRETCHES.map((one) => ({ ...one, times: one.times * part, overMost: part < 1 ? one.overMost * part : one.overMost }))

const isSuspect = (atMs: number, deliveredMs: readonly number[]) =>
  deliveredMs.some((delivered) => atMs >= delivered && atMs < delivered + SUSPECT_MS)

class Change {
  readonly onset: number
  readonly #feed: Float64Array
  readonly #history: History
  readonly #profile: Float64Array
  readonly #quietest: number
  readonly #busiest: number
  #quiet = { minutes: 0, usual: 0, hours: 0 }
  #busy = { minutes: 0, usual: 0, hours: 0 }
  confirmed = false

  constructor(history: History, feed: Float64Array, profile: Float64Array, at: number) {
    this.#history = history
    this.#profile = profile
    const sorted = [...profile].sort((a, b) => a - b)
    this.#quietest = sorted[THIRD - 1] as number
    this.#busiest = sorted[DAY - THIRD] as number
    this.onset = this.#turn(feed, at)
    this.#feed = feed
  }

  /** The quietest and the busiest third of the day are counted apart. */
  add(at: number, minutes: number): void {
    const usual = this.#profile[clockOf(this.#history, at)] as number
    if (Number.isNaN(minutes) || Number.isNaN(usual)) return
    const half = usual <= this.#quietest ? this.#quiet : usual >= this.#busiest ? this.#busy : null
    if (!half) return
    half.minutes += minutes
    half.usual += usual + FLOOR_MIN
    half.hours++
  }

  confirm(sums: Sums, at: number, what: 'sanitizer' | 'ph', suspect: boolean): void {
    if (this.confirmed) return
    const ratio = this.#ratio(sums, at)
    const thirds = [this.#quiet, this.#busy].filter(({ hours }) => hours >= THIRD_HOURS)
    // a feeder that hardly delivers is plain before both have passed
    const quiet = this.#quiet.hours >= THIRD_HOURS
    const part = suspect ? SUSPECT_PART : 1
    const enough = thirds.length === 2 || ratio >= part * (quiet ? PLAIN_TIMES : PLAIN_BY_DAY_TIMES)
    this.confirmed =
      enough &&
      thirds.length > 0 &&
      thirds.every(({ minutes, usual }) => minutes >= THIRD_TIMES[what] * usual) &&
      ratio >= CONFIRMED_TIMES[what]
  }

  hasEnded(sums: Sums, at: number): boolean {
    if (at - this.onset < OVER_HOURS) return false
    return sums.over(at, OVER_HOURS) < OVER_TIMES * this.#usualOver(at, OVER_HOURS)
  }

  describe(sums: Sums, at: number): EffortChange {
    const of = ({ minutes, usual, hours }: { minutes: number; usual: number; hours: number }) =>
      hours >= THIRD_HOURS ? minutes / usual : Number.NaN
    const hours = this.#hours(at)
    return {
      sinceMs: hourAt(this.#history, this.onset),
      ratio: this.#ratio(sums, at),
      usualMinPerDay: this.#profile.reduce((sum, minutes) => sum + minutes, 0),
      nowMinPerDay: (sums.over(at, hours) * DAY) / hours,
      quietRatio: of(this.#quiet),
      busyRatio: of(this.#busy),
      sudden: this.#isSudden(at),
    }
  }

  #hours = (at: number) => Math.min(DAY, Math.max(6, at - this.onset + 1))
  #ratio = (sums: Sums, at: number) => sums.over(at, this.#hours(at)) / this.#usualOver(at, this.#hours(at))
  #usualAt = (at: number) => (this.#profile[clockOf(this.#history, at)] as number) + FLOOR_MIN

  #usualOver(at: number, hours: number): number {
    let usual = 0
    for (let hour = at + 1 - hours; hour <= at; hour++) usual += this.#usualAt(hour)
    return usual
  }

  /** The hour from which on it ran more than usual: where the excess, added up backwards, is largest. */
  #turn(feed: Float64Array, at: number): number {
    let [excess, most, onset] = [0, 0, at]
    for (let hour = at; hour >= Math.max(0, at - 10 * DAY); hour--) {
      const ratio = (feed[hour] as number) / this.#usualAt(hour)
      if (Number.isNaN(ratio)) continue
      excess += ratio - 1.4
      if (excess > most) [most, onset] = [excess, hour]
    }
    return onset
  }

  /** At once: nothing to be seen in the two days before, and in its first day and a half near to what it is now. */
  #isSudden(at: number): boolean {
    if (this.#ratioOver(this.#feed, this.onset - 2 * DAY, this.onset) > 1.25) return false
    const firstEnds = this.onset + SUDDEN_HOURS
    if (at < firstEnds + DAY) return true
    const first = this.#ratioOver(this.#feed, this.onset, firstEnds)
    return first >= SUDDEN_PART * this.#ratioOver(this.#feed, at - DAY, at + 1)
  }

  #ratioOver(feed: Float64Array, from: number, to: number): number {
    let [minutes, usual] = [0, 0]
    for (let hour = Math.max(0, from); hour < to; hour++) {
      const value = feed[hour] as number
      const expected = this.#usualAt(hour)
      if (Number.isNaN(value) || Number.isNaN(expected)) continue
      minutes += value
      usual += expected
    }
    return minutes / usual
  }
}

const firstClock = (history: History) => Math.round(history.fromMs / 3_600_000) % DAY
export const clockOf = (history: History, at: number) => (at + firstClock(history)) % DAY

/** Feed as it would have been for one amount of chlorine: a higher set point or pH holds more, of which more is used up. */
function atOneTarget({ orpSet, ph }: History, feed: Float64Array): Float64Array {
  const setPoint = newestOf(orpSet)
  const newestPh = newestOf(ph)
  const even = new Float64Array(feed.length)
  for (let at = 0; at < feed.length; at++) {
    const apartMv = setPoint - (orpSet[at] as number)
    const apartPh = newestPh - (ph[at] as number)
    const exponent =
      (Math.abs(apartMv) > 1 ? apartMv / MV_PER_TEN_TIMES : 0) + (apartPh > 0.03 ? apartPh * TENS_PER_PH : 0)
    even[at] = (feed[at] as number) * (exponent === 0 ? 1 : 10 ** exponent)
  }
  return even
}

function newestOf(column: Float64Array): number {
  for (let at = column.length - 1; at >= 0; at--) if (!Number.isNaN(column[at] as number)) return column[at] as number
  return Number.NaN
}

function movedTowardsFeed(setPoint: Float64Array, at: number, rises: boolean): boolean {
  const now = setPoint[at] as number
  for (let before = at - 1; before >= Math.max(0, at - 6); before--) {
    const then = setPoint[before] as number
    if (Number.isNaN(then)) continue
    return rises ? now - then > RAISED_MV : then - now > LOWERED_PH
  }
  return false
}

/** How far a value moved away from its set point within two hours, on the side that asks for feed. */
function fallsBehind(value: Float64Array, at: number, rises: boolean): number {
  const moved = (value[at] as number) - (at >= 2 ? (value[at - 2] as number) : Number.NaN)
  return rises ? -moved : moved
}

/** What counts as a jump, by what the body usually does. */
function jumpOf(value: Float64Array, rises: boolean): number {
  const moves: number[] = []
  for (let at = 2; at < value.length; at++) {
    const moved = fallsBehind(value, at, rises)
    if (moved > 0) moves.push(moved)
  }
  return Math.max(rises ? JUMP_LEAST.mv : JUMP_LEAST.ph, JUMP_TIMES * quantileOf(moves, 0.97))
}

/** Sums of stretches by prefix, scaled up for hours that were not heard. */
class Sums {
  readonly #sum: Float64Array
  readonly #known: Float64Array
  constructor(count: number) {
    this.#sum = new Float64Array(count + 1)
    this.#known = new Float64Array(count + 1)
  }
  put(at: number, value: number): void {
    const known = Number.isNaN(value) ? 0 : 1
    this.#sum[at + 1] = (this.#sum[at] as number) + (known ? value : 0)
    this.#known[at + 1] = (this.#known[at] as number) + known
  }
  /** The sum of the `hours` hours up to and with `at`; NaN where fewer than seven tenths of them are known. */
  over(at: number, hours: number): number {
    const from = at + 1 - hours
    if (from < 0) return Number.NaN
    const known = (this.#known[at + 1] as number) - (this.#known[from] as number)
    if (known < 0.7 * hours) return Number.NaN
    return (((this.#sum[at + 1] as number) - (this.#sum[from] as number)) * hours) / known
  }
}

function trips(sums: Sums, reference: Sums, at: number, { hours, times, overMost }: Stretch): boolean {
  const now = sums.over(at, hours)
  const floor = FLOOR_MIN * hours
  if (!(now > times * floor)) return false
  const before: number[] = []
  let [most, total] = [0, 0]
  for (let day = 1; day <= REFERENCE_DAYS; day++) {
    const then = reference.over(at - day * DAY, hours)
    if (Number.isNaN(then)) continue
    before.push(then)
    total += then
    if (then > most) most = then
  }
  if (before.length < FEWEST_DAYS || now < overMost * (most + floor)) return false
  // no need to sort while far from it: a median can hardly lie under half of the mean
  if (now < (times * total) / before.length / 2) return false
  return now >= times * (medianOf(before) + floor)
}

/** What is usual in each clock hour: medians of the days before an hour. */
function profileBefore(history: History, feed: Float64Array, reference: Sums, before: number): Float64Array {
  const profile = new Float64Array(DAY)
  for (let clock = 0; clock < DAY; clock++) {
    const values: number[] = []
    const newest = before - ((((clockOf(history, before) - clock) % DAY) + DAY) % DAY)
    for (let at = newest; at >= 0 && values.length < REFERENCE_DAYS; at -= DAY) {
      // hours of an earlier change are no reference
      if (!Number.isNaN(reference.over(at, 1))) values.push(feed[at] as number)
    }
    profile[clock] = medianOf(values)
  }
  return profile
}

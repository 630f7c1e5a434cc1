import type { HourRecord } from '../measured.ts'
import { DAY_MS } from '../time.ts'
import { lastDays, told } from './hours.ts'
import { median } from './numbers.ts'
import type { FeedEffort, RedoxModel, RedoxRecord } from './types.ts'

const WINDOW_DAYS = 35
const NOW_DAYS = 7
/** A day counts when most of it is told, and enough days are compared. Judgement. */
const LEAST_HOURS = 18
const LEAST_DAYS_NOW = 4
const LEAST_DAYS_BEFORE = 7
/** ORP stood at its set point. Common practice, no source. */
const HELD_MV = 30
/** Weather and bathers alone change the effort by so much. Judgement. */
const WORTH_RATIO = 1.4
/** Days part by at least this share: bathers and sun. Judgement. */
const LEAST_SPREAD = 0.15
const Z_90 = 1.645

interface Day {
  /** Middle of the day, ms. */
  atMs: number
  feedMin: number
  /** log of the feed minutes, brought to one ORP. */
  logEffort: number
}

/**
 * Minutes of sanitizer feed that held the same ORP in the last week, against the four weeks before; brought to one ORP with the
 * body's slope, because a higher set point needs more by itself. Null when the hours do not tell.
 */
export function feedEffort(record: RedoxRecord, model: RedoxModel, nowMs: number): FeedEffort | null {
  const days = daysOf(record.hours, model, nowMs)
  const now = days.filter(({ atMs }) => atMs > nowMs - NOW_DAYS * DAY_MS)
  const before = days.filter(({ atMs }) => atMs <= nowMs - NOW_DAYS * DAY_MS)
  if (now.length < LEAST_DAYS_NOW || before.length < LEAST_DAYS_BEFORE) return null
  const of = (some: readonly Day[]) => median(some.map(({ logEffort }) => logEffort))
  const change = of(now) - of(before)
  const sd = Math.hypot(medianSd(now), medianSd(before))
  const ratio = {
    value: Math.exp(change),
    low: Math.exp(change - Z_90 * sd),
    high: Math.exp(change + Z_90 * sd),
  }
  const worth = Math.abs(change) >= Math.log(WORTH_RATIO) && (ratio.low > 1 || ratio.high < 1)
  const first = days[0] as Day
  return {
    beforeMinPerDay: median(before.map(({ feedMin }) => feedMin)),
    nowMinPerDay: median(now.map(({ feedMin }) => feedMin)),
    ratio,
    ...(worth ? shapeOf(days) : { shape: 'none', sinceMs: first.atMs }),
  }
}

function daysOf(hours: readonly HourRecord[], { slopeMv }: RedoxModel, nowMs: number): Day[] {
  const groups = new Map<number, HourRecord[]>()
  for (const hour of lastDays(hours, nowMs, WINDOW_DAYS)) {
    if (!told(hour) || hour.sanitizerFeedMin === null) continue
    const day = Math.floor((nowMs - hour.hourMs) / DAY_MS)
    groups.set(day, [...(groups.get(day) ?? []), hour])
  }
  return [...groups]
    .sort(([a], [b]) => b - a)
    .flatMap(([day, told]) => {
      if (told.length < LEAST_HOURS) return []
      const mean = (pick: (hour: HourRecord) => number) => told.reduce((sum, hour) => sum + pick(hour), 0) / told.length
      const orp = mean(({ orpMv }) => orpMv?.mean ?? 0)
      const setPoints = told.flatMap(({ orpSetPointMv }) => orpSetPointMv ?? [])
      if (setPoints.length > 0 && Math.abs(orp - median(setPoints)) > HELD_MV) return []
      const feedMin = 24 * mean(({ sanitizerFeedMin, backupFeedMin }) => (sanitizerFeedMin ?? 0) + (backupFeedMin ?? 0))
      return [
        {
          atMs: nowMs - (day + 0.5) * DAY_MS,
          feedMin,
          // one minute more, so that a day without feed has a logarithm
          logEffort: Math.log(feedMin + 1) - (Math.LN10 * orp) / slopeMv.value,
        },
      ]
    })
}

/** Of the median of some days: from their middle deviation, 1.48 times, and 1.25 times that of a mean. */
function medianSd(days: readonly Day[]): number {
  const efforts = days.map(({ logEffort }) => logEffort)
  const middle = median(efforts)
  const spread = 1.48 * median(efforts.map((effort) => Math.abs(effort - middle)))
  return (1.25 * Math.max(LEAST_SPREAD, spread)) / Math.sqrt(days.length)
}

/** Whether one step or one line lies nearer to the days. */
function shapeOf(days: readonly Day[]): Pick<FeedEffort, 'shape' | 'sinceMs'> {
  const efforts = days.map(({ logEffort }) => logEffort)
  let best = { apart: Number.POSITIVE_INFINITY, at: 0 }
  for (let at = LEAST_DAYS_NOW; at <= days.length - LEAST_DAYS_NOW; at++) {
    const apart = apartFrom(efforts.slice(0, at)) + apartFrom(efforts.slice(at))
    if (apart < best.apart) best = { apart, at }
  }
  const line = lineApart(days)
  return best.apart < line
    ? { shape: 'step', sinceMs: (days[best.at] as Day).atMs }
    : { shape: 'slope', sinceMs: (days[0] as Day).atMs }
}

function apartFrom(values: readonly number[]): number {
  const middle = median(values)
  return values.reduce((sum, value) => sum + Math.abs(value - middle), 0)
}

/** Sum of what parts from the line through the middle of all slopes (Theil and Sen). */
function lineApart(days: readonly Day[]): number {
  const slopes = days.flatMap((a, i) =>
    days.slice(i + 1).map((b) => ((b.logEffort - a.logEffort) / (b.atMs - a.atMs)) * DAY_MS),
  )
  const slope = median(slopes)
  return apartFrom(days.map(({ logEffort, atMs }) => logEffort - (slope * atMs) / DAY_MS))
}

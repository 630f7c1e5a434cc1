import { quantileOf } from '../feed/history.ts'
import type { DrumFacts, DrumLevel } from '../snapshot.ts'
import { DAY_MS, HOUR_MS } from '../time.ts'
import { drawnStretches, drawOf, type RunTime } from './use.ts'

/** A drum's use and how long it will last, as a range: low and high are the slower and faster quarter of the days seen. */
export interface DrumForecast {
  /** Level now, carried on from the last reading with its use, litres; never below 0. */
  levelL: number
  lastLevelL: number
  lastLevelAtMs: number
  useLPerDay: { low: number; typical: number; high: number }
  /** Days until it is empty; `high` and `typical` are null when nothing is used. */
  daysLeft: { low: number | null; typical: number | null; high: number | null }
  /** What the use was taken from: the run of its feeder since the last reading, or only the readings. */
  from: 'runTime' | 'levels'
}

// readings closer together tell more about the stick than about the use
const SHORTEST_MS = 12 * HOUR_MS
// short enough to follow a season, long enough that no single stretch between weekly visits decides
const HALF_LIFE_MS = 10 * DAY_MS
// a rise beyond this share of the drum is a refill that nobody wrote down, a smaller one is the stick
const STICK_SHARE = 0.02

interface Stretch {
  lPerDay: number
  weight: number
}

/**
 * Days of chemical left in a drum. From the history of its levels: weighted quartiles of the use between readings, later
 * ones weighing more; a refill that was not written down ends a stretch instead of counting as negative use. Where the
 * run time of its feeder is known since the last reading, from litres for each minute of run and the minutes of the last
 * days: so a hot week shows before anybody reads the level.
 * @param drum levels in litres, oldest first
 * @param run the run time of the one feeder that draws on it; null when not known
 * @returns null when nothing tells a use: no level, one without run time, or all within half a day
 * Common practice, no source.
 */
export function drumForecast(drum: DrumFacts, nowMs: number, run: RunTime | null = null): DrumForecast | null {
  return (run && byRunTime(drum, nowMs, run)) ?? byLevels(drum, nowMs)
}

function byLevels(drum: DrumFacts, nowMs: number): DrumForecast | null {
  const last = drum.levels[drum.levels.length - 1]
  const stretches = stretchesOf(drum, nowMs)
  if (!last || stretches.length === 0) return null
  const typical = quantile(stretches, 0.5)
  // one stretch tells no spread, and a few alike tell too little of one
  const least = stretches.length === 1 ? 0.3 : 0.1
  const low = Math.min(quantile(stretches, 0.25), typical * (1 - least))
  const high = Math.max(quantile(stretches, 0.75), typical * (1 + least))
  const elapsedDays = Math.max(0, nowMs - last.atMs) / DAY_MS
  const left = (lPerDay: number) => (lPerDay > 0 ? Math.max(0, last.levelL / lPerDay - elapsedDays) : null)
  return {
    levelL: Math.max(0, last.levelL - typical * elapsedDays),
    lastLevelL: last.levelL,
    lastLevelAtMs: last.atMs,
    useLPerDay: { low, typical, high },
    daysLeft: { low: left(high), typical: left(typical), high: left(low) },
    from: 'levels',
  }
}

const RUN_DAYS = 7
const FEWEST_RUN_DAYS = 3
/** What is run beyond this many times the usual tells of a feeder that does not deliver, not of use. */
const MOST_TIMES = 2

function byRunTime(drum: DrumFacts, nowMs: number, run: RunTime): DrumForecast | null {
  const last = drum.levels[drum.levels.length - 1]
  const draw = drawOf(drawnStretches(drum, run))
  if (!last || !draw || draw.typical <= 0) return null
  const minutes = dailyMinutes(run, nowMs)
  if (minutes.length < FEWEST_RUN_DAYS) return null
  const usual = quantileOf(minutes, 0.5)
  const drawnMin = drawnSince(run, last.atMs, nowMs, usual)
  if (drawnMin === null) return null
  const perDay = {
    low: Math.min(quantileOf(minutes, 0.25), 0.95 * usual) * draw.low,
    typical: usual * draw.typical,
    high: Math.max(quantileOf(minutes, 0.75), 1.05 * usual) * draw.high,
  }
  const levelL = (litresPerMin: number) => Math.max(0, last.levelL - litresPerMin * drawnMin)
  const left = (level: number, lPerDay: number) => (lPerDay > 0 ? level / lPerDay : null)
  return {
    levelL: levelL(draw.typical),
    lastLevelL: last.levelL,
    lastLevelAtMs: last.atMs,
    useLPerDay: perDay,
    daysLeft: {
      low: left(levelL(draw.high), perDay.high),
      typical: left(levelL(draw.typical), perDay.typical),
      high: left(levelL(draw.low), perDay.low),
    },
    from: 'runTime',
  }
}

/** Minutes of run in each of the last days. */
function dailyMinutes(run: RunTime, nowMs: number): number[] {
  const days: number[] = []
  for (let day = 0; day < RUN_DAYS; day++) {
    const minutes = run(nowMs - (day + 1) * DAY_MS, nowMs - day * DAY_MS)
    if (minutes !== null) days.push(minutes)
  }
  return days
}

/** Minutes run since a reading, as far as they may have drawn from the drum; null where they were not heard. */
export function drawnSince(run: RunTime, fromMs: number, nowMs: number, usualMinPerDay: number): number | null {
  if (nowMs <= fromMs) return 0
  const minutes = run(fromMs, nowMs)
  if (minutes === null) return null
  return Math.min(minutes, (MOST_TIMES * usualMinPerDay * (nowMs - fromMs)) / DAY_MS)
}

/** What to bring for a drum, and by when. */
export interface SupplyPlan {
  /** Litres that fill it up at the next round: least, likely, most. */
  fillL: { low: number; typical: number; high: number }
  /** `sure`: even with its fastest use it lasts to the next round; `unsure`: with its usual use only; `no`: not. */
  lasts: 'sure' | 'unsure' | 'no' | 'unknown'
  /** When it must be there at the latest: a day of its fastest use is left then; null when nothing is used. */
  latestMs: number | null
}

const RESERVE_DAYS = 1

/** @param nextRoundMs when the next technician comes, ms */
export function supplyPlan(drum: DrumFacts, forecast: DrumForecast, nowMs: number, nextRoundMs: number): SupplyPlan {
  const days = Math.max(0, nextRoundMs - nowMs) / DAY_MS
  const { useLPerDay, daysLeft, levelL } = forecast
  const fill = (lPerDay: number) => drum.capacityL - Math.max(0, levelL - lPerDay * days)
  const lasts =
    daysLeft.typical === null
      ? 'unknown'
      : (daysLeft.low ?? 0) >= days
        ? 'sure'
        : daysLeft.typical >= days
          ? 'unsure'
          : 'no'
  return {
    fillL: { low: fill(useLPerDay.low), typical: fill(useLPerDay.typical), high: fill(useLPerDay.high) },
    lasts,
    latestMs: daysLeft.low === null ? null : Math.max(nowMs, nowMs + (daysLeft.low - RESERVE_DAYS) * DAY_MS),
  }
}

function stretchesOf(drum: DrumFacts, nowMs: number): Stretch[] {
  const stretches: Stretch[] = []
  let used = 0
  let from: DrumLevel | undefined
  let before: DrumLevel | undefined
  for (const level of drum.levels) {
    if (before && from) {
      const step = before.levelL - (level.levelL - level.deliveredL)
      if (step < -STICK_SHARE * drum.capacityL) {
        used = 0
        from = level
      } else {
        used += Math.max(0, step)
        const elapsed = level.atMs - from.atMs
        if (elapsed >= SHORTEST_MS) {
          const fading = 2 ** (-Math.max(0, nowMs - level.atMs) / HALF_LIFE_MS)
          stretches.push({ lPerDay: (used / elapsed) * DAY_MS, weight: elapsed * fading })
          used = 0
          from = level
        }
      }
    } else {
      from = level
    }
    before = level
  }
  return stretches.sort((a, b) => a.lPerDay - b.lPerDay)
}

/** The use below which a share of the weight lies. */
function quantile(sorted: readonly Stretch[], share: number): number {
  let wanted = share * sorted.reduce((sum, { weight }) => sum + weight, 0)
  for (const { lPerDay, weight } of sorted) {
    wanted -= weight
    if (wanted <= 0) return lPerDay
  }
  return sorted[sorted.length - 1]?.lPerDay ?? 0
}

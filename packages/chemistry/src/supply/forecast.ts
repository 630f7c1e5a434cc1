import { quantileOf } from '../feed/history.ts'
import type { DrumFacts, DrumLevel } from '../snapshot.ts'
import { DAY_MS } from '../time.ts'
import { fallsOf, fellBetween, roseUnnoted, stickL } from './falls.ts'
import { fading, spreadOf, timesOf, type UseRange } from './spread.ts'
import { type DrawnStretch, drawnStretches, drawOf, type RunTime } from './use.ts'

/** A drum's use and how long it will last, as a range: low and high are the slower and faster quarter of the days seen. */
export interface DrumForecast {
  /** Level now, carried on from the last reading with its use, litres; never below 0. */
  levelL: number
  lastLevelL: number
  lastLevelAtMs: number
  useLPerDay: UseRange
  /** Days until it is empty, how well its level was read counted in; `high` and `typical` are null when nothing is used. */
  daysLeft: { low: number | null; typical: number | null; high: number | null }
  /** What the use was taken from: the run of its feeder since the last reading, or only the readings. */
  from: 'runTime' | 'levels'
  /** Litres for an hour of run and minutes of run a day; null where the use was taken from the levels. */
  run: { litresPerHour: UseRange; minutesPerDay: UseRange } | null
  /**
   * The last reading does not follow from the one before: `rose` with nothing noted as filled in, or `fell` far more than
   * ever. Then the range reaches as far as either would have it.
   */
  doubt: 'rose' | 'fell' | null
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

const LEAST_BY_LEVELS = { alone: 0.3, among: 0.1 }

function byLevels(drum: DrumFacts, nowMs: number): DrumForecast | null {
  const use = spreadOf(
    fallsOf(drum).map(({ fromMs, toMs, fallL }) => ({
      value: (fallL / (toMs - fromMs)) * DAY_MS,
      weight: (toMs - fromMs) * fading(nowMs - toMs),
    })),
    LEAST_BY_LEVELS,
  )
  const last = drum.levels[drum.levels.length - 1]
  if (!last || !use) return null
  const days = (fromMs: number, toMs: number) => Math.max(0, toMs - fromMs) / DAY_MS
  return forecastOf(drum, last, use, nowMs, {
    drawn: (fromMs, toMs, perDay) => perDay * days(fromMs, toMs),
    rates: use,
    run: null,
  })
}

const RUN_DAYS = 7
const FEWEST_RUN_DAYS = 3
/** What is run beyond this many times the usual tells of a feeder that does not deliver, not of use. */
const MOST_TIMES = 2

function byRunTime(drum: DrumFacts, nowMs: number, run: RunTime): DrumForecast | null {
  const last = drum.levels[drum.levels.length - 1]
  const stretches = drawnStretches(drum, run)
  const draw = drawOf(stretches, nowMs)
  if (!last || !draw || draw.typical <= 0) return null
  // as long as it ran while the drum is known to have fallen: a pump that has moved nothing for a week sets no habit
  const mostMin = MOST_TIMES * usualRun(stretches)
  const minutes = dailyMinutes(run, nowMs).map((ran) => Math.min(ran, mostMin))
  if (minutes.length < FEWEST_RUN_DAYS) return null
  // of whole weeks the mean: weekends count for what they are
  const usual = minutes.reduce((sum, ran) => sum + ran, 0) / minutes.length
  if (nowMs > last.atMs && run(last.atMs, nowMs) === null) return null
  const perDay = {
    low: Math.min(quantileOf(minutes, 0.25), 0.95 * usual),
    typical: usual,
    high: Math.max(quantileOf(minutes, 0.75), 1.05 * usual),
  }
  const use = {
    low: perDay.low * draw.low,
    typical: perDay.typical * draw.typical,
    high: perDay.high * draw.high,
  }
  return forecastOf(drum, last, use, nowMs, {
    drawn: (fromMs, toMs, rate) => rate * (drawnSince(run, fromMs, toMs, mostMin / MOST_TIMES) ?? 0),
    rates: draw,
    run: { litresPerHour: timesOf(draw, 60), minutesPerDay: perDay },
  })
}

const usualRun = (stretches: readonly DrawnStretch[]) =>
  quantileOf(
    stretches.map(({ fromMs, toMs, runMin }) => (runMin * DAY_MS) / (toMs - fromMs)),
    0.5,
  )

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

/** How much goes out of the drum: by the day, or by the minute of run. */
interface Drawn {
  drawn: (fromMs: number, toMs: number, rate: number) => number
  rates: UseRange
  run: DrumForecast['run']
}

function forecastOf(
  drum: DrumFacts,
  last: DrumLevel,
  use: UseRange,
  nowMs: number,
  { drawn, rates, run }: Drawn,
): DrumForecast {
  const before = drum.levels[drum.levels.length - 2]
  const due = before && before.levelL + last.deliveredL - drawn(before.atMs, last.atMs, rates.typical)
  const doubt = before && due !== undefined ? doubtOf(drum, before, last, due) : null
  const either = doubt && due !== undefined ? Math.min(drum.capacityL, Math.max(0, due)) : last.levelL
  const now = (levelL: number, rate: number) => Math.max(0, levelL - drawn(last.atMs, nowMs, rate))
  const left = (levelL: number, lPerDay: number) => (lPerDay > 0 ? levelL / lPerDay : null)
  const levelL = now(last.levelL, rates.typical)
  const least = Math.min(last.levelL, either) - stickL(drum)
  const most = Math.min(drum.capacityL, Math.max(last.levelL, either) + stickL(drum))
  return {
    levelL,
    lastLevelL: last.levelL,
    lastLevelAtMs: last.atMs,
    useLPerDay: use,
    daysLeft: {
      low: faded(drum, left(now(least, rates.high), use.high)),
      typical: left(levelL, use.typical),
      high: left(now(most, rates.low), use.low),
    },
    from: run ? 'runTime' : 'levels',
    run,
    doubt,
  }
}

/** Hypochlorite in a warm drum loses about so much of its strength a day; published figures differ ten-fold. From memory. */
const FADES_PER_DAY = 0.01
/** What grows weaker is used faster: so many days are left of those at today's use, where it fades. */
function faded({ content }: DrumFacts, days: number | null): number | null {
  return days === null || content !== 'sodiumHypochlorite' ? days : Math.log1p(FADES_PER_DAY * days) / FADES_PER_DAY
}

/** A reading may stand so far below what is due before it is doubted, as a part of the drum and times what should have gone. */
const FAR_SHARE = 0.1
const FAR_TIMES = 3

/** @param dueL what the last reading should have found by the use */
function doubtOf(drum: DrumFacts, before: DrumLevel, last: DrumLevel, dueL: number): DrumForecast['doubt'] {
  if (roseUnnoted(drum, before, last)) return 'rose'
  const should = before.levelL + last.deliveredL - dueL
  const isFar = dueL - last.levelL > FAR_SHARE * drum.capacityL && fellBetween(before, last) > FAR_TIMES * should
  return isFar ? 'fell' : null
}

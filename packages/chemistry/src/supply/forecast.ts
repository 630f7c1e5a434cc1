import type { DrumFacts, DrumLevel } from '../snapshot.ts'
import { DAY_MS, HOUR_MS } from '../time.ts'

/** A drum's use and how long it will last, as a range: low and high are the slower and faster quarter of the days seen. */
export interface DrumForecast {
  /** Level now, carried on from the last reading with the typical use, litres; never below 0. */
  levelL: number
  lastLevelL: number
  lastLevelAtMs: number
  useLPerDay: { low: number; typical: number; high: number }
  /** Days until it is empty; `high` and `typical` are null when nothing is used. */
  daysLeft: { low: number | null; typical: number | null; high: number | null }
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
 * Days of chemical left in a drum, from the history of its levels. Robust: weighted quartiles of the use between readings,
 * later ones weighing more; a refill that was not written down ends a stretch instead of counting as negative use.
 * @param drum levels in litres, oldest first
 * @returns null when the levels do not tell a use: none, one, or all within half a day
 * Common practice, no source.
 */
export function drumForecast(drum: DrumFacts, nowMs: number): DrumForecast | null {
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

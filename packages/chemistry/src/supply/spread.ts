import { DAY_MS } from '../time.ts'

/** A number with its slower and its faster quarter. */
export interface UseRange {
  low: number
  typical: number
  high: number
}

export const timesOf = ({ low, typical, high }: UseRange, factor: number): UseRange => ({
  low: low * factor,
  typical: typical * factor,
  high: high * factor,
})

export interface Weighted {
  value: number
  weight: number
}

// short enough to follow a season, long enough that no single stretch between weekly visits decides
const HALF_LIFE_MS = 10 * DAY_MS
/** How much what is that old counts beside what is new. */
export const fading = (ageMs: number) => 2 ** (-Math.max(0, ageMs) / HALF_LIFE_MS)

/**
 * Weighted median and quartiles, and never narrower than `alone` for a single value or `among` for several, as a part of
 * the median: one tells no spread, and a few alike tell too little of one. Null of nothing.
 */
export function spreadOf(values: readonly Weighted[], least: { alone: number; among: number }): UseRange | null {
  if (values.length === 0) return null
  const sorted = [...values].sort((a, b) => a.value - b.value)
  const typical = quantile(sorted, 0.5)
  const part = values.length === 1 ? least.alone : least.among
  return {
    low: Math.min(quantile(sorted, 0.25), typical * (1 - part)),
    typical,
    high: Math.max(quantile(sorted, 0.75), typical * (1 + part)),
  }
}

/** The value below which a share of the weight lies. */
function quantile(sorted: readonly Weighted[], share: number): number {
  let wanted = share * sorted.reduce((sum, { weight }) => sum + weight, 0)
  for (const { value, weight } of sorted) {
    wanted -= weight
    if (wanted <= 0) return value
  }
  return sorted[sorted.length - 1]?.value ?? 0
}

// The hourly roll-up as plainly as it can be said: from all samples of one body at once, hour by hour.
import type { Quantity } from '../../../packages/chemistry/src/index.ts'

export interface PlainSample {
  atMs: number
  values: Partial<Record<Quantity, number>>
}
export type PlainHour = Record<string, number | null> & { hourMs: number }

const HOUR = 3_600_000
const SPREADS = ['ph', 'orpMv', 'freeChlorineMgL', 'tempC', 'flowLMin'] as const
const SET_POINTS = ['phSetPoint', 'orpSetPointMv'] as const

/** @param samples each time once */
export function plainHours(samples: readonly PlainSample[]): PlainHour[] {
  const hours = new Map<number, PlainSample[]>()
  for (const sample of [...samples].sort((a, b) => a.atMs - b.atMs)) {
    const hour = Math.floor(sample.atMs / HOUR) * HOUR
    hours.set(hour, [...(hours.get(hour) ?? []), sample])
  }
  return [...hours].map(([hourMs, own]) => plainHour(hourMs, own)).sort((a, b) => a.hourMs - b.hourMs)
}

function plainHour(hourMs: number, own: readonly PlainSample[]): PlainHour {
  const timed = own.map(({ atMs, values }, index) => {
    const until = Math.min(own[index + 1]?.atMs ?? Number.POSITIVE_INFINITY, hourMs + HOUR, atMs + 15 * 60_000)
    return { v: values, minutes: (until - atMs) / 60_000 }
  })
  const sum = (of: (one: (typeof timed)[number]) => number | null) => {
    const parts = timed.map(of).filter((part) => part !== null)
    return parts.length ? parts.reduce((a, b) => a + b, 0) : null
  }
  const hour: PlainHour = { hourMs, samples: own.length, coveredMin: sum(({ minutes }) => minutes) }
  for (const key of SPREADS) {
    const known = timed.flatMap(({ v, minutes }) => (v[key] === undefined ? [] : [{ value: v[key], minutes }]))
    const weight = known.reduce((total, { minutes }) => total + minutes, 0)
    hour[`${key}Min`] = known.length ? Math.min(...known.map(({ value }) => value)) : null
    hour[`${key}Max`] = known.length ? Math.max(...known.map(({ value }) => value)) : null
    hour[`${key}Mean`] = known.length
      ? known.reduce((total, { value, minutes }) => total + value * minutes, 0) / weight
      : null
  }
  for (const key of SET_POINTS) hour[key] = own.findLast(({ values }) => values[key] !== undefined)?.values[key] ?? null
  const fed = (pct: number | undefined, minutes: number) => (pct === undefined ? null : (pct / 100) * minutes)
  hour.sanitizerFeedMin = sum(({ v, minutes }) => fed(v.sanitizerFeedPct, minutes))
  hour.backupFeedMin = sum(({ v, minutes }) => fed(v.backupFeedPct, minutes))
  hour.phFeedMin = sum(({ v, minutes }) => fed(v.phFeedPct, minutes))
  hour.noFlowMin = sum(({ v, minutes }) => (v.flowOn === undefined ? null : v.flowOn === 0 ? minutes : 0))
  hour.feedWithoutFlowMin = sum(({ v, minutes }) => {
    const feeds = [v.sanitizerFeedPct, v.backupFeedPct, v.phFeedPct].filter((pct) => pct !== undefined)
    if (v.flowOn === undefined || feeds.length === 0) return null
    return v.flowOn === 0 ? (Math.max(...feeds) / 100) * minutes : 0
  })
  hour.bothFeedsMin = sum(({ v, minutes }) => {
    const sanitizers = [v.sanitizerFeedPct, v.backupFeedPct].filter((pct) => pct !== undefined)
    if (v.phFeedPct === undefined || sanitizers.length === 0) return null
    return (Math.max(0, v.phFeedPct + Math.max(...sanitizers) - 100) / 100) * minutes
  })
  hour.sanitizerSamples = sum(({ v }) => {
    const sanitizers = [v.sanitizerFeedPct, v.backupFeedPct].filter((pct) => pct !== undefined)
    return sanitizers.length === 0 ? null : Number(Math.max(...sanitizers) > 0)
  })
  hour.phSamples = sum(({ v }) => (v.phFeedPct === undefined ? null : Number(v.phFeedPct > 0)))
  hour.bothSamples = sum(({ v }) => {
    const sanitizers = [v.sanitizerFeedPct, v.backupFeedPct].filter((pct) => pct !== undefined)
    if (v.phFeedPct === undefined || sanitizers.length === 0) return null
    return v.phFeedPct > 0 && Math.max(...sanitizers) > 0 ? 1 : 0
  })
  return hour
}

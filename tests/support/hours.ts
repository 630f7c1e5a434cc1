import type { HourRecord, LatestSample, Spread } from '@sightglass/chemistry'

const HOUR = 3_600_000
const MINUTE = 60_000
const SPEAKS_MIN = 15

/** The hourly roll-up as the database makes it (`sample_hour`): a sample counts until the next one of its hour, at most 15 minutes, never past the hour. */
export function hoursOf(samples: readonly LatestSample[]): HourRecord[] {
  const hours: HourRecord[] = []
  for (let from = 0; from < samples.length; ) {
    const hourMs = hourOf(samples[from] as LatestSample)
    let to = from + 1
    while (to < samples.length && hourOf(samples[to] as LatestSample) === hourMs) to++
    hours.push(rollUp(hourMs, samples.slice(from, to)))
    from = to
  }
  return hours
}

const hourOf = ({ atMs }: LatestSample) => Math.floor(atMs / HOUR) * HOUR

/** One hour from its samples, oldest first. */
export function rollUp(hourMs: number, samples: readonly LatestSample[]): HourRecord {
  const minutes = samples.map(({ atMs }, at) => {
    const next = samples[at + 1]?.atMs ?? hourMs + HOUR
    return Math.min(SPEAKS_MIN, (next - atMs) / MINUTE)
  })
  const sum = (of: (sample: LatestSample) => number | null) => {
    let [total, known] = [0, false]
    samples.forEach((sample, at) => {
      const value = of(sample)
      if (value === null) return
      known = true
      total += value * (minutes[at] as number)
    })
    return known ? total : null
  }
  const spread = (of: (sample: LatestSample) => number | null): Spread | null => {
    let [min, max, total, covered] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY, 0, 0]
    samples.forEach((sample, at) => {
      const value = of(sample)
      if (value === null) return
      min = Math.min(min, value)
      max = Math.max(max, value)
      total += value * (minutes[at] as number)
      covered += minutes[at] as number
    })
    return covered > 0 ? { min, mean: total / covered, max } : null
  }
  const last = (of: (sample: LatestSample) => number | null) =>
    samples.reduce<number | null>((newest, sample) => of(sample) ?? newest, null)
  return {
    hourMs,
    samples: samples.length,
    coveredMin: minutes.reduce((total, value) => total + value, 0),
    ph: spread(({ ph }) => ph),
    orpMv: spread(({ orpMv }) => orpMv),
    freeChlorineMgL: spread(({ freeChlorineMgL }) => freeChlorineMgL),
    tempC: spread(({ tempC }) => tempC),
    flowLMin: spread(({ flowLMin }) => flowLMin),
    phSetPoint: last(({ phSetPoint }) => phSetPoint),
    orpSetPointMv: last(({ orpSetPointMv }) => orpSetPointMv),
    sanitizerFeedMin: sum(({ sanitizerFeedPct }) => hundredth(sanitizerFeedPct)),
    backupFeedMin: sum(({ backupFeedPct }) => hundredth(backupFeedPct)),
    phFeedMin: sum(({ phFeedPct }) => hundredth(phFeedPct)),
    noFlowMin: sum(({ flowOn }) => (flowOn === null ? null : flowOn ? 0 : 1)),
    feedWithoutFlowMin: sum(({ flowOn, sanitizerFeedPct, backupFeedPct, phFeedPct }) => {
      const any = greatest(sanitizerFeedPct, backupFeedPct, phFeedPct)
      if (any === null || flowOn === null) return null
      return flowOn ? 0 : any / 100
    }),
    bothFeedsMin: sum(({ sanitizerFeedPct, backupFeedPct, phFeedPct }) => {
      const sanitizers = greatest(sanitizerFeedPct, backupFeedPct)
      return phFeedPct === null || sanitizers === null ? null : Math.max(0, phFeedPct + sanitizers - 100) / 100
    }),
    sanitizerSamples: counted(samples, ({ sanitizerFeedPct, backupFeedPct }) => {
      const sanitizers = greatest(sanitizerFeedPct, backupFeedPct)
      return sanitizers === null ? null : sanitizers > 0
    }),
    phSamples: counted(samples, ({ phFeedPct }) => (phFeedPct === null ? null : phFeedPct > 0)),
    bothSamples: counted(samples, ({ sanitizerFeedPct, backupFeedPct, phFeedPct }) => {
      const sanitizers = greatest(sanitizerFeedPct, backupFeedPct)
      return phFeedPct === null || sanitizers === null ? null : phFeedPct > 0 && sanitizers > 0
    }),
  }
}

/** Samples for which it holds; null where it is known of none. */
function counted(samples: readonly LatestSample[], holds: (sample: LatestSample) => boolean | null): number | null {
  const known = samples.map(holds).filter((one) => one !== null)
  return known.length > 0 ? known.filter((one) => one).length : null
}

const hundredth = (pct: number | null) => (pct === null ? null : pct / 100)
const greatest = (...values: (number | null)[]) => {
  const known = values.filter((value) => value !== null)
  return known.length > 0 ? Math.max(...known) : null
}

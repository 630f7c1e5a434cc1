import type { Finding, Phrase } from '../finding.ts'
import { aheadMin, type Facts, meterStood } from '../findings/facts.ts'
import { finding, quantified, say, shown } from '../findings/make.ts'
import { noFeedWithoutFlow } from '../profiles/citations.ts'
import type { HourRecord, LatestSample } from '../snapshot.ts'
import { DAY_MS, HOUR_MS, MINUTE_MS } from '../time.ts'
import { recentOf } from './record.ts'

/** One five-minute sample can catch a flow switch that lags its pump; more than one is real. Common practice, no source. */
const ONE_SAMPLE_MIN = 5
/** For so long a sample speaks, as in the roll-up. */
const SPEAKS_MS = 15 * MINUTE_MS

interface FedHour {
  hourMs: number
  minutes: number
}

/** Feed in a sample without flow whose sample before had none either: no switch lags that long. By the hour. */
function fedInSamples(facts: Facts): FedHour[] {
  const recent = recentOf(facts)
  const hours = new Map<number, number>()
  for (let at = recent.length - 1; at > 0; at--) {
    const sample = recent[at] as LatestSample
    const before = recent[at - 1] as LatestSample
    if (sample.atMs <= facts.nowMs - DAY_MS) break
    if (sample.flowOn !== false || before.flowOn !== false || sample.atMs - before.atMs > SPEAKS_MS) continue
    const feedPct = Math.max(sample.sanitizerFeedPct ?? 0, sample.backupFeedPct ?? 0, sample.phFeedPct ?? 0)
    if (feedPct <= 0) continue
    const hourMs = Math.floor(sample.atMs / HOUR_MS) * HOUR_MS
    const minutes = ((sample.atMs - before.atMs) / MINUTE_MS) * (feedPct / 100)
    hours.set(hourMs, (hours.get(hourMs) ?? 0) + minutes)
  }
  return [...hours].map(([hourMs, minutes]) => ({ hourMs, minutes })).sort((a, b) => a.hourMs - b.hourMs)
}

/** Hours in which chemical was fed without flow, where hours on end come to more than a switch that lags. */
function fedStanding(facts: Facts): FedHour[] {
  const runs: FedHour[][] = []
  for (const hour of facts.hours) {
    const minutes = fedStandingMin(facts, hour)
    if (minutes <= 0) continue
    const run = runs[runs.length - 1]
    const before = run?.[run.length - 1]
    if (run && before && hour.hourMs - before.hourMs <= HOUR_MS) run.push({ hourMs: hour.hourMs, minutes })
    else runs.push([{ hourMs: hour.hourMs, minutes }])
  }
  const proven = runs.filter((run) => sumOf(run) > ONE_SAMPLE_MIN).flat()
  return proven.length > 0 ? proven : fedInSamples(facts)
}

const sumOf = (hours: readonly FedHour[]) => hours.reduce((sum, { minutes }) => sum + minutes, 0)

/** Minutes of feed without flow in an hour, by the switch, or by a meter that stood all the hour; the newest sample counts for one only. */
function fedStandingMin(facts: Facts, hour: HourRecord): number {
  const { body, latest } = facts
  if (hour.feedWithoutFlowMin === null) {
    if (hour.noFlowMin !== null || !meterStood(hour, body)) return 0
    return Math.max(hour.sanitizerFeedMin ?? 0, hour.backupFeedMin ?? 0, hour.phFeedMin ?? 0)
  }
  if (latest?.flowOn !== false) return hour.feedWithoutFlowMin
  const feedPct = Math.max(latest.sanitizerFeedPct ?? 0, latest.backupFeedPct ?? 0, latest.phFeedPct ?? 0)
  const notYet = (Math.max(0, aheadMin(hour, facts) - ONE_SAMPLE_MIN) * feedPct) / 100
  return Math.max(0, hour.feedWithoutFlowMin - notYet)
}

const FED_SENTENCE = {
  off: 'Chemical was fed for {0} while nothing flowed: it may lie in the pipe. Get bathers out before flow returns.',
  unknown:
    'Chemical was fed for {0} while nothing flowed, and nobody knows whether it flows now: it may lie in the pipe. Get bathers out.',
  on: 'Chemical was fed for {0} while nothing flowed, and flow has returned: it comes out at the inlets. Get bathers out now.',
  since: 'Chemical was fed for {0} while nothing flowed; flow has returned since.',
} as const

/** Chemical piles up in the pipe and comes out at once when flow returns. */
export function feedWithoutFlow(facts: Facts): Finding[] {
  const hours = fedStanding(facts)
  const newest = hours[hours.length - 1]
  if (!newest) return []
  const minutes = sumOf(hours)
  const now = facts.flow === 'on' && facts.nowMs - newest.hourMs > SURGE_MS ? 'since' : facts.flow
  facts.changesAt(newest.hourMs + SURGE_MS + 1)
  for (const { hourMs } of hours) facts.changesAt(hourMs + DAY_MS)
  return [
    finding({
      kind: 'feedWithoutFlow',
      severity: now === 'since' ? 'act' : 'close',
      sentence: say(FED_SENTENCE[now], quantified(minutes, 'min')),
      value: quantified(minutes, 'min'),
      limit: { side: 'max', value: 0, unit: 'min', citation: noFeedWithoutFlow },
      sinceMs: (hours[0] as FedHour).hourMs,
      evidence: hours.map((hour) =>
        shown('Fed without flow in the hour', hour.minutes, 'min', hour.hourMs, 'controller'),
      ),
      advice: [
        ...FED_ADVICE[now],
        say('Mend the interlock before feeding goes back to automatic: no feeder may run without flow.'),
      ],
      cautions: [
        ...(now === 'off' || now === 'unknown' ? (['clearBathersBeforeFlow'] as const) : []),
        'ventilateAndLeave',
        'localCodeFirst',
        'retestBeforeBathers',
      ],
    }),
  ]
}
// the hour itself, and one more in which what came out spreads; common practice, no source
const SURGE_MS = 2 * HOUR_MS

const STANDS = [
  say('Stop all feeds by hand. Clear all bathers before flow returns, and keep them out for a turnover after.'),
  say('Then restore flow, wait, and test sanitizer and pH at the inlets and in the pool.'),
]
const FED_ADVICE: Record<keyof typeof FED_SENTENCE, Phrase[]> = {
  off: STANDS,
  unknown: STANDS,
  on: [
    say('Stop all feeds by hand. Get all bathers out, and keep them out for a turnover.'),
    say('Then test sanitizer and pH at the inlets and in the pool.'),
  ],
  since: [say('Stop all feeds by hand, and test sanitizer and pH at the inlets and in the pool.')],
}

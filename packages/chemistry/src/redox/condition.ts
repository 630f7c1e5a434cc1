import type { EvidenceLine, Phrase } from '../finding.ts'
import { quantified, say, shown } from '../findings/make.ts'
import type { HourRecord } from '../measured.ts'
import { DAY_MS, HOUR_MS } from '../time.ts'
import { lastDays, standsStill, told } from './hours.ts'
import { median } from './numbers.ts'
import { PLAUSIBLE_ORP_MV } from './observations.ts'
import { LEAST_SANITIZER_MGL } from './theory.ts'
import type { ProbeCondition, ProbeState, RedoxModel, RedoxRecord } from './types.ts'

/** All judgement; common practice, no source. */
const IMPOSSIBLE_HOURS = 2
const STUCK_MV = 1
/** Up and down within an hour by more than water can. */
const NOISY_MV = 40
const NOISY_TIMES = 4
const NOISY_HOURS = 12
/** Feed that stands out: this much, and this many times the usual. */
const BURST_MIN = 20
const BURST_TIMES = 2.5
const RECENT_DAYS = 7
const BEFORE_DAYS = 35
const LEAST_BURSTS = 3
const FLAT_MV = 2
const ANSWERED_MV = 8
const SLOW_MORE = 0.4
/** A test that shows this many times what ORP says: chlorine came, and ORP did not answer. */
const CAME_TIMES = 1.3
const TEST_KEEPS_MS = 3 * DAY_MS

/** What the hourly record tells of the ORP probe by itself, the worst first. */
export function probeCondition(record: RedoxRecord, model: RedoxModel, nowMs: number): ProbeCondition {
  const hours = lastDays(record.hours, nowMs, BEFORE_DAYS).filter(told)
  const recent = hours.filter(({ hourMs }) => hourMs > nowMs - DAY_MS)
  if (recent.length < IMPOSSIBLE_HOURS) return emptyUnderOrp(record, nowMs) ?? condition('unknown', null, [], [])
  return (
    impossible(recent) ??
    stuck(hours) ??
    noisy(hours, recent, nowMs) ??
    emptyUnderOrp(record, nowMs) ??
    unresponsive(record, model, hours, nowMs) ??
    condition('well', null, [], [])
  )
}

const condition = (
  state: ProbeState,
  sinceMs: number | null,
  reasons: readonly Phrase[],
  evidence: readonly EvidenceLine[],
): ProbeCondition => ({ state, sinceMs, reasons, evidence })

/** Tests in a row that found hardly any sanitizer while ORP stood at its set point: whatever it shows, it is not sanitizer. */
function emptyUnderOrp({ pairs, setPoints, hours, oxidant }: RedoxRecord, nowMs: number): ProbeCondition | null {
  const tested = pairs.filter(
    ({ atMs, test, orp }) =>
      atMs <= nowMs && atMs > nowMs - TEST_KEEPS_MS && test.sanitizerMgL !== null && orp !== null,
  )
  const set =
    setPoints.findLast(({ atMs }) => atMs <= nowMs)?.orpMv ??
    hours.findLast(({ hourMs, orpSetPointMv }) => hourMs <= nowMs && orpSetPointMv !== null)?.orpSetPointMv
  const last = tested[tested.length - 1]
  const from = tested.findLastIndex(
    ({ test, orp }) =>
      (test.sanitizerMgL ?? 0) >= LEAST_SANITIZER_MGL[oxidant] ||
      set == null ||
      set - (orp?.value ?? 0) > AT_SET_POINT_MV,
  )
  const run = tested.slice(from + 1)
  if (!last?.orp || run.length < LEAST_EMPTY) return null
  return condition(
    'flat',
    run[0]?.atMs ?? last.atMs,
    [
      say(
        '{0} tests in a row found hardly any sanitizer, at last {1}, while ORP stood at {2}: it does not answer the water.',
        quantified(run.length, 'count'),
        quantified(last.test.sanitizerMgL ?? 0, 'mg/L'),
        quantified(last.orp.value, 'mV'),
      ),
    ],
    [
      shown('Last test', last.test.sanitizerMgL ?? 0, 'mg/L', last.atMs, 'test'),
      shown('ORP at the last test', last.orp.value, 'mV', last.atMs, 'controller'),
    ],
  )
}
const LEAST_EMPTY = 2
const AT_SET_POINT_MV = 60

function impossible(recent: readonly HourRecord[]): ProbeCondition | null {
  const [least, most] = PLAUSIBLE_ORP_MV
  const run = trailing(recent, ({ orpMv }) => orpMv !== null && (orpMv.mean <= least || orpMv.mean >= most))
  const first = run[0]
  const last = run[run.length - 1]
  if (!first || !last?.orpMv || run.length < IMPOSSIBLE_HOURS) return null
  return condition(
    'impossible',
    first.hourMs,
    [
      say(
        'The ORP probe shows {0} with flow: no kept water does. A dry cell, a broken cable, or a dead probe.',
        quantified(last.orpMv.mean, 'mV'),
      ),
    ],
    [shown('ORP, mean of the hour', last.orpMv.mean, 'mV', last.hourMs, 'controller')],
  )
}

/** The newest hours for which something holds without a break. */
function trailing(hours: readonly HourRecord[], holds: (hour: HourRecord) => boolean): readonly HourRecord[] {
  let from = hours.length
  while (from > 0 && holds(hours[from - 1] as HourRecord)) from--
  return hours.slice(from)
}

function stuck(hours: readonly HourRecord[]): ProbeCondition | null {
  const still = standsStill(hours, ({ orpMv }) => orpMv, STUCK_MV, feedMin)
  if (!still) return null
  return condition(
    'stuck',
    still.sinceMs,
    [
      say(
        'ORP has stood at {0} for {1} hours without moving while sanitizer was fed for {2}: look whether the controller holds its reading, and at probe and cable.',
        quantified(still.at, 'mV'),
        quantified(still.hours, 'count'),
        quantified(still.fedMin, 'min'),
      ),
    ],
    [
      shown('ORP', still.at, 'mV', still.sinceMs, 'controller'),
      shown('Sanitizer feed meanwhile', still.fedMin, 'min', null, 'controller'),
    ],
  )
}

const feedMin = ({ sanitizerFeedMin, backupFeedMin }: HourRecord) => (sanitizerFeedMin ?? 0) + (backupFeedMin ?? 0)
const swing = ({ orpMv }: HourRecord) => (orpMv ? orpMv.max - orpMv.min : 0)

function noisy(hours: readonly HourRecord[], recent: readonly HourRecord[], nowMs: number): ProbeCondition | null {
  const now = recent.filter(({ hourMs }) => hourMs >= nowMs - NOISY_HOURS * HOUR_MS)
  const before = hours.filter(({ hourMs }) => hourMs < nowMs - 2 * DAY_MS)
  if (now.length < NOISY_HOURS / 2) return null
  const swings = median(now.map(swing))
  const usual = before.length >= DAY_HOURS ? median(before.map(swing)) : null
  if (swings < NOISY_MV || (usual !== null && swings < NOISY_TIMES * usual)) return null
  return condition(
    'noisy',
    now[0]?.hourMs ?? null,
    [
      say(
        'ORP swings by {0} within the hour: more than water can. Look at cable, plugs and grounding, and for air in the flow cell.',
        quantified(swings, 'mV'),
      ),
    ],
    [
      shown('ORP swing within the hour', swings, 'mV', nowMs, 'controller'),
      ...(usual === null ? [] : [shown('ORP swing, usually', usual, 'mV', null, 'controller' as const)]),
    ],
  )
}
const DAY_HOURS = 24

/** A stretch of feed that stands out, and what ORP did. */
interface Burst {
  atMs: number
  riseMv: number
  /** Part of the rise that came when the feed was over, 0–1. */
  late: number
}

/** Less answer to the feed than this body used to give. In steady control the feed's ripple drowns in the noise: only feed that
 * stands out tells, so that most weeks tell nothing. */
function unresponsive(
  record: RedoxRecord,
  model: RedoxModel,
  hours: readonly HourRecord[],
  nowMs: number,
): ProbeCondition | null {
  const bursts = burstsOf(hours)
  const since = nowMs - RECENT_DAYS * DAY_MS
  const now = bursts.filter(({ atMs }) => atMs > since)
  const before = bursts.filter(({ atMs }) => atMs <= since)
  if (now.length < LEAST_BURSTS || before.length < LEAST_BURSTS) return null
  const [rise, used] = [median(now.map(({ riseMv }) => riseMv)), median(before.map(({ riseMv }) => riseMv))]
  const evidence = [
    shown('ORP rise after strong feed', rise, 'mV', nowMs, 'controller'),
    shown('ORP rise after strong feed, before', used, 'mV', null, 'controller'),
  ]
  if (used >= ANSWERED_MV && rise <= FLAT_MV && chlorineCame(record, model, nowMs)) {
    return condition(
      'flat',
      now[0]?.atMs ?? null,
      [
        say(
          'ORP no longer answers the feed: it rose {0} after strong feed where it used to rise {1}, and the test kit shows that the sanitizer came. Clean the probe, and replace it if that does not help.',
          quantified(rise, 'mV'),
          quantified(used, 'mV'),
        ),
      ],
      evidence,
    )
  }
  const [late, lateBefore] = [median(now.map((burst) => burst.late)), median(before.map((burst) => burst.late))]
  if (rise < ANSWERED_MV || used < ANSWERED_MV || late - lateBefore < SLOW_MORE) return null
  return condition(
    'slow',
    now[0]?.atMs ?? null,
    [
      say(
        'ORP answers late: {0} of its rise comes when the feed is over, where it was {1}. A foul probe, or too little flow through the cell.',
        quantified(late * 100, '%'),
        quantified(lateBefore * 100, '%'),
      ),
    ],
    evidence,
  )
}

function burstsOf(hours: readonly HourRecord[]): Burst[] {
  if (hours.length === 0) return []
  const strong = Math.max(BURST_MIN, BURST_TIMES * median(hours.map(feedMin)))
  const bursts: Burst[] = []
  for (let from = 1; from < hours.length; from++) {
    if (feedMin(hours[from] as HourRecord) < strong) continue
    let to = from
    while (to + 1 < hours.length && feedMin(hours[to + 1] as HourRecord) >= strong) to++
    const [before, last, later] = [hours[from - 1], hours[to], hours[to + AFTER_HOURS]]
    const unbroken = before && later && later.hourMs - before.hourMs === (to - from + 1 + AFTER_HOURS) * HOUR_MS
    if (unbroken && before.orpMv && last?.orpMv && later.orpMv) {
      const riseMv = later.orpMv.mean - before.orpMv.mean
      const late = riseMv > 0 ? Math.max(0, Math.min(1, (later.orpMv.mean - last.orpMv.mean) / riseMv)) : 0
      bursts.push({ atMs: (hours[from] as HourRecord).hourMs, riseMv, late })
    }
    from = to
  }
  return bursts
}
const AFTER_HOURS = 2

function chlorineCame(record: RedoxRecord, model: RedoxModel, nowMs: number): boolean {
  const newest = record.pairs.findLast(({ atMs }) => atMs <= nowMs && atMs > nowMs - TEST_KEEPS_MS)
  const point = model.points.findLast(({ atMs }) => atMs === newest?.atMs)
  if (!point) return false
  const decades = (point.expectedMv - point.orpMv) / model.slopeMv.value
  return decades >= Math.log10(CAME_TIMES)
}

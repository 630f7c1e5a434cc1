import type { EvidenceLine, Phrase } from '../finding.ts'
import { quantified, say, shown } from '../findings/make.ts'
import type { HourRecord } from '../measured.ts'
import { DAY_MS, HOUR_MS } from '../time.ts'
import { lastDays, standsStill } from './hours.ts'
import { fitLevel, type Series, squaredApart, tailWeight, traceLevel } from './level.ts'
import { median } from './numbers.ts'
import type { Interval, NewestPh, PhProbeAgreement, RedoxPair, RedoxRecord, Shown, SlopeSign } from './types.ts'
import { PH_STARTS_ANEW, workBetween } from './work.ts'

/** Display and test kit may part by this much before anyone calibrates. Common practice, no source. */
export const PH_APART = 0.2
/** Calibrations that report less of theory's slope ask for a new probe. Common practice, no source. */
const LEAST_SLOPE_PCT = 85
/** A display that follows less than this share of what the water does has lost its slope. Judgement. */
const LEAST_FOLLOWED = 0.6
/** Tests in which the water’s pH stood away from the usual. */
const LEAST_MOVED = 5
/** So many calibrations in so many days, and apart again. Judgement. */
const CALIBRATED_TOO_OFTEN = 3
const OFTEN_MS = 60 * DAY_MS
/** So many tests in a row make sure. Judgement. */
const SURE_TESTS = 3

/** Errors of a pH test and the wandering of a probe. Judgement; common practice, no source. */
const TEST_SD = 0.06
const WANDER_PER_DAY = 0.012
const OFFSET_SD = 0.2
const ANEW_SD = 0.3
const TOUCHED_SD = 0.05
const MONTH_DAYS = 30
const LEAST_FOR_TREND_MS = 10 * DAY_MS
const Z_90 = 1.645

/** How far the display stood from a test of pH: only what lies outside all that it showed then speaks against the probe,
 * because the water moved too. */
export function phApart(testedPh: number, { value, spread }: Shown): { shownPh: number; apart: number } {
  const shownPh = spread ? Math.min(Math.max(testedPh, spread.min), spread.max) : value
  return { shownPh, apart: Math.abs(shownPh - testedPh) }
}

/** Parted further than is tolerated; a hair more, because 7.4 + 0.2 is not 7.6 in binary. */
export const isPhApart = (apart: number): boolean => apart > PH_APART + 1e-9

interface PhPair {
  atMs: number
  testedPh: number
  shown: Shown
}

/** The pH probe against the test kit: its offset since it was last calibrated, where that goes, and whether its slope is gone. */
export function phProbeAgreement(record: RedoxRecord, nowMs: number): PhProbeAgreement {
  const pairs = record.pairs.filter(({ atMs }) => atMs <= nowMs).flatMap((pair) => phPair(pair) ?? [])
  const newest = pairs[pairs.length - 1]
  const slope = slopeGone(record, pairs, nowMs)
  const anewMs =
    record.work.findLast(({ kind, atMs }) => PH_STARTS_ANEW.includes(kind) && atMs <= nowMs)?.atMs ??
    Number.NEGATIVE_INFINITY
  const since = pairs.filter(({ atMs }) => atMs > anewMs)
  if (!newest || since.length === 0) return nothingToTell(slope, newest === undefined)
  const offset = offsetOf(record, since, nowMs)
  const { state, reasons } = verdictOf(newest, since, offset.now, slope, Number.isFinite(anewMs) ? anewMs : null)
  return {
    state,
    slopeSign: slope?.sign ?? null,
    newest: newestOf(newest),
    offsetPh: offset.now,
    trendPhPerMonth: offset.trend,
    calibrateByMs: state === 'agrees' ? passesAt(offset, nowMs) : null,
    pairsUsed: since.length,
    reasons: [...reasons, LEAVE_SET_POINT],
    evidence: evidenceOf(newest, offset.now, nowMs),
  }
}

/** The rule of the trade, in every word about the pH probe. */
export const LEAVE_SET_POINT = say('Leave the pH set point alone: when pH and test kit part, the probe is calibrated.')

/** A sign that the slope is gone, in words. */
interface Gone {
  sign: SlopeSign
  why: Phrase
}

function nothingToTell(slope: Gone | null, never: boolean): PhProbeAgreement {
  return {
    state: slope ? 'slopeGone' : 'unknown',
    slopeSign: slope?.sign ?? null,
    newest: null,
    offsetPh: null,
    trendPhPerMonth: null,
    calibrateByMs: null,
    pairsUsed: 0,
    reasons: [
      ...(slope ? [slope.why] : []),
      never
        ? say('pH was never tested while the controller showed it.')
        : say('Not tested since it was calibrated: test pH, and write down what the display shows.'),
    ],
    evidence: [],
  }
}

function phPair({ atMs, test, ph }: RedoxPair): PhPair | null {
  const tested = test.ph
  if (!ph || !tested || Math.abs(tested.atMs - atMs) > HOUR_MS) return null
  return { atMs, testedPh: tested.value, shown: ph }
}

const newestOf = ({ atMs, testedPh, shown }: PhPair): NewestPh => ({
  testedPh,
  testedAtMs: atMs,
  ...phApart(testedPh, shown),
})
const gapOf = ({ testedPh, shown: { value } }: PhPair) => value - testedPh

/** One test of pH beside what the controller showed. */
export interface PhGap {
  atMs: number
  testedPh: number
  shownPh: number
  /** Shown less tested. */
  apart: number
}

/** Every test that the probe can be held against, oldest first. */
export const phGaps = ({ pairs }: RedoxRecord, nowMs: number): PhGap[] =>
  pairs
    .filter(({ atMs }) => atMs <= nowMs)
    .flatMap((pair) => phPair(pair) ?? [])
    .map((pair) => ({ atMs: pair.atMs, testedPh: pair.testedPh, shownPh: pair.shown.value, apart: gapOf(pair) }))

/** Offset now and its trend: a wandering level under the gaps, one wild test counting little. */
function offsetOf(
  record: RedoxRecord,
  pairs: readonly PhPair[],
  nowMs: number,
): { now: Interval; trend: Interval | null } {
  const first = pairs[0] as PhPair
  const last = pairs[pairs.length - 1] as PhPair
  const months = Float64Array.from(pairs, ({ atMs }) => (atMs - last.atMs) / DAY_MS / MONTH_DAYS)
  const long = pairs.length >= 4 && last.atMs - first.atMs >= LEAST_FOR_TREND_MS
  const series = seriesOf(record, pairs, long ? [months] : [])
  const prior = { level: 0, levelVariance: OFFSET_SD ** 2, mean: [0], variance: [0.2 ** 2] }
  const plain = Float64Array.from(series.variance)
  const fit = () => fitLevel(series, WANDER_PER_DAY, prior)
  for (let turn = 0; turn < 3; turn++) {
    const trace = traceLevel(fit())
    for (let i = 0; i < pairs.length; i++) {
      const full = plain[i] as number
      series.variance[i] = full / tailWeight(squaredApart(trace, i, series.variance[i] as number, full))
    }
  }
  const done = fit()
  const later = WANDER_PER_DAY ** 2 * ((nowMs - last.atMs) / DAY_MS)
  const value = done.last.level - (long ? (done.last.columns[0] as number) * (done.beta[0] as number) : 0)
  const own = done.last.variance + later
  const byTrend = long ? (done.last.columns[0] as number) ** 2 * (done.covariance[0] as number) : 0
  return {
    now: interval(value, own + byTrend),
    trend: long ? interval(done.beta[0] as number, done.covariance[0] as number) : null,
  }
}

const interval = (value: number, variance: number): Interval => {
  const width = Z_90 * Math.sqrt(variance)
  return { value, low: value - width, high: value + width }
}

function seriesOf({ work }: RedoxRecord, pairs: readonly PhPair[], columns: Float64Array[]): Series {
  return {
    days: Float64Array.from(pairs, ({ atMs }) => atMs / DAY_MS),
    value: Float64Array.from(pairs, gapOf),
    columns,
    variance: Float64Array.from(
      pairs,
      ({ shown: { spread } }) => TEST_SD ** 2 + (spread ? (spread.max - spread.min) / 4 : 0) ** 2,
    ),
    jump: Float64Array.from(pairs, ({ atMs }, i) => {
      const before = pairs[i - 1]
      const done = before ? workBetween(work, before.atMs, atMs) : []
      if (done.some(({ kind }) => PH_STARTS_ANEW.includes(kind))) return ANEW_SD ** 2
      return done.some(({ kind }) => kind === 'phProbeCleaned') ? TOUCHED_SD ** 2 : 0
    }),
    fading: new Float64Array(pairs.length).fill(1),
    blur: new Float64Array(pairs.length),
  }
}

function verdictOf(
  newest: PhPair,
  pairs: readonly PhPair[],
  offset: Interval,
  slope: Gone | null,
  anewMs: number | null,
): Pick<PhProbeAgreement, 'state' | 'reasons'> {
  if (slope) return { state: 'slopeGone', reasons: [slope.why] }
  const { shownPh, apart } = phApart(newest.testedPh, newest.shown)
  const told = say(
    'The controller showed pH {0} when the test kit showed {1}.',
    quantified(shownPh, 'pH'),
    quantified(newest.testedPh, 'pH'),
  )
  const alike = trailingApart(pairs)
  const level = Math.sign(gapOf(newest)) * offset.value
  if (alike >= SURE_TESTS || (alike === SURE_TESTS - 1 && level > PH_APART / 2)) {
    return {
      state: 'calibrate',
      reasons: [
        told,
        alike === pairs.length && anewMs !== null
          ? say('It has parted since it was calibrated: calibrate it again, and against a test that was made twice.')
          : say('The tests before said the same: clean and calibrate the pH probe.'),
      ],
    }
  }
  if (isPhApart(apart)) {
    return {
      state: 'retest',
      reasons: [told, say('One test alone says so: repeat it with fresh reagents from a sample at the flow cell.')],
    }
  }
  if (isPhApart(Math.abs(offset.value)) && Math.min(Math.abs(offset.low), Math.abs(offset.high)) > PH_APART / 2) {
    return {
      state: 'calibrate',
      reasons: [
        say(
          offset.value > 0
            ? 'By {0} tests the display stands {1} over the test kit: clean and calibrate the pH probe.'
            : 'By {0} tests the display stands {1} under the test kit: clean and calibrate the pH probe.',
          quantified(pairs.length, 'count'),
          quantified(Math.abs(offset.value), 'pH'),
        ),
      ],
    }
  }
  return {
    state: 'agrees',
    reasons: [say('Display and test kit agree within {0}.', quantified(PH_APART, 'pH'))],
  }
}

/** How many of the newest tests, one after the other, say that it is apart to the same side. */
function trailingApart(pairs: readonly PhPair[]): number {
  const way = Math.sign(gapOf(pairs[pairs.length - 1] as PhPair))
  const agreeing = pairs.findLastIndex(
    (pair) => !isPhApart(phApart(pair.testedPh, pair.shown).apart) || Math.sign(gapOf(pair)) !== way,
  )
  return pairs.length - 1 - agreeing
}

/** Signs of a slope that is gone: what a calibration reported, calibrations that do not last, a display that hardly follows. */
function slopeGone(record: RedoxRecord, pairs: readonly PhPair[], nowMs: number): Gone | null {
  const replacedMs =
    record.work.findLast(({ kind, atMs }) => kind === 'phProbeReplaced' && atMs <= nowMs)?.atMs ??
    Number.NEGATIVE_INFINITY
  const own = record.work.filter(({ atMs }) => atMs > replacedMs && atMs <= nowMs)
  const calibrations = own.filter(({ kind }) => kind === 'phCalibrated')
  const reported = calibrations.findLast(({ slopePct }) => slopePct != null)?.slopePct
  if (reported != null && reported < LEAST_SLOPE_PCT) {
    return gone(
      'calibration',
      'The last calibration found a slope of {0}, under {1}: replace the pH probe.',
      quantified(reported, '%'),
      quantified(LEAST_SLOPE_PCT, '%'),
    )
  }
  const mine = pairs.filter(({ atMs }) => atMs > replacedMs)
  const newest = mine[mine.length - 1]
  const often = calibrations.filter(({ atMs }) => atMs > nowMs - OFTEN_MS)
  const last = often[often.length - 1]
  const since = mine.filter(({ atMs }) => last && atMs > last.atMs)
  // a calibration against a wrong test parts at once; what parts in the days after it is the probe
  const held = since[0] && !isPhApart(phApart(since[0].testedPh, since[0].shown).apart)
  if (newest && held && often.length >= CALIBRATED_TOO_OFTEN && trailingApart(since) >= SURE_TESTS - 1) {
    return gone(
      'never lasts',
      'Calibrated {0} times in two months, and apart again by {1}: replace the pH probe.',
      quantified(often.length, 'count'),
      quantified(Math.abs(gapOf(newest)), 'pH'),
    )
  }
  const still = standingStill(record.hours, nowMs)
  if (still) {
    return gone(
      'stands still',
      'The display has stood at pH {0} for {1} hours without moving while pH was fed for {2}: look whether the controller holds its reading, and at probe and cable.',
      quantified(still.at, 'pH'),
      quantified(still.hours, 'count'),
      quantified(still.fedMin, 'min'),
    )
  }
  const followed = followedShare(record, mine)
  return followed && followed.high < LEAST_FOLLOWED
    ? gone(
        'hardly follows',
        'When the water’s pH moves, the display moves only {0} of it: the probe’s slope is gone. Replace it.',
        quantified(followed.value * 100, '%'),
      )
    : null
}

const gone = (sign: SlopeSign, text: string, ...quantities: Phrase['quantities']): Gone => ({
  sign,
  why: say(text, ...quantities),
})

function standingStill(hours: readonly HourRecord[], nowMs: number) {
  return standsStill(
    lastDays(hours, nowMs, STILL_DAYS),
    ({ ph }) => ph,
    STILL_PH,
    ({ phFeedMin }) => phFeedMin ?? 0,
  )
}
const STILL_DAYS = 14
const STILL_PH = 0.005

/** How much of a change of the tested pH the display shows; null when pH hardly changed. */
function followedShare(record: RedoxRecord, all: readonly PhPair[]): Interval | null {
  const usual = all.length > 0 ? median(all.map(({ testedPh }) => testedPh)) : 0
  const pairs = all.filter((pair, at) => !standsAlone(pair, [all[at - 1], all[at + 1]], usual))
  if (pairs.filter((pair) => awayFrom(pair, usual) !== 0).length < LEAST_MOVED) return null
  const series = seriesOf(record, pairs, [Float64Array.from(pairs, ({ testedPh }) => testedPh - 7)])
  const { beta, covariance, reliability } = fitLevel(
    {
      ...series,
      value: Float64Array.from(pairs, ({ shown: { value } }) => value - 7),
      blur: series.blur.fill(TEST_SD ** 2),
    },
    WANDER_PER_DAY,
    { level: 0, levelVariance: OFFSET_SD ** 2, mean: [1], variance: [0.3 ** 2] },
  )
  // where the test's own error is most of what varied, it tells of the kit and not of the probe
  return reliability < 0.7 ? null : interval(beta[0] as number, covariance[0] as number)
}

/** Which way a test stands away from the usual; 0 where it does not. */
const awayFrom = ({ testedPh }: PhPair, usual: number) =>
  Math.abs(testedPh - usual) >= PH_APART ? Math.sign(testedPh - usual) : 0

/** Water does not go and come back between the tests of a day: what stands away alone among them is a wrong test. */
function standsAlone(pair: PhPair, beside: readonly (PhPair | undefined)[], usual: number): boolean {
  const way = awayFrom(pair, usual)
  const near = beside.filter((one) => one !== undefined).filter(({ atMs }) => Math.abs(atMs - pair.atMs) <= DAY_MS)
  return way !== 0 && near.length > 0 && near.every((one) => awayFrom(one, usual) !== way)
}

/** When the offset reaches what is tolerated, if its trend is beyond doubt. */
function passesAt({ now, trend }: { now: Interval; trend: Interval | null }, nowMs: number): number | null {
  if (!trend || (trend.low <= 0 && trend.high >= 0)) return null
  const goal = Math.sign(trend.value) * PH_APART
  const months = (goal - now.value) / trend.value
  return months > 0 && months < 12 ? nowMs + months * MONTH_DAYS * DAY_MS : null
}

const evidenceOf = (newest: PhPair, offset: Interval, nowMs: number): EvidenceLine[] => [
  shown('pH by test kit', newest.testedPh, 'pH', newest.atMs, 'test'),
  shown('pH by controller', newest.shown.value, 'pH', newest.atMs, 'controller'),
  shown('Controller less test kit', offset.value, 'pH', nowMs, 'derived'),
]

import type { EvidenceLine, Phrase } from '../finding.ts'
import { quantified, say, shown } from '../findings/make.ts'
import { DAY_MS } from '../time.ts'
import { attribute, FACTOR_WORDS, offsetChange } from './attribution.ts'
import { probeCondition } from './condition.ts'
import { feedEffort } from './effort.ts'
import { Z_90 } from './fit.ts'
import { DOUBTED_WEIGHT } from './level.ts'
import { asTested } from './tested.ts'
import type {
  Attribution,
  DriftShape,
  FeedEffort,
  Interval,
  OffsetStep,
  ProbeWorkKind,
  RedoxDrift,
  RedoxModel,
  RedoxRecord,
} from './types.ts'
import { cyanuricUnknown, WATER_WORK } from './work.ts'

/** How far back the relation of now is compared. Judgement. */
const LOOKS_BACK_MS = 42 * DAY_MS
/** So far from what it meant a probe is worth a visit, and so many of its own standard deviations. Judgement. */
const ALARM_MV = 15
/** By a factor of 1.6 at the same ORP. */
const ALARM_DECADES = 0.2
const ALARM_BEYOND = 3
/** A slope worth a word, mV a week, and beyond doubt. Judgement. */
const SLOPE_MV_PER_WEEK = 2
const SLOPE_BEYOND = 3
/** A step explains a change when it is at least this part of it. */
const MOST_OF_IT = 0.6
const LEAST_PAIRS = 4

/** Whether ORP still means what it meant: how far, since when, how it came about, and what explains it. */
export function redoxDrift(record: RedoxRecord, model: RedoxModel, nowMs: number): RedoxDrift {
  const sinceMs = comparedFrom(record, model, nowMs)
  const residual = sinceMs === null ? null : offsetChange(model, sinceMs, nowMs)
  const steps = model.steps.filter(({ atMs }) => sinceMs !== null && atMs > sinceMs)
  const newest = model.points[model.points.length - 1]
  const change = sinceMs === null || !newest ? null : attribute(model, sinceMs, nowMs, newest.water.sanitizerMgL)
  const attribution = change && asTested(change, record)
  const shape = shapeOf(model, residual, steps)
  const effort = feedEffort(record, model, nowMs)
  const probe = probeCondition(record, model, nowMs)
  const alarm =
    residual !== null &&
    model.correlation !== 'none' &&
    !cyanuricUnknown(record, nowMs) &&
    isFar(residual, model) &&
    isFar(withoutWaterWork(residual, steps), model)
  return {
    shape,
    alarm,
    residualMv: residual,
    sinceMs,
    trendMvPerWeek: model.trend?.mvPerWeek ?? null,
    attribution,
    steps,
    effort,
    probe,
    reasons: [
      ...stepWords(steps),
      ...slopeWords(model, shape),
      ...attributionWords(attribution),
      ...effortWords(effort),
      ...probe.reasons,
    ],
    evidence: evidenceOf(residual, attribution, effort, sinceMs, nowMs),
  }
}

/** Work on the ORP probe or its controller begins anew: what it meant before was another probe's. */
const STARTS_ANEW: readonly ProbeWorkKind[] = ['orpProbeReplaced', 'controllerSwapped']

function comparedFrom(record: RedoxRecord, { points }: RedoxModel, nowMs: number): number | null {
  const anew = record.work.findLast(({ kind, atMs }) => atMs <= nowMs && STARTS_ANEW.includes(kind))
  const from = Math.max(nowMs - LOOKS_BACK_MS, anew ? anew.atMs + 1 : 0)
  const first = points.find(({ atMs, weight }) => atMs >= from && weight > DOUBTED_WEIGHT)
  const pairs = points.filter(({ atMs }) => first && atMs >= first.atMs).length
  return first && pairs >= LEAST_PAIRS ? first.atMs : null
}

/** Far in mV, far in what it makes of the sanitizer, and beyond doubt. */
function isFar({ value, low, high }: Interval, { slopeMv }: RedoxModel): boolean {
  const size = Math.abs(value)
  return size >= ALARM_MV && size >= ALARM_DECADES * slopeMv.value && size * Z_90 >= (ALARM_BEYOND * (high - low)) / 2
}

/** A step when water was replaced or stabilizer added tells of the water, not of the probe. */
function withoutWaterWork({ value, low, high }: Interval, steps: readonly OffsetStep[]): Interval {
  const water = steps.filter(({ work }) => work !== null && WATER_WORK.includes(work))
  const by = water.reduce((sum, { mv }) => sum + mv.value, 0)
  return { value: value - by, low: low - by, high: high - by }
}

function shapeOf(model: RedoxModel, residual: Interval | null, steps: readonly OffsetStep[]): DriftShape {
  if (!residual) return 'unknown'
  const stepped = steps.reduce((sum, { mv }) => sum + mv.value, 0)
  const greatest = Math.max(0, ...steps.map(({ mv }) => Math.abs(mv.value)))
  if (steps.length > 0 && (Math.abs(stepped) >= MOST_OF_IT * Math.abs(residual.value) || greatest >= ALARM_MV)) {
    return 'step'
  }
  return isSlope(model.trend?.mvPerWeek) ? 'slope' : 'none'
}

const isSlope = (trend: Interval | undefined) =>
  trend !== undefined &&
  Math.abs(trend.value) >= SLOPE_MV_PER_WEEK &&
  Math.abs(trend.value) * Z_90 >= (SLOPE_BEYOND * (trend.high - trend.low)) / 2

const WORK_WORDS: Record<ProbeWorkKind, string> = {
  orpProbeReplaced: 'when the ORP probe was replaced',
  orpProbeCleaned: 'when the ORP probe was cleaned',
  controllerSwapped: 'when the controller was swapped',
  flowCellServiced: 'when the flow cell was serviced',
  waterReplaced: 'when water was replaced',
  stabilizerAdded: 'when stabilizer was added',
  phProbeReplaced: 'when the pH probe was replaced',
  phProbeCleaned: 'when the pH probe was cleaned',
  phCalibrated: 'when the pH probe was calibrated',
}

const stepWords = (steps: readonly OffsetStep[]): Phrase[] =>
  steps.map(({ mv, work }) =>
    say(
      work
        ? `In the same water ORP went ${mv.value < 0 ? 'down' : 'up'} by {0} at once ${WORK_WORDS[work]}.`
        : `In the same water ORP went ${mv.value < 0 ? 'down' : 'up'} by {0} at once, and no work was written down: service or calibration that nobody logged, a knock, or a cable.`,
      quantified(Math.abs(mv.value), 'mV'),
    ),
  )

function slopeWords({ trend }: RedoxModel, shape: DriftShape): Phrase[] {
  if (shape !== 'slope' || !trend) return []
  const { value } = trend.mvPerWeek
  return [
    say(
      value < 0
        ? 'In the same water ORP falls by {0} a week: the probe fouls or ages. Clean it, and replace it if that does not help.'
        : 'In the same water ORP rises by {0} a week.',
      quantified(Math.abs(value), 'mV'),
    ),
  ]
}

function attributionWords(attribution: Attribution | null): Phrase[] {
  const part = attribution?.parts.find(({ factor }) => factor === attribution.main)
  return part ? [FACTOR_WORDS[part.factor](part)] : []
}

function effortWords(effort: FeedEffort | null): Phrase[] {
  if (!effort || effort.shape === 'none') return []
  const more = effort.ratio.value > 1
  return [
    say(
      more
        ? 'To hold the same ORP it now takes {0} of feed a day, where it took {1}. A test tells why: reads it high, the probe shows too little; is it at its target, the water asks for more or the feed brings less.'
        : 'To hold the same ORP it now takes {0} of feed a day, where it took {1}. A test tells why: reads it low, the probe shows too much; is it at its target, the water asks for less.',
      quantified(effort.nowMinPerDay, 'min'),
      quantified(effort.beforeMinPerDay, 'min'),
    ),
  ]
}

function evidenceOf(
  residual: Interval | null,
  attribution: Attribution | null,
  effort: FeedEffort | null,
  sinceMs: number | null,
  nowMs: number,
): EvidenceLine[] {
  const parts = attribution?.parts.filter(({ mv }) => Math.abs(mv.value) >= 1) ?? []
  return [
    ...(attribution
      ? [shown('ORP for one reading, change', attribution.totalMv.value, 'mV', sinceMs, 'derived')]
      : residual
        ? [shown('ORP in the same water, change', residual.value, 'mV', sinceMs, 'derived')]
        : []),
    ...parts.map(({ factor, mv }) => shown(PART_WORDS[factor], mv.value, 'mV', nowMs, 'derived')),
    ...(effort
      ? [
          shown('Feed a day for the same ORP', effort.nowMinPerDay, 'min', nowMs, 'controller'),
          shown('Feed a day, before', effort.beforeMinPerDay, 'min', effort.sinceMs, 'controller'),
        ]
      : []),
  ]
}

const PART_WORDS = {
  stabilizer: 'of it by cyanuric acid',
  ph: 'of it by pH',
  temperature: 'of it by temperature',
  dissolvedSolids: 'of it by dissolved solids',
  unexplained: 'of it in the same water, by nothing that was tested',
} as const

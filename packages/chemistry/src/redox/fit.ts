import { DAY_MS } from '../time.ts'
import { type Form, formOf } from './form.ts'
import { historyOf, presentWater } from './history.ts'
import {
  fitLevel,
  forecastLikelihood,
  type LevelFit,
  type LevelTrace,
  type Prior,
  type Series,
  solve,
  squaredApart,
  tailWeight,
  traceLevel,
  withoutColumns,
} from './level.ts'
import { median } from './numbers.ts'
import { type Observation, observationsOf } from './observations.ts'
import { BELIEFS, logAcidOf, ORP_KNOWN_IN, rowOf } from './theory.ts'
import type {
  Correlation,
  Interval,
  OffsetStep,
  Oxidant,
  PairFit,
  ProbeWorkKind,
  RedoxModel,
  RedoxRecord,
  RedoxWater,
} from './types.ts'
import { ORP_MAY_STEP_MV, workBetween } from './work.ts'

/** 90 % of all values lie within so many standard deviations. */
export const Z_90 = 1.645

/** What a pair tells of the slope counts half after this; the offset forgets by wandering. Judgement. */
const SLOPE_HALF_LIFE_DAYS = 120

/** A step is believed from this many standard deviations on, when it is worth a word, and once it lasts. Judgement. */
const STEP_BEYOND = 4
const LEAST_STEP_MV = 5
const LASTS_DAYS = 0.5
/** A step that is believed leaves the level free to be anywhere. */
const STEP_SD_MV = 60
const MOST_CHANGES = 16

/** Standard deviations: of one pair, and of the wandering of the offset in a day. */
interface Scales {
  noise: number
  wander: number
}
const SCALES = ['noise', 'wander'] as const
/** Those tried, mV, and what is believed of each before. Judgement. */
const TRIED_MV: Record<keyof Scales, readonly number[]> = {
  noise: [0.7, 1, 1.5, 2.2, 3.3, 5, 7.5, 11, 16],
  wander: [0.1, 0.2, 0.4, 0.8, 1.6, 3.2],
}
const BELIEVED: Record<keyof Scales, { median: number; factor: number }> = {
  noise: { median: 1.5, factor: 2 },
  wander: { median: 0.8, factor: 2 },
}

/** With which ORP counts as following: of the slope's own standard deviations, and as partial correlation. Judgement. */
const FOLLOWS_BEYOND = 2.5
const FOLLOWS_CORRELATION = 0.4

/**
 * The relation between this body's ORP and the sanitizer really free, from its pairs and from theory: offset, slope, and what pH,
 * temperature and dissolved solids add. The offset wanders and is widened by work on the probe; slope and the rest belong to
 * the probe. One wild test counts little. With no pair it is theory, with an honest width.
 * @param record pairs of test kit and ORP, with the work done; @param nowMs ms since 1970 UTC: later pairs do not count
 */
export function fitRedox(record: RedoxRecord, nowMs: number): RedoxModel {
  const form = formOf(record)
  const history = historyOf(record, nowMs)
  const seen = observationsOf(record, history)
  const given = prepare(record, form, seen, nowMs)
  settle(given)
  const fit = fitLevel(given.series, given.wander, given.prior)
  const posterior = posteriorOf(given, fit, record, nowMs)
  const perMv = form.perMv(posterior.mean[1] as number)
  const told = (j: number, per: number) =>
    coefficient(posterior, j, per, form.held && seen.length > 1 ? SLOPES_UNSURE : 1)
  return {
    oxidant: record.oxidant,
    held: form.held,
    atMs: nowMs,
    correlation: correlationOf(given, fit),
    pairsUsed: seen.length,
    water: presentWater(history),
    slopeMv: form.slope(told(1, 1)),
    phMv: told(2, perMv),
    tempMv: told(3, perMv),
    solidsMv: told(4, perMv),
    noiseMv: given.noise / perMv,
    wanderMv: given.wander / perMv,
    points: pointsOf(given, fit, perMv),
    steps: stepsOf(given, record, fit, perMv),
    trend: trendOf(given, record, perMv),
    posterior,
  }
}

/**
 * The ORP to expect in a water, with the 90 % interval of the relation (a single reading parts by `noiseMv` more).
 * @param atMs when; later than the fit the offset may have wandered on
 */
export function expectedOrp(model: RedoxModel, water: RedoxWater, atMs = model.atMs): Interval {
  const { value, gradient } = expectation(model, water)
  const later = (model.wanderMv ** 2 * Math.max(0, atMs - model.atMs)) / DAY_MS
  const sd = Math.sqrt(Math.max(0, quadratic(gradient, model.posterior.covariance)) + later)
  return { value, low: value - Z_90 * sd, high: value + Z_90 * sd }
}

/** The ORP to expect, and how it changes with each part of the posterior. */
export function expectation(model: RedoxModel, water: RedoxWater): { value: number; gradient: number[] } {
  const { mean } = model.posterior
  const [first, ...rest] = rowOf(logAcidOf(model.oxidant, water), water, ORP_KNOWN_IN)
  return formOf(model).expect(first, rest, mean)
}

/** Σ row·matrix·row. */
export const quadratic = (row: readonly number[], matrix: readonly (readonly number[])[]): number =>
  row.reduce((sum, x, j) => sum + x * row.reduce((inner, y, l) => inner + y * (matrix[j]?.[l] as number), 0), 0)

interface Given extends Scales {
  form: Form
  oxidant: Oxidant
  seen: readonly Observation[]
  series: Series
  prior: Prior
  /** 0–1 for each pair. */
  weights: Float64Array
  /** Variance of the logged work before each pair. */
  worked: Float64Array
  /** Before which pairs a step is believed. */
  steps: Set<number>
  /** Variance of each pair, without its weight. */
  plain: Float64Array
}

function prepare(record: RedoxRecord, form: Form, seen: readonly Observation[], nowMs: number): Given {
  const beliefs = BELIEFS[record.oxidant]
  const rows = seen.map(({ logAcid, water }) => rowOf(logAcid, water, ORP_KNOWN_IN))
  const worked = Float64Array.from(seen, (pair, i) => {
    const before = seen[i - 1]
    return before ? variance(workBetween(record.work, before.atMs, pair.atMs)) : 0
  })
  const rest = [beliefs.ph, beliefs.temp, beliefs.solids]
  return {
    form,
    oxidant: record.oxidant,
    seen,
    series: {
      days: Float64Array.from(seen, ({ atMs }) => atMs / DAY_MS),
      value: Float64Array.from(seen, form.value),
      columns: [
        Float64Array.from(seen, form.column),
        ...[1, 2, 3].map((j) => Float64Array.from(rows, (row) => row[j] as number)),
      ],
      variance: new Float64Array(seen.length),
      jump: Float64Array.from(worked),
      fading: Float64Array.from(seen, ({ atMs }) => 2 ** (-(nowMs - atMs) / DAY_MS / SLOPE_HALF_LIFE_DAYS)),
      blur: new Float64Array(seen.length),
    },
    prior: {
      level: form.level.mean,
      levelVariance: form.level.sd ** 2,
      mean: [form.first.mean, ...rest.map(({ mean }) => mean)],
      variance: [form.first.sd ** 2, ...rest.map(({ sd }) => sd ** 2)],
    },
    noise: BELIEVED.noise.median,
    wander: BELIEVED.wander.median,
    weights: new Float64Array(seen.length).fill(1),
    worked,
    steps: new Set(),
    plain: new Float64Array(seen.length),
  }
}

const variance = (work: readonly { kind: keyof typeof ORP_MAY_STEP_MV }[]) =>
  work.reduce((sum, { kind }) => sum + ORP_MAY_STEP_MV[kind] ** 2, 0)

/** Finds noise, wandering, wild pairs and steps, in turns; leaves them in `given` ready to fit. */
function settle(given: Given): void {
  const { series, form } = given
  if (series.days.length === 0) return
  let first = form.first.mean
  for (let round = 0; round < 2; round++) {
    chooseScales(given, first)
    findChanges(given)
    first = bounded(fitLevel(series, given.wander, given.prior).beta[0] as number, form.range)
  }
  chooseScales(given, first)
  for (let turn = 0; turn < 2; turn++) weigh(given, fitLevel(series, given.wander, given.prior))
  keepSign(given)
}

const bounded = (value: number, [least, most]: readonly [number, number]) => Math.max(least, Math.min(most, value))

/** Variance of each pair: the noise found, the test kit's errors in mV, and what the samples wandered. */
function spread(given: Given, noise: number, first: number): void {
  const steep = given.form.steep(first)
  const [, perPh, perC] = given.prior.mean as [number, number, number, number]
  given.seen.forEach((pair, i) => {
    given.plain[i] =
      noise ** 2 +
      (given.form.perMv(first) * pair.wanderedMv) ** 2 +
      (steep * pair.logAcidSd) ** 2 +
      // more pH also means less acid: near half a decade for each pH without cyanuric acid
      ((Math.abs(perPh) + ACID_DECADES_PER_PH * steep) * pair.phSd) ** 2 +
      (perC * pair.tempSd) ** 2
    given.series.variance[i] = (given.plain[i] as number) / (given.weights[i] as number)
    given.series.blur[i] = given.form.blur(pair, noise, first)
  })
}
const ACID_DECADES_PER_PH = 0.4

/** The noise and the wandering under which the forecasts of each pair from those before it were likeliest. */
function chooseScales(given: Given, first: number): void {
  spread(given, given.noise, first)
  const { series, prior } = given
  const { beta } = fitLevel(series, given.wander, prior)
  const rest = { ...series, value: withoutColumns(series, beta) }
  const tell = (scales: Scales) => {
    spread(given, scales.noise, first)
    const likely = forecastLikelihood(rest, scales.wander, prior)
    return likely - believed(scales.noise, BELIEVED.noise) - believed(scales.wander, BELIEVED.wander)
  }
  for (let turn = 0; turn < 2; turn++) {
    for (const scale of SCALES) {
      given[scale] = likeliest(TRIED_MV[scale], given[scale], (value) => tell({ ...scalesOf(given), [scale]: value }))
    }
  }
  spread(given, given.noise, first)
}

const scalesOf = ({ noise, wander }: Scales): Scales => ({ noise, wander })

const believed = (value: number, { median, factor }: { median: number; factor: number }) =>
  0.5 * (Math.log(value / median) / Math.log(factor)) ** 2

/** Climbs from where it stands, step by step, as long as it gets likelier. */
function likeliest(tried: readonly number[], from: number, score: (value: number) => number): number {
  let best = Math.max(0, tried.indexOf(from))
  let most = score(tried[best] as number)
  for (const way of [1, -1]) {
    for (let next = best + way; next >= 0 && next < tried.length; next += way) {
      const reached = score(tried[next] as number)
      if (reached <= most) break
      most = reached
      best = next
    }
  }
  return tried[best] as number
}

/** Wild pairs and steps of the level, the clearest first, until none is clear. */
function findChanges(given: Given): void {
  const { series } = given
  for (let turn = 0; turn < MOST_CHANGES; turn++) {
    const trace = traceLevel(fitLevel(series, given.wander, given.prior))
    const wild = clearest(
      series.days.length,
      (i) => Math.abs(of(trace.apart, i)) / Math.sqrt(of(trace.apartVariance, i)),
    )
    const step = clearest(series.days.length, (i) => (mayStep(given, i) ? stepBeyond(trace, i) : 0))
    if (Math.max(wild.beyond, step.beyond) < STEP_BEYOND) return
    if (step.beyond >= wild.beyond) {
      given.steps.add(step.at)
      series.jump[step.at] = of(given.worked, step.at) + STEP_SD_MV ** 2
    } else {
      lighten(given, trace, wild.at)
    }
  }
}

const of = (values: Float64Array, index: number) => values[index] as number

function clearest(length: number, beyond: (i: number) => number): { at: number; beyond: number } {
  const best = { at: -1, beyond: 0 }
  for (let i = 0; i < length; i++) {
    const reached = beyond(i)
    if (reached > best.beyond) Object.assign(best, { at: i, beyond: reached })
  }
  return best
}

const stepBeyond = (trace: LevelTrace, i: number) =>
  Math.abs(of(trace.step, i)) >= LEAST_STEP_MV ? Math.abs(of(trace.step, i)) / Math.sqrt(of(trace.stepVariance, i)) : 0

/** One pair is no step: what lies after it must last, and so must what lies before. */
function mayStep({ series: { days }, steps }: Given, i: number): boolean {
  if (i < 2 || i > days.length - 2 || steps.has(i)) return false
  let from = 0
  let to = days.length
  for (const step of steps) {
    if (step < i) from = Math.max(from, step)
    else to = Math.min(to, step)
  }
  const lasts = (first: number, last: number) => last > first && of(days, last) - of(days, first) >= LASTS_DAYS
  return lasts(from, i - 1) && lasts(i, to - 1)
}

/** A pair's weight from how far it lies from what all others expect of it: Student's t. */
function lighten(given: Given, trace: LevelTrace, i: number): void {
  const squared = squaredApart(trace, i, of(given.series.variance, i), of(given.plain, i))
  given.weights[i] = tailWeight(squared)
  given.series.variance[i] = of(given.plain, i) / of(given.weights, i)
}

function weigh(given: Given, fit: LevelFit): void {
  const trace = traceLevel(fit)
  for (let i = 0; i < given.weights.length; i++) lighten(given, trace, i)
}

/** More acid never lowers ORP, nor does more pH raise it in chlorine: where noise says so, theory's sign holds. */
function keepSign({ prior, oxidant, form, series, wander }: Given): void {
  const beta = () => fitLevel(series, wander, prior).beta
  const hold = (j: number, value: number) => {
    prior.mean = prior.mean.map((mean, l) => (l === j ? value : mean))
    prior.variance = prior.variance.map((was, l) => (l === j ? HELD_VARIANCE : was))
  }
  const first = beta()[0] as number
  const [least, most] = form.range
  if (first < least || first > most) hold(0, first < least ? least : most)
  if (oxidant === 'chlorine' && (beta()[1] as number) > 0) hold(1, 0)
}
const HELD_VARIANCE = 1e-9

/** Whether the pairs alone, without theory's slope, show that ORP and acid go together. */
function correlationOf({ seen, prior, oxidant, form }: Given, fit: LevelFit): Correlation {
  if (seen.length < ENOUGH_TO_TELL) return 'assumed'
  if (form.held && usuallyMissed(fit) >= SCATTERED_DECADES * form.steep(0)) return 'none'
  const { beta, covariance } = solve(fit.information, fit.score, {
    mean: prior.mean,
    variance: prior.variance.map((was, j) => (j === 0 ? UNBELIEVED : was)),
  })
  const first = beta[0] as number
  const sd = Math.sqrt(covariance[0] as number)
  const beyond = first / sd / scatter(fit)
  const correlation = beyond / Math.sqrt(beyond * beyond + seen.length)
  if (beyond >= FOLLOWS_BEYOND && correlation >= FOLLOWS_CORRELATION && first >= form.range[0]) return 'usable'
  // theory carries chlorine until its pairs speak against it; the others have no theory to be carried by
  if (oxidant !== 'chlorine') return 'none'
  // an ORP that is held so well that little but its own error is left of it cannot speak against anything
  if (form.held && fit.reliability < TELLS_RELIABILITY) return 'assumed'
  return first + 2 * sd < form.range[0] ? 'none' : 'assumed'
}
/** How far the pairs really lie from their forecasts, in the standard deviations that they were taken to have, at least half of them:
 * whether ORP follows must not hang on an error of a display that was thought too large or too small. */
const scatter = ({ missed, missedVariance, beta }: LevelFit) => {
  const squares = missed.reduce((sum, away, i) => sum + away ** 2 / of(missedVariance, i), 0)
  return Math.max(LEAST_SCATTER, Math.sqrt(squares / (missed.length - beta.length)))
}
const LEAST_SCATTER = 0.5

/** Standard deviation by the middle of them all: what a wild test and a step hardly move. */
const usuallyMissed = ({ missed }: LevelFit) => median(Array.from(missed, Math.abs)) / HALF_WITHIN
/** Half of all values lie within ±0.674 standard deviations. */
const HALF_WITHIN = 0.674
const UNBELIEVED = 1e9
/** Pairs. Judgement. */
const ENOUGH_TO_TELL = 8
/** Part of the ORP's variation that must be more than its own error. Judgement. */
const TELLS_RELIABILITY = 0.7
/** Sanitizer that parts by this much at the same ORP, time after time: a factor of 1.6 each way. Judgement. */
const SCATTERED_DECADES = 0.2

/** Level, slope, pH, temperature, solids at `nowMs`, after wandering and work since the last pair. */
function posteriorOf({ seen, wander, prior }: Given, fit: LevelFit, record: RedoxRecord, nowMs: number) {
  const k = fit.beta.length
  const { level, columns, variance: certain } = fit.last
  const part = (j: number, l: number) => of(fit.covariance, j * k + l)
  const across = Array.from({ length: k }, (_, j) =>
    Array.from(columns).reduce((sum, column, l) => sum - column * part(l, j), 0),
  )
  const last = seen[seen.length - 1]
  const since = last
    ? (wander ** 2 * (nowMs - last.atMs)) / DAY_MS + variance(workBetween(record.work, last.atMs, nowMs + 1))
    : 0
  const own =
    (certain + since) * (seen.length > 1 ? SCALES_UNSURE : 1) -
    Array.from(columns).reduce((sum, column, l) => sum + column * (across[l] as number), 0)
  const offset = level - Array.from(columns).reduce((sum, column, l) => sum + column * of(fit.beta, l), 0)
  return {
    mean: [seen.length > 0 ? offset : prior.level, ...fit.beta],
    covariance: [
      [own, ...across],
      ...Array.from({ length: k }, (_, j) => [
        across[j] as number,
        ...Array.from({ length: k }, (__, l) => part(j, l)),
      ]),
    ],
  }
}
/** Noise and wandering are found from the same pairs and then taken as known, which makes the variance of the level too small by
 * about this: 90 % intervals held 0.80 to 0.87 of drawn bodies without it (tests/chemistry/redox/coverage.test.ts). */
const SCALES_UNSURE = 1.5

function coefficient(
  { mean, covariance }: RedoxModel['posterior'],
  j: number,
  perMv: number,
  unsure: number,
): Interval {
  const value = (mean[j] as number) / perMv
  const width = (Z_90 * Math.sqrt(unsure * (covariance[j]?.[j] as number))) / perMv
  return { value, low: value - width, high: value + width }
}
/** The same for slope, pH and the rest, where a controller holds the ORP. */
const SLOPES_UNSURE = 1.3

function pointsOf(given: Given, fit: LevelFit, perMv: number): PairFit[] {
  const trace = traceLevel(fit)
  return given.seen.map((pair, i) => {
    const others = Math.max(0, of(trace.apartVariance, i) - of(given.series.variance, i))
    return {
      atMs: pair.atMs,
      orpMv: pair.orpMv,
      water: pair.water,
      logAcid: pair.logAcid,
      expectedMv: pair.orpMv - of(trace.apart, i) / perMv,
      expectedSd: Math.sqrt(others + of(given.plain, i)) / perMv,
      weight: of(given.weights, i),
      offsetMv: of(trace.level, i) / perMv,
      offsetSd: Math.sqrt(of(trace.levelVariance, i)) / perMv,
    }
  })
}

/** Each step that still stands when it is taken away again, and each that logged work made. */
function stepsOf(given: Given, record: RedoxRecord, fit: LevelFit, perMv: number): OffsetStep[] {
  const { series, seen, worked, steps, wander, prior } = given
  const { level } = traceLevel(fit)
  const worth = (i: number) => of(worked, i) > 0 && Math.abs(of(level, i) - of(level, i - 1)) >= LEAST_STEP_MV / 2
  const places = seen.flatMap((_, i) => (steps.has(i) || worth(i) ? [i] : []))
  return places.flatMap((i) => {
    const jump = Float64Array.from(series.jump)
    jump[i] = 0
    const trace = traceLevel(fitLevel({ ...series, jump }, wander, prior))
    if (stepBeyond(trace, i) < STEP_BEYOND) return []
    const [before, after] = [seen[i - 1] as Observation, seen[i] as Observation]
    const value = of(trace.step, i) / perMv
    const width = (Z_90 * Math.sqrt(of(trace.stepVariance, i))) / perMv
    return [
      {
        atMs: after.atMs,
        afterMs: before.atMs,
        mv: { value, low: value - width, high: value + width },
        work: workBetween(record.work, before.atMs, after.atMs)[0]?.kind ?? null,
      },
    ]
  })
}

/** The trend is what goes on beyond wandering: one more regressor, the time since the last break. */
function trendOf(
  { series, seen, steps, wander, prior }: Given,
  record: RedoxRecord,
  perMv: number,
): RedoxModel['trend'] {
  const last = seen[seen.length - 1]
  if (!last) return null
  const replaced = record.work.findLast(({ kind, atMs }) => STARTS_ANEW.includes(kind) && atMs <= last.atMs)?.atMs ?? 0
  const stepped = seen[Math.max(0, ...steps)]?.atMs ?? 0
  const fromMs = Math.max(replaced, stepped, last.atMs - TREND_MOST_MS)
  const within = seen.filter(({ atMs }) => atMs >= fromMs).length
  if (within < TREND_LEAST_PAIRS || last.atMs - fromMs < TREND_LEAST_MS) return null
  const weeks = Float64Array.from(seen, ({ atMs }) => Math.max(0, atMs - fromMs) / (7 * DAY_MS))
  const { beta, covariance } = fitLevel({ ...series, columns: [...series.columns, weeks] }, wander, {
    ...prior,
    mean: [...prior.mean, 0],
    variance: [...prior.variance, TREND_BELIEF_SD ** 2],
  })
  const value = of(beta, 4) / perMv
  const width = (Z_90 * Math.sqrt(of(covariance, 24))) / perMv
  return { fromMs, mvPerWeek: { value, low: value - width, high: value + width } }
}
/** After these the probe, or what reads it, is another one. */
const STARTS_ANEW: readonly ProbeWorkKind[] = ['orpProbeReplaced', 'controllerSwapped']
/** Judgement. */
const TREND_MOST_MS = 60 * DAY_MS
const TREND_LEAST_MS = 14 * DAY_MS
const TREND_LEAST_PAIRS = 4
const TREND_BELIEF_SD = 10

import { DAY_MS } from '../time.ts'
import { fitLevel, type LevelFit, type LevelTrace, type Prior, type Series, solve, traceLevel } from './level.ts'
import { type Observation, observationsOf } from './observations.ts'
import { BELIEFS, type Belief, logAcidOf, ORP_KNOWN_IN, rowOf } from './theory.ts'
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
import { presentWater } from './water.ts'
import { ORP_MAY_STEP_MV, workBetween } from './work.ts'

/** Half of all values lie within ±0.674 standard deviations, 90 % within this. */
export const Z_90 = 1.645

/** What a pair tells of the slope counts half after this; the offset forgets by wandering. Judgement. */
const SLOPE_HALF_LIFE_DAYS = 120

/** Student's t with so many degrees: a test that lies far from all others counts little. Judgement. */
const TAIL = 4
/** A step is believed from this many standard deviations on, when it is worth a word, and once it lasts. Judgement. */
const STEP_BEYOND = 4
const LEAST_STEP_MV = 5
const LASTS_DAYS = 0.5
/** A step that is believed leaves the level free to be anywhere. */
const STEP_SD_MV = 60
const MOST_CHANGES = 16

/** Standard deviations tried for one pair (mV) and for the wandering of the offset in a day, with what is believed of each before. Judgement. */
const NOISES_MV = [0.7, 1, 1.5, 2.2, 3.3, 5, 7.5, 11, 16]
const WANDERS_MV = [0.1, 0.2, 0.4, 0.8, 1.6, 3.2]
const NOISE_BELIEF = { median: 4, factor: 2 }
const WANDER_BELIEF = { median: 0.7, factor: 2 }

/** The least slope with which a set point means anything, mV for ten times the acid. Judgement. */
const LEAST_SLOPE_MV = 8
/** With which ORP counts as following: of the slope's own standard deviations, and as partial correlation. Judgement. */
const FOLLOWS_BEYOND = 2.5
const FOLLOWS_CORRELATION = 0.3

/**
 * The relation between this body's ORP and the sanitizer really free, from its pairs and from theory: offset, slope, and what pH,
 * temperature and dissolved solids add. The offset wanders and is widened by work on the probe; slope and the rest belong to
 * the probe. One wild test counts little. With no pair it is theory, with an honest width.
 * @param record pairs of test kit and ORP, with the work done; @param nowMs ms since 1970 UTC: later pairs do not count
 */
export function fitRedox(record: RedoxRecord, nowMs: number): RedoxModel {
  const seen = observationsOf(record, nowMs)
  const given = prepare(record, seen, nowMs)
  settle(given)
  const fit = fitLevel(given.series, given.wander ** 2, given.prior)
  const posterior = posteriorOf(given, fit, record, nowMs)
  const model: RedoxModel = {
    oxidant: record.oxidant,
    atMs: nowMs,
    correlation: correlationOf(given, fit),
    pairsUsed: seen.length,
    offsetMv: NOTHING,
    reference: presentWater(record, nowMs) ?? DEFAULT_WATER,
    slopeMv: interval(posterior, 1),
    phMv: interval(posterior, 2),
    tempMv: interval(posterior, 3),
    solidsMv: interval(posterior, 4),
    noiseMv: given.noise,
    wanderMv: given.wander,
    points: pointsOf(given, fit),
    steps: stepsOf(given, record),
    trend: trendOf(given, record),
    posterior,
  }
  return { ...model, offsetMv: expectedOrp(model, model.reference) }
}

const NOTHING: Interval = { value: 0, low: 0, high: 0 }
const DEFAULT_WATER: RedoxWater = { sanitizerMgL: 2, ph: 7.5, cyanuricAcidMgL: 0, tempC: 27, tdsMgL: 1000 }

/**
 * The ORP to expect in a water, with the 90 % interval of the relation (a single reading parts by `noiseMv` more).
 * @param atMs when; later than the fit the offset may have wandered on
 */
export function expectedOrp(model: RedoxModel, water: RedoxWater, atMs = model.atMs): Interval {
  const row = [1, ...rowOf(logAcidOf(model.oxidant, water), water, ORP_KNOWN_IN)]
  const { mean, covariance } = model.posterior
  const value = row.reduce((sum, x, j) => sum + x * (mean[j] as number), 0)
  const later = (model.wanderMv ** 2 * Math.max(0, atMs - model.atMs)) / DAY_MS
  const sd = Math.sqrt(Math.max(0, quadratic(row, covariance)) + later)
  return { value, low: value - Z_90 * sd, high: value + Z_90 * sd }
}

/** Σ row·matrix·row. */
export const quadratic = (row: readonly number[], matrix: readonly (readonly number[])[]): number =>
  row.reduce((sum, x, j) => sum + x * row.reduce((inner, y, l) => inner + y * (matrix[j]?.[l] as number), 0), 0)

interface Given {
  oxidant: Oxidant
  seen: readonly Observation[]
  series: Series
  prior: Prior
  /** Standard deviations found. */
  noise: number
  wander: number
  /** 0–1 for each pair. */
  weights: Float64Array
  /** Variance of the logged work before each pair. */
  worked: Float64Array
  /** Before which pairs a step is believed. */
  steps: Set<number>
  /** Variance of each pair, without its weight. */
  plain: Float64Array
}

function prepare(record: RedoxRecord, seen: readonly Observation[], nowMs: number): Given {
  const beliefs = BELIEFS[record.oxidant]
  const coefficients: Belief[] = [beliefs.slope, beliefs.ph, beliefs.temp, beliefs.solids]
  const rows = seen.map(({ logAcid, water }) => rowOf(logAcid, water, ORP_KNOWN_IN))
  const worked = Float64Array.from(seen, (pair, i) => {
    const before = seen[i - 1]
    return before ? variance(workBetween(record.work, before.atMs, pair.atMs)) : 0
  })
  return {
    oxidant: record.oxidant,
    seen,
    series: {
      days: Float64Array.from(seen, ({ atMs }) => atMs / DAY_MS),
      value: Float64Array.from(seen, ({ orpMv }) => orpMv),
      columns: [0, 1, 2, 3].map((j) => Float64Array.from(rows, (row) => row[j] as number)),
      variance: new Float64Array(seen.length),
      jump: Float64Array.from(worked),
      fading: Float64Array.from(seen, ({ atMs }) => 2 ** (-(nowMs - atMs) / DAY_MS / SLOPE_HALF_LIFE_DAYS)),
      blur: Float64Array.from(seen, ({ logAcidSd }) => logAcidSd ** 2),
    },
    prior: {
      level: beliefs.offset.mean,
      levelVariance: beliefs.offset.sd ** 2,
      mean: coefficients.map(({ mean }) => mean),
      variance: coefficients.map(({ sd }) => sd ** 2),
    },
    noise: NOISE_BELIEF.median,
    wander: WANDER_BELIEF.median,
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
  const { series } = given
  if (series.days.length === 0) return
  const slope = () => Math.max(LEAST_SLOPE_MV, fitLevel(series, given.wander ** 2, given.prior).beta[0] as number)
  let steep = given.prior.mean[0] as number
  for (let round = 0; round < 2; round++) {
    chooseScales(given, steep)
    findChanges(given)
    steep = slope()
  }
  chooseScales(given, steep)
  for (let turn = 0; turn < 3; turn++) weigh(given, fitLevel(series, given.wander ** 2, given.prior))
  keepSign(given)
}

/** Variance of each pair: the noise found, the test kit's errors in mV, and what the samples wandered. */
function spread(given: Given, noise: number, steep: number): void {
  const [, perPh, perC] = given.prior.mean as [number, number, number, number]
  given.seen.forEach((pair, i) => {
    given.plain[i] =
      noise ** 2 +
      pair.wanderedMv ** 2 +
      (steep * pair.logAcidSd) ** 2 +
      // more pH also means less acid: near half a decade for each pH without cyanuric acid
      ((Math.abs(perPh) + ACID_DECADES_PER_PH * steep) * pair.phSd) ** 2 +
      (perC * pair.tempSd) ** 2
    given.series.variance[i] = (given.plain[i] as number) / (given.weights[i] as number)
  })
}
const ACID_DECADES_PER_PH = 0.4

/** The noise and the wandering under which the forecasts of each pair from those before it were likeliest. */
function chooseScales(given: Given, steep: number): void {
  const tell = (noise: number, wander: number) => {
    spread(given, noise, steep)
    return likelihood(given, wander) - believed(noise, NOISE_BELIEF) - believed(wander, WANDER_BELIEF)
  }
  for (let turn = 0; turn < 2; turn++) {
    given.noise = likeliest(NOISES_MV, (noise) => tell(noise, given.wander))
    given.wander = likeliest(WANDERS_MV, (wander) => tell(given.noise, wander))
  }
  spread(given, given.noise, steep)
}

const believed = (value: number, { median, factor }: { median: number; factor: number }) =>
  0.5 * (Math.log(value / median) / Math.log(factor)) ** 2

function likeliest(tried: readonly number[], score: (value: number) => number): number {
  let best = tried[0] as number
  let most = Number.NEGATIVE_INFINITY
  for (const value of tried) {
    const reached = score(value)
    if (reached > most) [most, best] = [reached, value]
  }
  return best
}

/** Of the forecasts, with long tails, so that a wild pair or a step does not pass for noise. */
function likelihood(given: Given, wander: number): number {
  const { innovation, innovationVariance } = fitLevel(given.series, wander ** 2, given.prior)
  let sum = 0
  for (let i = 0; i < innovation.length; i++) {
    const total = innovationVariance[i] as number
    const missed = innovation[i] as number
    sum -= 0.5 * Math.log(total) + 0.5 * (TAIL + 1) * Math.log1p((missed * missed) / (TAIL * total))
  }
  return sum
}

/** Wild pairs and steps of the level, the clearest first, until none is clear. */
function findChanges(given: Given): void {
  const { series } = given
  for (let turn = 0; turn < MOST_CHANGES; turn++) {
    const trace = traceLevel(series, fitLevel(series, given.wander ** 2, given.prior))
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
  const others = of(trace.apartVariance, i) - of(given.series.variance, i)
  const squared = of(trace.apart, i) ** 2 / (Math.max(0, others) + of(given.plain, i))
  given.weights[i] = Math.min(1, (TAIL + 1) / (TAIL + squared))
  given.series.variance[i] = of(given.plain, i) / of(given.weights, i)
}

function weigh(given: Given, fit: LevelFit): void {
  const trace = traceLevel(given.series, fit)
  for (let i = 0; i < given.weights.length; i++) lighten(given, trace, i)
}

/** More acid never lowers ORP, nor does more pH raise it in chlorine: where noise says so, theory's sign holds. */
function keepSign(given: Given): void {
  const { prior, oxidant } = given
  const beta = () => fitLevel(given.series, given.wander ** 2, prior).beta
  const hold = (j: number, value: number) => {
    prior.mean = prior.mean.map((mean, l) => (l === j ? value : mean))
    prior.variance = prior.variance.map((was, l) => (l === j ? HELD_VARIANCE : was))
  }
  if ((beta()[0] as number) < LEAST_SLOPE_MV) hold(0, LEAST_SLOPE_MV)
  if (oxidant === 'chlorine' && (beta()[1] as number) > 0) hold(1, 0)
}
const HELD_VARIANCE = 1e-6

/** Whether the pairs alone, without theory's slope, show that ORP follows. */
function correlationOf({ seen, prior, oxidant }: Given, fit: LevelFit): Correlation {
  if (seen.length < ENOUGH_TO_TELL) return 'assumed'
  const { beta, covariance } = solve(fit.information, fit.score, {
    mean: prior.mean,
    variance: prior.variance.map((was, j) => (j === 0 ? UNBELIEVED : was)),
  })
  const slope = beta[0] as number
  const sd = Math.sqrt(covariance[0] as number)
  const beyond = slope / sd
  const correlation = beyond / Math.sqrt(beyond * beyond + seen.length)
  if (beyond >= FOLLOWS_BEYOND && correlation >= FOLLOWS_CORRELATION && slope >= LEAST_SLOPE_MV) return 'usable'
  // theory carries chlorine until its pairs speak against it; the others have no theory to be carried by
  if (oxidant !== 'chlorine') return 'none'
  return slope + 2 * sd < LEAST_SLOPE_MV ? 'none' : 'assumed'
}
/** Pairs. Judgement. */
const ENOUGH_TO_TELL = 8
const UNBELIEVED = 1e9

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
  const own = certain + since - Array.from(columns).reduce((sum, column, l) => sum + column * (across[l] as number), 0)
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

function interval({ mean, covariance }: RedoxModel['posterior'], j: number): Interval {
  const value = mean[j] as number
  const width = Z_90 * Math.sqrt(covariance[j]?.[j] as number)
  return { value, low: value - width, high: value + width }
}

function pointsOf(given: Given, fit: LevelFit): PairFit[] {
  const trace = traceLevel(given.series, fit)
  return given.seen.map((pair, i) => {
    const others = Math.max(0, of(trace.apartVariance, i) - of(given.series.variance, i))
    return {
      atMs: pair.atMs,
      orpMv: pair.orpMv,
      sanitizerMgL: pair.water.sanitizerMgL,
      logAcid: pair.logAcid,
      expectedMv: pair.orpMv - of(trace.apart, i),
      expectedSd: Math.sqrt(others + of(given.plain, i)),
      weight: of(given.weights, i),
      offsetMv: of(trace.level, i),
      offsetSd: Math.sqrt(of(trace.levelVariance, i)),
    }
  })
}

/** Each step that still stands when it is taken away again, and each that logged work made. */
function stepsOf(given: Given, record: RedoxRecord): OffsetStep[] {
  const { series, seen, worked, steps } = given
  const places = seen.flatMap((_, i) => (steps.has(i) || of(worked, i) > 0 ? [i] : []))
  return places.flatMap((i) => {
    const was = of(series.jump, i)
    series.jump[i] = 0
    const trace = traceLevel(series, fitLevel(series, given.wander ** 2, given.prior))
    series.jump[i] = was
    if (stepBeyond(trace, i) < STEP_BEYOND) return []
    const [before, after] = [seen[i - 1] as Observation, seen[i] as Observation]
    const value = of(trace.step, i)
    const width = Z_90 * Math.sqrt(of(trace.stepVariance, i))
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
function trendOf({ series, seen, steps, wander, prior }: Given, record: RedoxRecord): RedoxModel['trend'] {
  const last = seen[seen.length - 1]
  if (!last) return null
  const replaced = record.work.findLast(({ kind, atMs }) => STARTS_ANEW.includes(kind) && atMs <= last.atMs)?.atMs ?? 0
  const stepped = seen[Math.max(0, ...steps)]?.atMs ?? 0
  const fromMs = Math.max(replaced, stepped, last.atMs - TREND_MOST_MS)
  const within = seen.filter(({ atMs }) => atMs >= fromMs).length
  if (within < TREND_LEAST_PAIRS || last.atMs - fromMs < TREND_LEAST_MS) return null
  const weeks = Float64Array.from(seen, ({ atMs }) => Math.max(0, atMs - fromMs) / (7 * DAY_MS))
  const { beta, covariance } = fitLevel({ ...series, columns: [...series.columns, weeks] }, wander ** 2, {
    ...prior,
    mean: [...prior.mean, 0],
    variance: [...prior.variance, TREND_BELIEF_SD ** 2],
  })
  const value = of(beta, 4)
  const width = Z_90 * Math.sqrt(of(covariance, 24))
  return { fromMs, mvPerWeek: { value, low: value - width, high: value + width } }
}
/** After these the probe, or what reads it, is another one. */
const STARTS_ANEW: readonly ProbeWorkKind[] = ['orpProbeReplaced', 'controllerSwapped']
/** Judgement. */
const TREND_MOST_MS = 60 * DAY_MS
const TREND_LEAST_MS = 14 * DAY_MS
const TREND_LEAST_PAIRS = 4
const TREND_BELIEF_SD = 10

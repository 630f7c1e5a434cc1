import { DAY_MS } from '../time.ts'

/**
 * Values seen with noise around a level that wanders, with regressors beside it:
 *
 *     value = level + columns · β + noise
 *
 * The level is a random walk, so that old points are forgotten slowly. One pass forward gives β with the level integrated out;
 * one pass back gives the level at each time, what each point would be by all others, and how much a step of the level would
 * explain at each place. All of it is linear in the number of points.
 *
 * Kalman filter with regressors beside the state, and both statistics of its backward pass: de Jong and Penzer 1998, Journal of
 * the American Statistical Association 93, 796-806 (from memory).
 */
export interface Series {
  /** Time of each point in days, ascending. */
  days: Float64Array
  value: Float64Array
  /** One array for each regressor. */
  columns: readonly Float64Array[]
  /** Variance of each point's noise. */
  variance: Float64Array
  /** Variance that the level gains just before each point beyond its wandering: break points. */
  jump: Float64Array
  /** How much each point tells of β, 0–1: what was long ago tells less of the slope of today. */
  fading: Float64Array
  /** Variance of the first regressor's own error: what varies by error alone tells nothing of β. */
  blur: Float64Array
}

export interface Prior {
  level: number
  levelVariance: number
  mean: readonly number[]
  /** Variances of β; they are independent before any point is seen. */
  variance: readonly number[]
}

export interface LevelFit {
  beta: Float64Array
  /** Of β, row by row. */
  covariance: Float64Array
  /** The level after the last point, less β: level − Σ columns·β. */
  last: { level: number; columns: Float64Array; variance: number }
  /** For each point: how far it lies from its forecast by the points before it, and the variance of that. */
  missed: Float64Array
  missedVariance: Float64Array
  /** What the points alone tell of β, before the prior: k×k and k. */
  information: Float64Array
  score: Float64Array
  /** 0–1: the part of the first regressor's variation that is not its own error. */
  reliability: number
  /** The level before each point, less β, and the part of what it missed by that it then took up. */
  before: Float64Array
  gain: Float64Array
}

/** The filter forward, and β with its covariance.
 * @param wander standard deviation that the level gains in a day */
export function fitLevel(series: Series, wander: number, prior: Prior): LevelFit {
  const n = series.days.length
  const k = series.columns.length
  const make = () => new Float64Array(n)
  const [missed, missedVariance, before, gain] = [make(), make(), make(), make()]
  const ahead = new Float64Array(k * n)
  const level = new Float64Array(k * n)
  const information = new Float64Array(k * k)
  const score = new Float64Array(k)
  const columns = new Float64Array(k)
  let own = prior.level
  let variance = prior.levelVariance
  let blurred = 0
  let byError = 0
  for (let i = 0; i < n; i++) {
    if (i > 0) variance += wander * wander * (at(series.days, i) - at(series.days, i - 1)) + at(series.jump, i)
    const total = variance + at(series.variance, i)
    const share = variance / total
    const away = at(series.value, i) - own
    missed[i] = away
    missedVariance[i] = total
    before[i] = own
    gain[i] = share
    own += share * away
    variance *= 1 - share
    for (let j = 0; j < k; j++) {
      const seen = at(series.columns[j] as Float64Array, i) - at(columns, j)
      ahead[j * n + i] = seen
      level[j * n + i] = at(columns, j)
      columns[j] = at(columns, j) + share * seen
    }
    const tells = at(series.fading, i) / total
    for (let j = 0; j < k; j++) {
      const seen = at(ahead, j * n + i) * tells
      score[j] = at(score, j) + seen * away
      for (let l = 0; l < k; l++) information[j * k + l] = at(information, j * k + l) + seen * at(ahead, l * n + i)
    }
    byError += (blurred + at(series.blur, i)) * tells
    blurred = (1 - share) * (1 - share) * blurred + share * share * at(series.blur, i)
  }
  const reliability = k > 0 ? calibrate(information, score, byError) : 1
  const { beta, covariance } = solve(information, score, prior)
  for (let j = 0; j < k; j++) {
    for (let i = 0; i < n; i++) {
      missed[i] = at(missed, i) - at(beta, j) * at(ahead, j * n + i)
      before[i] = at(before, i) - at(beta, j) * at(level, j * n + i)
    }
  }
  const last = { level: own, columns, variance }
  return { beta, covariance, last, missed, missedVariance, information, score, reliability, before, gain }
}

/** The values less their regressors. */
export const withoutColumns = ({ value, columns }: Series, beta: Float64Array): Float64Array =>
  value.map((own, i) => columns.reduce((left, column, j) => left - at(beta, j) * at(column, i), own))

/** How likely the forecasts of each value from those before it are, as a logarithm; with long tails, so that a wild value or a
 * step does not pass for noise. Regressors are not looked at. */
export function forecastLikelihood(
  { days, value, variance, jump }: Series,
  wander: number,
  { level, levelVariance }: Pick<Prior, 'level' | 'levelVariance'>,
): number {
  let own = level
  let spread = levelVariance
  let sum = 0
  // logarithms are dear: products are kept and turned into one when they grow
  let product = 1
  for (let i = 0; i < days.length; i++) {
    if (i > 0) spread += wander * wander * (at(days, i) - at(days, i - 1)) + at(jump, i)
    const total = spread + at(variance, i)
    const away = at(value, i) - own
    const tail = 1 + (away * away) / (TAIL * total)
    product *= Math.sqrt(total * tail) * tail * tail
    if (product > 1e100 || product < 1e-100) {
      sum += Math.log(product)
      product = 1
    }
    const share = spread / total
    own += share * away
    spread *= 1 - share
  }
  return -sum - Math.log(product)
}

/** Where nearly all of the first regressor's variation is error, it tells nearly nothing. */
const LEAST_RELIABILITY = 0.02

/** Puts what is to be expected of the first regressor in the place of what was read of it: an error in it would flatten its
 * slope (regression calibration). */
function calibrate(information: Float64Array, score: Float64Array, byError: number): number {
  const k = score.length
  const all = at(information, 0)
  const reliability = all > 0 ? Math.max(LEAST_RELIABILITY, 1 - byError / all) : 1
  for (let j = 0; j < k; j++) {
    information[j] = at(information, j) * reliability
    information[j * k] = at(information, j * k) * reliability
  }
  score[0] = at(score, 0) * reliability
  return reliability
}

/** β from what the points tell and the prior. */
export function solve(information: Float64Array, score: Float64Array, prior: Pick<Prior, 'mean' | 'variance'>) {
  const k = score.length
  const precision = Float64Array.from(information)
  const right = Float64Array.from(score)
  for (let j = 0; j < k; j++) {
    const weight = 1 / (prior.variance[j] as number)
    precision[j * k + j] = at(precision, j * k + j) + weight
    right[j] = at(right, j) + weight * (prior.mean[j] as number)
  }
  const covariance = inverse(precision, k)
  const beta = new Float64Array(k)
  for (let j = 0; j < k; j++) {
    for (let l = 0; l < k; l++) beta[j] = at(beta, j) + at(covariance, j * k + l) * at(right, l)
  }
  return { beta, covariance }
}

/** What the pass back tells of each point. */
export interface LevelTrace {
  /** The level at each point by all points, and its variance. */
  level: Float64Array
  levelVariance: Float64Array
  /** How far each point lies from what all others expect of it, and the variance of that. */
  apart: Float64Array
  apartVariance: Float64Array
  /** The step of the level just before each point that would explain most, and its variance. */
  step: Float64Array
  stepVariance: Float64Array
}

/** The filter back over a fit. */
export function traceLevel(fit: LevelFit): LevelTrace {
  const n = fit.missed.length
  const make = () => new Float64Array(n)
  const trace: LevelTrace = {
    level: make(),
    levelVariance: make(),
    apart: make(),
    apartVariance: make(),
    step: make(),
    stepVariance: make(),
  }
  // what later points still have to say of the level, and how much it weighs
  let later = 0
  let weight = 0
  for (let i = n - 1; i >= 0; i--) {
    const total = at(fit.missedVariance, i)
    const share = at(fit.gain, i)
    const variance = share * total
    const alone = 1 / total + share * share * weight
    const tells = at(fit.missed, i) / total - share * later
    trace.apart[i] = tells / alone
    trace.apartVariance[i] = 1 / alone
    later += tells
    weight = 1 / total + (1 - share) * (1 - share) * weight
    trace.step[i] = later / weight
    trace.stepVariance[i] = 1 / weight
    trace.level[i] = at(fit.before, i) + variance * later
    trace.levelVariance[i] = Math.max(0, variance - variance * variance * weight)
  }
  return trace
}

/** The level under some values, one wild value counting little; as many levels as values, which are in the order of time.
 * @param wander standard deviation gained in a day; @param jump variance gained between two times beyond it */
export function smoothed(
  values: readonly { atMs: number; value: number; variance: number }[],
  wander: number,
  jump: (fromMs: number, toMs: number) => number,
): Float64Array {
  const n = values.length
  const series: Series = {
    days: Float64Array.from(values, ({ atMs }) => atMs / DAY_MS),
    value: Float64Array.from(values, ({ value }) => value),
    columns: [],
    variance: Float64Array.from(values, ({ variance }) => variance),
    jump: Float64Array.from(values, ({ atMs }, i) =>
      i > 0 ? jump((values[i - 1] as { atMs: number }).atMs, atMs) : 0,
    ),
    fading: new Float64Array(n),
    blur: new Float64Array(n),
  }
  // the first value stands for nothing known before it
  const prior = { level: at(series.value, 0), levelVariance: 1, mean: [], variance: [] }
  const run = () => traceLevel(fitLevel(series, wander, prior))
  let trace = run()
  for (let turn = 0; turn < 2; turn++) {
    for (let i = 0; i < n; i++) {
      const plain = values[i]?.variance ?? 0
      series.variance[i] = plain / tailWeight(squaredApart(trace, i, at(series.variance, i), plain))
    }
    trace = run()
  }
  return trace.level
}

/** How far a point lies from what all others expect, squared, in the variance that it would have with all its weight.
 * @param weighed its variance as it was counted; @param plain with all its weight */
export function squaredApart(trace: LevelTrace, i: number, weighed: number, plain: number): number {
  const others = Math.max(0, at(trace.apartVariance, i) - weighed)
  return at(trace.apart, i) ** 2 / (others + plain)
}

/** Student's t with four degrees: what lies far from all others counts little. `squared` in its own variance. Judgement. */
export const TAIL = 4
export const tailWeight = (squared: number): number => Math.min(1, (TAIL + 1) / (TAIL + squared))

/** Under this weight one test stands against all others: about three standard deviations. Judgement. */
export const DOUBTED_WEIGHT = 0.4

/** Typed arrays of known length: no index is ever out of range here. */
const at = (values: ArrayLike<number>, index: number) => values[index] as number

/** Of a small symmetric positive matrix, row by row: Gauss and Jordan. */
function inverse(matrix: Float64Array, k: number): Float64Array {
  const left = Float64Array.from(matrix)
  const right = new Float64Array(k * k)
  for (let j = 0; j < k; j++) right[j * k + j] = 1
  for (let j = 0; j < k; j++) {
    const pivot = at(left, j * k + j)
    for (let l = 0; l < k; l++) {
      left[j * k + l] = at(left, j * k + l) / pivot
      right[j * k + l] = at(right, j * k + l) / pivot
    }
    for (let i = 0; i < k; i++) {
      if (i === j) continue
      const factor = at(left, i * k + j)
      if (factor === 0) continue
      for (let l = 0; l < k; l++) {
        left[i * k + l] = at(left, i * k + l) - factor * at(left, j * k + l)
        right[i * k + l] = at(right, i * k + l) - factor * at(right, j * k + l)
      }
    }
  }
  return right
}

/**
 * A value seen with noise around a level that wanders, with regressors beside it: y = level(t) + columns · β + noise. The level is a
 * random walk whose steps grow with the time between two points, so that old points are forgotten slowly. One pass forward gives
 * β with the level integrated out, one pass back the level at each time, what each point would be by all others, and how much a
 * step would explain at each place. Everything is linear in the number of points.
 *
 * Kalman filter with regressors beside the state and the two statistics of its backward pass: de Jong and Penzer 1998, Journal
 * of the American Statistical Association 93, 796-806 (from memory).
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
  /** The level just after the last point, as a function of β: level − Σ columns·β. */
  last: { level: number; columns: Float64Array; variance: number }
  /** For each point: forecast from the points before it, less β. */
  innovation: Float64Array
  innovationVariance: Float64Array
  gain: Float64Array
  /** What the points alone tell of β, before the prior: k×k and k. */
  information: Float64Array
  score: Float64Array
  /** 0–1: the part of the first regressor's variation that is not its own error. */
  reliability: number
}

/** The filter forward, and β with its covariance. `wander` is the variance that the level gains in a day. */
export function fitLevel(series: Series, wander: number, prior: Prior): LevelFit {
  const n = series.days.length
  const k = series.columns.length
  const innovation = new Float64Array(n)
  const innovationVariance = new Float64Array(n)
  const gain = new Float64Array(n)
  const ahead = Array.from({ length: k }, () => new Float64Array(n))
  const information = new Float64Array(k * k)
  const score = new Float64Array(k)
  const columns = new Float64Array(k)
  let level = prior.level
  let variance = prior.levelVariance
  const seen = new Float64Array(k)
  let blurred = 0
  let byError = 0
  for (let i = 0; i < n; i++) {
    if (i > 0) variance += wander * (at(series.days, i) - at(series.days, i - 1)) + at(series.jump, i)
    const total = variance + at(series.variance, i)
    const share = variance / total
    const missed = at(series.value, i) - level
    for (let j = 0; j < k; j++) {
      const column = at(series.columns[j] as Float64Array, i)
      seen[j] = column - at(columns, j)
      ;(ahead[j] as Float64Array)[i] = at(seen, j)
      columns[j] = at(columns, j) + share * at(seen, j)
    }
    const tells = at(series.fading, i) / total
    for (let j = 0; j < k; j++) {
      score[j] = at(score, j) + at(seen, j) * missed * tells
      for (let l = 0; l < k; l++)
        information[j * k + l] = at(information, j * k + l) + at(seen, j) * at(seen, l) * tells
    }
    byError += (blurred + at(series.blur, i)) * tells
    blurred = (1 - share) * (1 - share) * blurred + share * share * at(series.blur, i)
    level += share * missed
    variance *= 1 - share
    innovation[i] = missed
    innovationVariance[i] = total
    gain[i] = share
  }
  const reliability = k > 0 ? calibrate(information, score, byError) : 1
  const { beta, covariance } = solve(information, score, prior)
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < k; j++) innovation[i] = at(innovation, i) - at(beta, j) * at(ahead[j] as Float64Array, i)
  }
  return {
    beta,
    covariance,
    last: { level, columns, variance },
    innovation,
    innovationVariance,
    gain,
    information,
    score,
    reliability,
  }
}

/** Where nearly all of the first regressor's variation is error, it tells nearly nothing. */
const LEAST_RELIABILITY = 0.05

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
  /** The step just before each point that would explain most, and its variance. */
  step: Float64Array
  stepVariance: Float64Array
}

/** The filter back over a fit. */
export function traceLevel(series: Series, fit: LevelFit): LevelTrace {
  const n = series.days.length
  const make = () => new Float64Array(n)
  const trace: LevelTrace = {
    level: make(),
    levelVariance: make(),
    apart: make(),
    apartVariance: make(),
    step: make(),
    stepVariance: make(),
  }
  let sum = 0
  let weight = 0
  for (let i = n - 1; i >= 0; i--) {
    const total = at(fit.innovationVariance, i)
    const share = at(fit.gain, i)
    const missed = at(fit.innovation, i) / total
    const alone = 1 / total + share * share * weight
    trace.apart[i] = (missed - share * sum) / alone
    trace.apartVariance[i] = 1 / alone
    sum = missed + (1 - share) * sum
    weight = 1 / total + (1 - share) * (1 - share) * weight
    trace.step[i] = sum / weight
    trace.stepVariance[i] = 1 / weight
    const before = share * total
    trace.levelVariance[i] = Math.max(0, before - before * before * weight)
    trace.level[i] = without(series, fit.beta, i) - at(fit.innovation, i) + before * sum
  }
  return trace
}

/** A point less its regressors. */
function without({ value, columns }: Series, beta: Float64Array, i: number): number {
  let rest = at(value, i)
  for (let j = 0; j < columns.length; j++) rest -= at(beta, j) * at(columns[j] as Float64Array, i)
  return rest
}

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

import type { Observation } from './observations.ts'
import { BELIEFS, type Belief, ORP_KNOWN_IN } from './theory.ts'
import type { Interval, Oxidant, RedoxModel, RedoxRecord } from './types.ts'

/**
 * Which way round the relation is fitted. Where nobody holds the ORP it answers the acid: ORP is the value, acid the regressor.
 * Where a controller holds it, it hardly moves whatever the acid does: fitted that way the slope would come out near nothing. There
 * the acid is what answers: it is the value, brought to mV by theory's slope, and the ORP the regressor.
 */
export interface Form {
  held: boolean
  value: (pair: Observation) => number
  /** The first regressor. */
  column: (pair: Observation) => number
  /** Variance of its own error; `noise` is what was found around the relation beyond the known errors, in the value's mV. */
  blur: (pair: Observation, noise: number, first: number) => number
  /** What is believed of the level and of the first coefficient, and between what the latter stays. */
  level: Belief
  first: Belief
  range: readonly [number, number]
  /** mV that a decade of acid counts in the value. */
  steep: (first: number) => number
  /** The value's mV for each mV of ORP. */
  perMv: (first: number) => number
  slope: (first: Interval) => Interval
  /** ORP for an acid (decades from the known water), pH, temperature and solids (from it too), and its gradient. */
  expect: (decades: number, rest: readonly number[], mean: readonly number[]) => { value: number; gradient: number[] }
}

/** The least and the greatest slope with which ORP means anything, mV for ten times the acid. Judgement. */
const LEAST_SLOPE_MV = 8
const MOST_SLOPE_MV = 120

export function formOf({ oxidant, ...rest }: RedoxRecord | RedoxModel): Form {
  const held = 'held' in rest ? rest.held : isHeld(rest)
  return FORMS[held ? 'held' : 'free'][oxidant]
}

const isHeld = ({ setPoints, hours }: Pick<RedoxRecord, 'setPoints' | 'hours'>) =>
  setPoints.length > 0 || hours.some(({ orpSetPointMv }) => orpSetPointMv !== null)

const decadesOf = ({ logAcid }: Observation) => logAcid - ORP_KNOWN_IN.logAcid
const dot = (a: readonly number[], b: readonly number[]) => a.reduce((sum, x, j) => sum + x * (b[j] as number), 0)

function free(oxidant: Oxidant): Form {
  const { offset, slope } = BELIEFS[oxidant]
  return {
    held: false,
    value: ({ orpMv }) => orpMv,
    column: decadesOf,
    blur: ({ logAcidSd }) => logAcidSd ** 2,
    level: offset,
    first: slope,
    range: [LEAST_SLOPE_MV, MOST_SLOPE_MV],
    steep: (first) => Math.max(LEAST_SLOPE_MV, first),
    perMv: () => 1,
    slope: (first) => first,
    expect: (decades, rest, mean) => {
      const gradient = [1, decades, ...rest]
      return { value: dot(gradient, mean), gradient }
    },
  }
}

function held(oxidant: Oxidant): Form {
  const { offset, slope } = BELIEFS[oxidant]
  const nominal = slope.mean
  return {
    held: true,
    value: (pair) => -nominal * decadesOf(pair),
    column: ({ orpMv }) => offset.mean - orpMv,
    // what scatters beyond the test kit's error is the reading of ORP
    blur: ({ wanderedMv }, noise, first) => wanderedMv ** 2 + (noise / first) ** 2,
    level: { mean: 0, sd: offset.sd },
    // theory's slope over this body's: 1 by theory
    first: { mean: 1, sd: slope.sd / slope.mean },
    range: [nominal / MOST_SLOPE_MV, nominal / LEAST_SLOPE_MV],
    steep: () => nominal,
    perMv: (first) => first,
    // as far up as down in factors: the slope is one over what was fitted
    slope: ({ value, high }) => {
      const factor = Math.exp((high - value) / value)
      const slope = nominal / value
      return { value: slope, low: slope / factor, high: Math.min(MOST_SLOPE_MV, slope * factor) }
    },
    expect: (decades, rest, mean) => {
      const [level, first, ...others] = mean as [number, number, ...number[]]
      const apart = (level + dot(rest, others) + nominal * decades) / first
      return { value: offset.mean + apart, gradient: [1, -apart, ...rest].map((x) => x / first) }
    },
  }
}

const each = (make: (oxidant: Oxidant) => Form): Record<Oxidant, Form> => ({
  chlorine: make('chlorine'),
  bromine: make('bromine'),
  chlorineDioxide: make('chlorineDioxide'),
})
const FORMS = { free: each(free), held: each(held) }

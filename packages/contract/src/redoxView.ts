import {
  type Attribution,
  CAUTION_KEYS,
  DRIFT_FACTORS,
  type EvidenceLine,
  type Interval,
  OXIDANTS,
  PROBE_WORK_KINDS,
  type RedoxView,
} from '@sightglass/chemistry'
import { z } from 'zod'
import { phrase, quantified } from './judgement.ts'

const number = z.number()
const orNull = number.nullable()
const interval: z.ZodType<Interval> = z.object({ value: number, low: number, high: number })
const workKind = z.enum(PROBE_WORK_KINDS)
export const evidenceLine: z.ZodType<EvidenceLine> = z.object({
  label: z.string(),
  quantity: quantified,
  atMs: orNull,
  source: z.enum(['test', 'controller', 'derived']),
})
const told = { reasons: z.array(phrase).readonly(), evidence: z.array(evidenceLine).readonly() }

const factor = z.enum(DRIFT_FACTORS)
const attribution: z.ZodType<Attribution> = z.object({
  fromMs: number,
  toMs: number,
  totalMv: interval,
  parts: z.array(z.object({ factor, mv: interval, from: orNull, to: orNull })).readonly(),
  main: factor.nullable(),
})

const water = z.object({ sanitizerMgL: number, ph: number, cyanuricAcidMgL: number, tempC: number, tdsMgL: number })
const setPointChange = z.object({ atMs: number, orpMv: number })

const relation = z.object({
  oxidant: z.enum(OXIDANTS),
  correlation: z.enum(['usable', 'assumed', 'none']),
  told: phrase,
  slopeMv: interval,
  phMv: interval,
  noiseMv: number,
  water,
  untested: z.array(factor.exclude(['unexplained'])),
  curve: z.array(z.object({ acidMgL: number, sanitizerMgL: number, orpMv: interval })),
  points: z.array(
    z.object({
      atMs: number,
      sanitizerMgL: number,
      ph: number,
      acidMgL: number,
      orpMv: number,
      besideCurveMv: number,
      expectedMv: interval,
      residualMv: number,
      weight: number,
      doubted: z.boolean(),
      sinceBreak: z.boolean(),
    }),
  ),
  comparedFromMs: orNull,
  lastBreakMs: orNull,
})

const setPoint = z.object({
  ...told,
  action: z.enum(['move', 'keep', 'testFirst', 'mendFirst', 'cannotTell']),
  nowMv: orNull,
  holdsTargetMv: interval.nullable(),
  todayMv: orNull,
  nowMeansMgL: interval.nullable(),
  changed: attribution.nullable(),
  targetMgL: number,
  urgent: z.boolean(),
  byMv: orNull,
  history: z.array(setPointChange),
  logged: z.array(setPointChange),
  cautions: z.array(z.enum(CAUTION_KEYS)),
})

const drift = z.object({
  ...told,
  told: phrase,
  shape: z.enum(['none', 'slope', 'step', 'unknown']),
  alarm: z.boolean(),
  residualMv: interval.nullable(),
  sinceMs: orNull,
  trendMvPerWeek: interval.nullable(),
  attribution: attribution.nullable(),
  steps: z.array(z.object({ atMs: number, afterMs: number, mv: interval, work: workKind.nullable() })).readonly(),
  effort: z
    .object({
      beforeMinPerDay: number,
      nowMinPerDay: number,
      ratio: interval,
      shape: z.enum(['none', 'slope', 'step']),
      sinceMs: number,
    })
    .nullable(),
  probe: z.object({
    ...told,
    state: z.enum(['well', 'slow', 'flat', 'stuck', 'noisy', 'impossible', 'unknown']),
    sinceMs: orNull,
  }),
})

const phProbe = z.object({
  ...told,
  told: phrase,
  state: z.enum(['agrees', 'retest', 'calibrate', 'slopeGone', 'unknown']),
  offsetPh: interval.nullable(),
  trendPhPerMonth: interval.nullable(),
  calibrateByMs: orNull,
  pairsUsed: number,
  tolerated: number,
  gaps: z.array(z.object({ atMs: number, testedPh: number, shownPh: number, apart: number })),
  calibratedMs: z.array(number),
})

/** What one body's ORP and pH mean, as the chemistry package makes it; its times are milliseconds since 1970. */
export const redoxView: z.ZodType<RedoxView> = z.object({
  atMs: number,
  basis: z.object({ tests: number, pairs: number, hours: number, work: number, fromMs: orNull }),
  missing: z.array(phrase),
  relation: relation.nullable(),
  breaks: z.array(z.object({ atMs: number, kind: workKind.nullable(), mv: interval.nullable() })),
  setPoint: setPoint.nullable(),
  drift: drift.nullable(),
  phProbe: phProbe.nullable(),
})

import { bufferAt, carbonDioxideMmolL, carbonOf } from '../plant/carbonate.ts'
import {
  BROMINE_PER_CHLORINE,
  CHLORINE_G_PER_BATHER_HOUR,
  CO2_INDOORS_MMOL_L,
  IDEAL_SLOPE_MV,
  MG_CACO3_PER_MEQ,
  QUIET_LOSS_PER_HOUR,
} from '../plant/constants.ts'
import { orpFor } from '../plant/oxidant.ts'
import { simulate } from '../plant/simulate.ts'
import type { ControllerSpec, PlantSpec } from '../plant/spec.ts'
import type { FeedSettings } from '../snapshot.ts'
import { DAY_MS, HOUR_MS } from '../time.ts'
import { activeGPerL } from './product.ts'
import { type FeedTuning, type TuningCase, USUAL_SLOPE_MV } from './tuning.ts'

/** One value over the coming hours; lists of one length. */
export interface TuningSeries {
  atMs: number[]
  /** mV or pH. */
  value: number[]
  sanitizerMgL: number[]
  /** Minutes of feed in each step. */
  feedMin: number[]
  setPoint: number
  /** How far it went beyond its set point, mV or pH; 0 when it never did. */
  overshoot: number
  /** Minutes until three quarters of the way to the set point were gone; null when they never were. A proportional feed that
   * has something to replace stands a little short of its set point. */
  reachedMin: number | null
}

export interface TuningRun {
  /** With the settings of today; null when they are not known. */
  now: TuningSeries | null
  advised: TuningSeries
}

/** Where it begins and how long it is looked at. */
export interface TuningStart {
  nowMs: number
  hours: number
  setPoint: number
  /** Sanitizer and pH as they are, or as a busy day leaves them. */
  sanitizerMgL: number
  ph: number
}

/**
 * The coming hours with the advised settings beside those of today, on the plant model that also writes the demo: one
 * feeder under control, the other at rest. A picture of how the settings act, no forecast of the pool.
 */
export function tuningRun(
  given: TuningCase,
  advised: FeedTuning,
  today: FeedSettings | null,
  start: TuningStart,
): TuningRun {
  return { now: today && seriesOf(given, today, start), advised: seriesOf(given, advised, start) }
}

function seriesOf(given: TuningCase, settings: FeedSettings, start: TuningStart): TuningSeries {
  const isPh = given.feeder.role === 'ph'
  const atTarget = isPh ? start.setPoint : shownAtTarget(given)
  // what this body's probe shows more or less than the model's at the target
  const shift = start.setPoint - atTarget
  const plant = plantOf(given, settings, start, atTarget)
  const atMs: number[] = []
  const value: number[] = []
  const sanitizerMgL: number[] = []
  const feedMin: number[] = []
  const toMs = start.nowMs + start.hours * HOUR_MS
  const alone = { kind: 'turnsNotKept' as const, fromMs: start.nowMs, toMs: toMs + HOUR_MS, amount: 1 }
  const options = { seed: 'tuning', fromMs: start.nowMs, toMs, faults: [alone] }
  for (const { count, atMs: times, columns } of simulate(plant, options)) {
    for (let at = 0; at < count; at++) {
      atMs.push(times[at] as number)
      value.push(((isPh ? columns.ph : columns.orpMv)[at] as number) + shift)
      sanitizerMgL.push(columns.freeChlorineMgL[at] as number)
      feedMin.push((((isPh ? columns.phFeedPct : columns.sanitizerFeedPct)[at] as number) * STEP_MIN) / 100)
    }
  }
  return { atMs, value, sanitizerMgL, feedMin, setPoint: start.setPoint, ...reached(value, start.setPoint, isPh) }
}

const STEP_MIN = 5
/** What the probes' noise would show as overshoot. */
const NOISE = { mv: 1, ph: 0.01 }

function reached(
  value: readonly number[],
  setPoint: number,
  isPh: boolean,
): Pick<TuningSeries, 'overshoot' | 'reachedMin'> {
  const first = value[0] ?? setPoint
  const beyond = value.map((one) => (isPh ? setPoint - one : one - setPoint))
  const near = Math.abs(first - setPoint) / 4
  const at = beyond.findIndex((one) => one >= -near)
  const overshoot = Math.max(0, ...beyond) - (isPh ? NOISE.ph : NOISE.mv)
  return { overshoot: Math.max(0, overshoot), reachedMin: at < 0 ? null : (at + 1) * STEP_MIN }
}

/** mg/L a day that the model loses without bathers, at the target. */
const quietLoss = ({ water, targetMgL }: TuningCase) =>
  24 * QUIET_LOSS_PER_HOUR * 2 ** ((water.tempC - 27) / 12) * targetMgL

/** Carbon dioxide leaves as fast as asks for the acid of a usual day; without bathers the model halves it. */
function aerationOf({ water, dailyUse }: TuningCase): number {
  if (dailyUse === null) return 0.03
  const buffer = bufferAt(water.tempC, water.tdsMgL, water.calciumHardnessMgL)
  const hydrogen = 10 ** -water.ph
  const alkalinity = water.totalAlkalinityMgL / MG_CACO3_PER_MEQ
  const carbon = carbonOf(alkalinity, hydrogen, water.cyanuricAcidMgL, buffer)
  const beyond = carbonDioxideMmolL(carbon, hydrogen, buffer) - CO2_INDOORS_MMOL_L
  // an equivalent of acid is asked for by as much carbon as stands beside an equivalent of alkalinity
  return beyond > 0 ? Math.min(1, (2 * dailyUse * carbon) / alkalinity / 24 / beyond) : 0.03
}

/** Bathers are spread over the day, so that they use what a usual day takes. */
const MEAN_OF_HUMP = 0.25 + (0.75 * 2) / Math.PI
const DEPTH_M = 1.4

/** A plant that stands for the body: its size, water and feeder; what is not known is as usual. */
function plantOf(given: TuningCase, settings: FeedSettings, start: TuningStart, setPoint: number): PlantSpec {
  const { body, feeder, water, targetMgL, dailyUse } = given
  const volumeL = body.volumeL ?? 1
  const isPh = feeder.role === 'ph'
  const used = isPh || dailyUse === null ? 0 : Math.max(0, dailyUse - quietLoss(given))
  const bromine = body.sanitizerSystem === 'bromine' ? BROMINE_PER_CHLORINE : 1
  const peak = (used * volumeL) / bromine / 1000 / CHLORINE_G_PER_BATHER_HOUR / 24 / MEAN_OF_HUMP
  // whatever else holds pH while sanitizer is looked at: no gas leaves
  const aerationPerHour = isPh ? aerationOf(given) : 0
  const balance = {
    totalAlkalinityMgL: water.totalAlkalinityMgL,
    calciumHardnessMgL: water.calciumHardnessMgL,
  }
  return {
    useClass: body.useClass,
    // the sun is part of what a usual day takes
    setting: 'indoor',
    sanitizerSystem: body.sanitizerSystem,
    volumeL,
    surfaceM2: volumeL / 1000 / DEPTH_M,
    flowLMin: body.flowLMin ?? volumeL / 360,
    timeZone: 'UTC',
    latitudeDeg: 35,
    heatedToC: water.tempC,
    bathers: { peak, opensAt: 0, closesAt: 24, weekendFactor: 1 },
    start: {
      ...balance,
      sanitizerMgL: start.sanitizerMgL,
      ph: start.ph,
      cyanuricAcidMgL: water.cyanuricAcidMgL,
      tdsMgL: water.tdsMgL,
      saltMgL: body.sanitizerSystem === 'saltGenerator' ? 3200 : 0,
    },
    fill: { ...balance, ph: 7.6, tdsMgL: water.tdsMgL },
    freshPerDay: 0.02,
    aerationPerHour,
    target: { ...balance, sanitizerMgL: targetMgL, ph: water.ph, cyanuricAcidMgL: water.cyanuricAcidMgL },
    feeders: [feederOf(given)],
    controller: controllerOf(given, settings, setPoint),
  }
}

function feederOf({ feeder, outputGH }: TuningCase): PlantSpec['feeders'][number] {
  const { drum } = feeder
  // the model knows each content at its usual strength: another strength is another rate
  const strength = drum ? activeGPerL(drum) / activeGPerL({ content: drum.content }) : 1
  return {
    role: feeder.role,
    kind: feeder.kind,
    rateLH: (feeder.rateLH ?? 0) * strength,
    outputGH: outputGH ?? 0,
    drum: drum && { content: drum.content, capacityL: 1e6, startLevelL: 1e6 },
  }
}

/** A distance that no value reaches: the other feeder rests. */
const NEVER = { mv: -2000, ph: 14 }

const sensitivityOf = ({ slopeMv }: TuningCase) => (slopeMv ?? USUAL_SLOPE_MV) / IDEAL_SLOPE_MV

const shownAtTarget = (given: TuningCase) =>
  orpFor(given.body.sanitizerSystem, { ...given.water, sanitizerMgL: given.targetMgL }, sensitivityOf(given))

function controllerOf(given: TuningCase, settings: FeedSettings, setPoint: number): ControllerSpec {
  const isPh = given.feeder.role === 'ph'
  const { cycleMin, onShare } = cycleOf(settings)
  return {
    phSetPoint: isPh ? setPoint : NEVER.ph,
    orpSetPointMv: isPh ? NEVER.mv : setPoint,
    phBand: settings.band,
    orpBandMv: settings.band,
    cycleMin,
    onShare,
    backupBelowMv: null,
    orpProbe: { offset: 0, offsetPerDay: 0, noise: 0, lagMin: 6, sensitivity: sensitivityOf(given) },
    phProbe: { offset: 0, offsetPerDay: 0, noise: 0, lagMin: 6, sensitivity: 1 },
    channels: ['ph', 'orpMv', 'freeChlorineMgL', 'sanitizerFeedPct', 'phFeedPct'],
  }
}

/** The model's controller works in cycles of which each feed has one half; alone, as here, one may have all of it. */
function cycleOf({ onTimeMin, waitMin }: FeedSettings): { cycleMin: number; onShare: number } {
  const cycleMin = Math.max(2, Math.round(onTimeMin + waitMin))
  return { cycleMin, onShare: (2 * Math.min(onTimeMin, cycleMin)) / cycleMin }
}

/** A start as after a busy day, where none is given: half of the sanitizer, pH 0.25 over its set point. */
export const busyStart = (given: TuningCase, nowMs: number, setPoint: number, hours = 24): TuningStart => ({
  nowMs,
  hours: Math.min(hours, (7 * DAY_MS) / HOUR_MS),
  setPoint,
  sanitizerMgL: given.feeder.role === 'ph' ? given.water.sanitizerMgL : 0.5 * given.targetMgL,
  ph: given.feeder.role === 'ph' ? setPoint + 0.25 : given.water.ph,
})

import type { Moment } from './history.ts'
import { median } from './numbers.ts'
import { logAcidOf } from './theory.ts'
import type { RedoxRecord, RedoxTest, RedoxWater } from './types.ts'

/** A pair that the relation can be held against. */
export interface Observation {
  atMs: number
  orpMv: number
  water: RedoxWater
  logAcid: number
  /** Standard deviation of what the samples around the test wandered, mV. */
  wanderedMv: number
  /** Standard deviation of the acid by the test kit's own error, decades. */
  logAcidSd: number
  /** Of pH. */
  phSd: number
  /** Of temperature. */
  tempSd: number
}

/** Errors of a usual test kit. Judgement; common practice, no source. */
const ERROR = {
  sanitizerShare: 0.04,
  sanitizerMgL: 0.08,
  /** A display jitters while it is read. */
  displayMv: 1.5,
  /** What the samples of half an hour share: a probe wanders rather than jumps. */
  sharedMv: 1,
} as const

/** Values that no redox probe in kept water shows: a probe in air, a short circuit, an amplifier at its stop. Common practice, no source. */
export const PLAUSIBLE_ORP_MV = [300, 1000] as const

/** Standard deviation of the median of about seven samples, as a part of their range (from memory of order statistics). */
const MEDIAN_SD = 0.17

/** The pairs that the relation can be held against, oldest first. */
export function observationsOf(record: RedoxRecord, history: readonly Moment[]): Observation[] {
  const all = history.flatMap((moment) => observationOf(record, moment) ?? [])
  return record.setPoints.length > 0 && all.length >= ENOUGH_TO_TELL ? whileHeld(record, all) : all
}

/**
 * Where a controller holds the ORP, a pair far from where it stands as a rule is no pair of the same kind: the cell stood, the probe
 * hung in air, the feed had failed for hours. The ORP being what the relation is fitted on, one such pair would bend all of it.
 */
function whileHeld({ setPoints }: RedoxRecord, all: readonly Observation[]): Observation[] {
  const apart = all.map(({ atMs, orpMv }) => {
    const set = setPoints.findLast((change) => change.atMs <= atMs) ?? setPoints[0]
    return orpMv - (set?.orpMv ?? orpMv)
  })
  const usual = median(apart)
  const spread = median(apart.map((one) => Math.abs(one - usual)))
  const most = Math.max(HELD_WITHIN_MV, HELD_WITHIN_SPREADS * spread)
  return all.filter((_, i) => Math.abs((apart[i] as number) - usual) <= most)
}
/** Judgement; probes that step or are replaced part by less, and the controller brings them back to the set point. */
const HELD_WITHIN_MV = 60
const HELD_WITHIN_SPREADS = 8
/** Pairs. Judgement. */
const ENOUGH_TO_TELL = 4

function observationOf(
  { oxidant }: RedoxRecord,
  { pair, water, cyanuricShare, phSd, tempSd }: Moment,
): Observation | null {
  const { orp, test, atMs } = pair
  const [least, most] = PLAUSIBLE_ORP_MV
  if (!water || !orp || !(orp.value > least && orp.value < most)) return null
  const logAcid = logAcidOf(oxidant, water)
  if (!Number.isFinite(logAcid)) return null
  return {
    atMs,
    orpMv: orp.value,
    water,
    logAcid,
    wanderedMv: orp.spread
      ? Math.hypot(ERROR.sharedMv, Math.max(0, orp.spread.max - orp.spread.min) * MEDIAN_SD)
      : ERROR.displayMv,
    // acid goes nearly as one over cyanuric acid
    logAcidSd: Math.hypot(sanitizerShareSd(test, water), cyanuricShare) / Math.LN10,
    phSd,
    tempSd,
  }
}

const sanitizerShareSd = ({ sanitizerSdMgL }: RedoxTest, { sanitizerMgL }: RedoxWater): number =>
  sanitizerSdMgL != null
    ? sanitizerSdMgL / sanitizerMgL
    : Math.hypot(ERROR.sanitizerShare, ERROR.sanitizerMgL / sanitizerMgL)

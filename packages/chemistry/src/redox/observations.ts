import type { Measured } from '../snapshot.ts'
import { DAY_MS } from '../time.ts'
import { JUDGED_WATER, LEAST_SANITIZER_MGL, logAcidOf } from './theory.ts'
import type { RedoxPair, RedoxRecord, RedoxTest, RedoxWater } from './types.ts'

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

/** What is taken where nothing was ever measured, and how far it may be off. Judgement; common practice, no source. */
const TAKEN = {
  ph: { value: 7.5, sd: 0.25 },
  tempC: { value: 27, sd: 5 },
  tdsMgL: { value: 1000 },
  cyanuricAcidMgL: { value: 30 },
} as const

/** Errors of a usual test kit and of values carried on. Judgement; common practice, no source. */
const ERROR = {
  sanitizerShare: 0.04,
  sanitizerMgL: 0.08,
  ph: 0.05,
  phPerDay: 0.1,
  tempC: 0.5,
  tempCPerDay: 0.7,
  /** Cyanuric acid changes by this share of itself a day; its own error stays the same from test to test. */
  cyanuricSharePerDay: 0.003,
  displayMv: 0.5,
} as const

/** Values that no redox probe in kept water shows: a probe in air, a short circuit, an amplifier at its stop. Common practice, no source. */
export const PLAUSIBLE_ORP_MV = [300, 1000] as const

/** A value is not carried further than this. */
const CARRIED_MS = 60 * DAY_MS

/** The pairs that the relation can be held against, oldest first, not those after now. */
export function observationsOf(record: RedoxRecord, nowMs: number): Observation[] {
  return record.pairs
    .filter(({ atMs }) => atMs <= nowMs)
    .flatMap((pair) => observationOf(record, pair) ?? [])
    .sort((a, b) => a.atMs - b.atMs)
}

function observationOf(record: RedoxRecord, pair: RedoxPair): Observation | null {
  const { orp, test, atMs } = pair
  if (!orp || !isBetween(orp.value, PLAUSIBLE_ORP_MV)) return null
  const water = waterOf(record, test, atMs)
  if (!water) return null
  const logAcid = logAcidOf(record.oxidant, water)
  if (!Number.isFinite(logAcid)) return null
  return {
    atMs,
    orpMv: orp.value,
    water,
    logAcid,
    wanderedMv: orp.spread ? Math.max(0, orp.spread.max - orp.spread.min) / 4 : ERROR.displayMv,
    logAcidSd: logAcidSd(test, water, atMs),
    phSd: test.ph ? aged(ERROR.ph, ERROR.phPerDay, atMs, test.ph) : TAKEN.ph.sd,
    tempSd: test.tempC ? aged(ERROR.tempC, ERROR.tempCPerDay, atMs, test.tempC) : TAKEN.tempC.sd,
  }
}

/** The water of a test with what is taken for granted; null where the sanitizer was not measured, or the equations do not hold. */
export function waterOf(record: RedoxRecord, test: RedoxTest, atMs: number): RedoxWater | null {
  if (test.sanitizerMgL === null || test.sanitizerMgL < LEAST_SANITIZER_MGL[record.oxidant]) return null
  const water = { sanitizerMgL: test.sanitizerMgL, ...surroundings(record, test, atMs) }
  const holds = (Object.keys(JUDGED_WATER) as (keyof RedoxWater)[]).every((key) =>
    isBetween(water[key], JUDGED_WATER[key]),
  )
  return holds ? water : null
}

/** pH, temperature, cyanuric acid and solids of a test, or what is taken for them. */
export function surroundings(record: RedoxRecord, test: RedoxTest, atMs: number): Omit<RedoxWater, 'sanitizerMgL'> {
  const known = (measured: Measured | null) =>
    measured && atMs - measured.atMs <= CARRIED_MS && Number.isFinite(measured.value) ? measured.value : null
  return {
    ph: known(test.ph) ?? TAKEN.ph.value,
    tempC: known(test.tempC) ?? TAKEN.tempC.value,
    // what was never measured shifts every pair alike, and the offset takes that up
    cyanuricAcidMgL: test.cyanuricAcidMgL?.value ?? (record.cyanuricAcidUsed ? TAKEN.cyanuricAcidMgL.value : 0),
    tdsMgL: test.tdsMgL?.value ?? TAKEN.tdsMgL.value,
  }
}

function logAcidSd(test: RedoxTest, water: RedoxWater, atMs: number): number {
  const share =
    test.sanitizerSdMgL != null
      ? test.sanitizerSdMgL / water.sanitizerMgL
      : Math.hypot(ERROR.sanitizerShare, ERROR.sanitizerMgL / water.sanitizerMgL)
  const carried = test.cyanuricAcidMgL ? daysBetween(test.cyanuricAcidMgL.atMs, atMs) : 0
  return Math.hypot(share, ERROR.cyanuricSharePerDay * carried) / Math.LN10
}

const daysBetween = (fromMs: number, toMs: number) => Math.max(0, toMs - fromMs) / DAY_MS
const aged = (sd: number, perDay: number, atMs: number, measured: Measured) =>
  Math.hypot(sd, perDay * Math.min(7, daysBetween(measured.atMs, atMs)))

const isBetween = (value: number, [low, high]: readonly [number, number]) => value >= low && value <= high

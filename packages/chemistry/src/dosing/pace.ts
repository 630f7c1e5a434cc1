import { inRange } from '../errors.ts'
import type { Water } from '../water.ts'
import type { Chemical } from './catalogue.ts'
import { afterDose } from './effect.ts'

/**
 * How far one addition may move the water that it goes into. Common practice, no source, but for acid: 10 NYCRR 6-1.30 allows one
 * pint of muriatic acid for 5,000 gallons at a time, which it says is 12 mg/L of alkalinity.
 */
export const STEP_LIMITS = {
  ph: 0.3,
  freeChlorineMgL: 10,
  bromineMgL: 10,
  /** Down, by acid. */
  acidAlkalinityMgL: 12,
  /** Up. */
  totalAlkalinityMgL: 40,
  calciumHardnessMgL: 50,
  cyanuricAcidMgL: 30,
} as const
export type StepLimits = Record<keyof typeof STEP_LIMITS, number>

/** A body that turns over slower than this, or nobody knows how fast, gets half as much at a time. 10 NYCRR 6-1.11(a) asks for
 * six hours, eight for old pools; the half is common practice, no source. */
const SLOW_TURNOVER_MIN = 8 * 60
const SLOW_SHARE = 0.5
// what binary arithmetic adds is no difference
const ROUNDING = 1e-9

export interface Pace {
  /** Minutes in which the pumps move the volume once; null when volume or flow are not known. */
  turnoverMin: number | null
  limits: StepLimits
  /** Between two additions of one chemical: a quarter of a turnover. */
  betweenMin: number
  /** After a step, before the retest and the next chemical: one turnover. */
  waitMin: number
}

// common practice, no source: never less than it takes to mix a spa, and a working day is long enough
const BETWEEN_MIN = [15, 120] as const
const WAIT_MIN = [30, 360] as const

const limited = (value: number, [least, most]: readonly [number, number]) =>
  Math.min(most, Math.max(least, Math.ceil(value - ROUNDING)))

/** @param flowLMin litres a minute through the plant; null or 0 when nobody knows */
export function paceOf(volumeL: number, flowLMin: number | null): Pace {
  const turnoverMin = flowLMin !== null && flowLMin > 0 ? volumeL / flowLMin : null
  const slow = turnoverMin === null || turnoverMin > SLOW_TURNOVER_MIN * (1 + ROUNDING)
  const share = slow ? SLOW_SHARE : 1
  return {
    turnoverMin,
    limits: Object.fromEntries(
      Object.entries(STEP_LIMITS).map(([thing, limit]) => [thing, limit * share]),
    ) as unknown as StepLimits,
    betweenMin: limited((turnoverMin ?? Number.POSITIVE_INFINITY) / 4, BETWEEN_MIN),
    waitMin: limited(turnoverMin ?? Number.POSITIVE_INFINITY, WAIT_MIN),
  }
}

/** More additions than this are no way to dose: common practice, no source. */
const MOST_PARTS = 60

/** Of how many equal additions a dose is made so that none moves the water too far; null where that would be too many. */
export function partsOf(
  water: Water,
  volumeL: number,
  chemical: Chemical,
  massG: number,
  limits: StepLimits,
): number | null {
  const whole = inRange(() => afterDose(water, volumeL, { chemical, massG }))
  if (!whole) return null
  let parts = Math.max(1, Math.ceil(excessOf(water, whole, limits) - ROUNDING))
  if (parts === 1 || movesEvenly(water, whole, limits, parts)) return parts <= MOST_PARTS ? parts : null
  while (parts <= MOST_PARTS) {
    const worst = worstOf(water, volumeL, chemical, massG / parts, parts, limits)
    if (worst <= 1 + ROUNDING) return parts
    parts = Math.max(parts + 1, Math.ceil(parts * worst - ROUNDING))
  }
  return null
}

/** What is only mixed moves alike in each part; pH and alkalinity do not, but are far from their limits then. */
const movesEvenly = (before: Water, after: Water, limits: StepLimits, parts: number): boolean =>
  Math.abs(after.ph - before.ph) < limits.ph &&
  Math.abs(after.totalAlkalinityMgL - before.totalAlkalinityMgL) < 0.9 * parts * limits.acidAlkalinityMgL

function worstOf(water: Water, volumeL: number, chemical: Chemical, massG: number, parts: number, limits: StepLimits) {
  let worst = 0
  let before = water
  for (let part = 0; part < parts; part++) {
    const after = afterDose(before, volumeL, { chemical, massG })
    worst = Math.max(worst, excessOf(before, after, limits))
    before = after
  }
  return worst
}

/** By how many times of its limit the furthest of all values has moved. */
function excessOf(before: Water, after: Water, limits: StepLimits): number {
  const moved = (thing: keyof Water) => after[thing] - before[thing]
  return Math.max(
    Math.abs(moved('ph')) / limits.ph,
    moved('freeChlorineMgL') / limits.freeChlorineMgL,
    moved('bromineMgL') / limits.bromineMgL,
    -moved('totalAlkalinityMgL') / limits.acidAlkalinityMgL,
    moved('totalAlkalinityMgL') / limits.totalAlkalinityMgL,
    moved('calciumHardnessMgL') / limits.calciumHardnessMgL,
    moved('cyanuricAcidMgL') / limits.cyanuricAcidMgL,
  )
}

import {
  alkalinityForSaturation,
  calciumForSaturation,
  phForSaturation,
  saturationIndex,
} from '../balance/saturation.ts'
import type { Water } from '../water.ts'
import { type Course, isTested } from './course.ts'
import { aimInto, isWithin, type WantedRange } from './wanted.ts'

/** Where alkalinity, pH and hardness should end; null where they stay as they are. */
export interface BalanceAims {
  totalAlkalinityMgL: number | null
  ph: number | null
  calciumHardnessMgL: number | null
}

/** How far each may be moved inside its range for the sake of the saturation index. Common practice, no source. */
const LEVERS = {
  corrosive: [
    ['calciumHardnessMgL', 250],
    ['totalAlkalinityMgL', 120],
    ['ph', 7.6],
    ['calciumHardnessMgL', 400],
  ],
  scaling: [
    ['ph', 7.25],
    ['totalAlkalinityMgL', 80],
  ],
} as const satisfies Record<string, readonly (readonly [keyof BalanceAims, number])[]>

/** From what is outside its range, and then from the saturation index that this would leave. */
export function balanceAims(course: Course): BalanceAims {
  const aims: BalanceAims = {
    totalAlkalinityMgL: aimOf(course, 'totalAlkalinityMgL'),
    ph: aimOf(course, 'ph'),
    calciumHardnessMgL: aimOf(course, 'calciumHardnessMgL'),
  }
  // hardness is not taken out here: that is a matter of fresh water
  if ((aims.calciumHardnessMgL ?? 0) < course.water.calciumHardnessMgL) aims.calciumHardnessMgL = null
  const range = course.given.wanted.ranges.saturationIndex
  const known = (['calciumHardnessMgL', 'totalAlkalinityMgL', 'ph'] as const).every((thing) => isTested(course, thing))
  return range && known ? withIndex(course, aims, range) : aims
}

function aimOf({ given, water }: Course, thing: keyof BalanceAims): number | null {
  const range = given.wanted.ranges[thing]
  return range && !given.untested?.includes(thing) ? aimInto(water[thing], range) : null
}

const planned = (water: Water, aims: BalanceAims): Water => ({
  ...water,
  ph: aims.ph ?? water.ph,
  totalAlkalinityMgL: aims.totalAlkalinityMgL ?? water.totalAlkalinityMgL,
  calciumHardnessMgL: aims.calciumHardnessMgL ?? water.calciumHardnessMgL,
})

function withIndex({ given, water, steps }: Course, before: BalanceAims, range: WantedRange): BalanceAims {
  const index = saturationIndex(planned(water, before))
  if (index === null) return before
  // a water that is only predicted should be clearly inside
  const isPredicted = steps.length > 0 || Object.values(before).some((aim) => aim !== null)
  const margin = isPredicted ? INDEX_MARGIN : 0
  if (isWithin(index, range, margin)) return before
  const corrosive = range.min !== null && index < range.min + margin
  const target = corrosive ? range.fromBelow : range.fromAbove
  const sign = corrosive ? 1 : -1
  let aims = before
  for (const [thing, most] of LEVERS[corrosive ? 'corrosive' : 'scaling']) {
    const so = planned(water, aims)
    const end = bounded(most, sign, given.wanted.ranges[thing])
    const needed = NEEDED[thing](so, target)
    const to = needed === null ? end : sign > 0 ? Math.min(needed, end) : Math.max(needed, end)
    if ((to - so[thing]) * sign <= 0) continue
    aims = { ...aims, [thing]: to }
    const reached = saturationIndex(planned(water, aims))
    if (reached === null || isWithin(reached, range, INDEX_MARGIN)) break
  }
  return aims
}

/** As far inside its tolerance as the index is known. Common practice, no source. */
const INDEX_MARGIN = 0.05

const NEEDED = {
  calciumHardnessMgL: calciumForSaturation,
  totalAlkalinityMgL: alkalinityForSaturation,
  ph: phForSaturation,
} as const satisfies Record<keyof BalanceAims, (water: Water, target: number) => number | null>

/** Not beyond what the profile leaves: a tenth inside its limit, as aims are. */
function bounded(most: number, sign: number, range: WantedRange | undefined): number {
  if (!range) return most
  const limit = sign > 0 ? range.max : range.min
  if (limit === null) return most
  const margin = range.min !== null && range.max !== null ? (range.max - range.min) / 10 : 0
  return sign > 0 ? Math.min(most, limit - margin) : Math.max(most, limit + margin)
}

import { within } from '../errors.ts'
import { risingRoot } from '../root.ts'
import { asEquivalents, basesAt, carbonatesFrom } from '../speciation/carbonate.ts'
import { solutionOf } from '../speciation/solution.ts'
import { type BufferedWater, checkedWater, WATER_RANGE } from '../water.ts'

/**
 * Calcite saturation index, log10 of ion activity product over solubility: below 0 the water dissolves calcium carbonate, above 0
 * it can form scale. From equilibrium constants with ion pairs and activity coefficients; cyanurate, borate and hydroxide are
 * taken out of the alkalinity first. This is the form that the product shows.
 * @returns null where none can be told: no calcium, under 1 mg/L of carbonate alkalinity, or pH beyond 5–10
 * @throws OutOfRange outside the ranges of `Water`
 * @source plummerBusenberg1982, wateq4f, truesdellJones1974; obrien1974 for cyanurate
 */
export const saturationIndex = (water: BufferedWater): number | null => indexOf(checkedWater(water))

function indexOf(water: BufferedWater, solution = solutionOf(water)): number | null {
  if (water.calciumHardnessMgL < LEAST_CALCIUM_MGL || !(water.ph >= INDEX_PH.min && water.ph <= INDEX_PH.max))
    return null
  const hydrogen = 10 ** -water.ph
  const { hydroxide, borate, cyanurate } = basesAt(solution, hydrogen)
  const alkalinity = asEquivalents(water.totalAlkalinityMgL) - hydroxide - borate - cyanurate
  if (alkalinity < LEAST_CARBONATE) return null
  const { freeCalcium, freeCarbonate } = carbonatesFrom(solution, hydrogen, { alkalinity })
  return Math.log10((freeCalcium * freeCarbonate) / solution.medium.calcite)
}
// less is no reading
const LEAST_CALCIUM_MGL = 0.01
const INDEX_PH = { min: 5, max: 10 }
const LEAST_CARBONATE = asEquivalents(1)

/** pH at which calcite would neither form nor dissolve, temperature, calcium and total alkalinity as they are.
 * @returns null when no pH from 5 to 10 does; @throws OutOfRange outside the ranges of `Water`
 * @source plummerBusenberg1982, as `saturationIndex` */
export const saturationPh = (water: BufferedWater): number | null => phForSaturation(water, 0)

/** pH that would bring the saturation index to a target at the same total alkalinity: carbon dioxide is taken out or put in.
 * @returns null when no pH from 5 to 10 does; the lower when there are two: at high pH cyanurate and borate leave no carbonate
 * @throws OutOfRange outside the ranges of `Water` and for a target beyond −5 to 5
 * @source plummerBusenberg1982, as `saturationIndex` */
export function phForSaturation(water: BufferedWater, target: number): number | null {
  const solution = solutionOf(checkedWater(water))
  const excess = excessOver(target, (ph) => indexOf({ ...water, ph }, solution))
  // the index climbs, and turns back once at the most: looked for in steps, and at the turn between them
  let before = excess(INDEX_PH.min)
  for (let tenths = 10 * INDEX_PH.min; tenths < 10 * INDEX_PH.max; tenths++) {
    const [low, high] = [tenths / 10, (tenths + 1) / 10]
    const now = excess(high)
    if (now >= 0) return rootOrNull(excess, low, high, high)
    if (now < before) {
      const top = summit(excess, Math.max(INDEX_PH.min, low - 0.1), high)
      return excess(top) >= 0 ? rootOrNull(excess, Math.max(INDEX_PH.min, low - 0.1), top, top) : null
    }
    before = now
  }
  return null
}

/** Where a function with one summit between two ends has it, by thirds. */
function summit(f: (x: number) => number, low: number, high: number): number {
  let [left, right] = [low, high]
  for (let round = 0; round < 60; round++) {
    const third = (right - left) / 3
    if (f(left + third) < f(right - third)) left += third
    else right -= third
  }
  return (left + right) / 2
}

/** Calcium hardness, mg/L as CaCO3, that would bring the saturation index to a target, all else as it is.
 * @returns null when nothing from 1 to 5000 does; @throws as `phForSaturation`
 * @source plummerBusenberg1982, as `saturationIndex` */
export function calciumForSaturation(water: BufferedWater, target: number): number | null {
  const [least, most] = [1, WATER_RANGE.calciumHardnessMgL[1]]
  const guess = Math.max(least, checkedWater(water).calciumHardnessMgL)
  // by its logarithm: the index grows with that nearly in a straight line
  const excess = excessOver(target, (log) => indexOf({ ...water, calciumHardnessMgL: Math.exp(log) }))
  const log = rootOrNull(excess, Math.log(least), Math.log(most), Math.log(guess))
  return log === null ? null : Math.exp(log)
}

/** Total alkalinity, mg/L as CaCO3, that would bring the saturation index to a target at the same pH.
 * @returns null when nothing up to 2000 does; @throws as `phForSaturation`
 * @source plummerBusenberg1982, as `saturationIndex` */
export function alkalinityForSaturation(water: BufferedWater, target: number): number | null {
  const most = WATER_RANGE.totalAlkalinityMgL[1]
  const excess = excessOver(target, (mgL) => indexOf({ ...water, totalAlkalinityMgL: mgL }))
  return rootOrNull(excess, 0, most, Math.max(1, checkedWater(water).totalAlkalinityMgL))
}

/** How far the index is over the target; where there is none, far under it: too little calcium or carbonate. */
function excessOver(target: number, index: (x: number) => number | null) {
  within('target of the saturation index', target, -5, 5)
  return (x: number) => (index(x) ?? -20) - target
}

function rootOrNull(excess: (x: number) => number, low: number, high: number, guess: number): number | null {
  const root = risingRoot(excess, low, high, guess, 1e-10, (high - low) / 16)
  return Math.abs(excess(root)) < 1e-6 ? root : null
}

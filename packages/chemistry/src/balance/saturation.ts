import { within } from '../errors.ts'
import { risingRoot } from '../root.ts'
import { asEquivalents, basesAt, type Carbonates, carbonatesFrom } from '../speciation/carbonate.ts'
import { type Solution, solutionOf } from '../speciation/solution.ts'
import { checkedWater, WATER_RANGE, type Water } from '../water.ts'

/** Water as the saturation index needs it. */
export interface CalciteWater {
  /** 0–50 °C. */
  tempC: number
  /** 5–10. */
  ph: number
  /** mg/L as CaCO3, more than 0, at most 5000. */
  calciumHardnessMgL: number
  /** mg/L as CaCO3, 0–2000: total alkalinity without what cyanurate and borate hold, see `carbonateAlkalinity`. */
  carbonateAlkalinityMgL: number
  /** Total dissolved solids, mg/L, 0–50,000. What the other values do not explain counts as sodium chloride. */
  tdsMgL: number
}

/**
 * Calcite saturation index, log10 of ion activity product over solubility: below 0 the water dissolves calcium
 * carbonate, above 0 it can form scale. From equilibrium constants with ion pairs and activity coefficients; 1 L counts as
 * 1 kg of water. This is the form that the product shows.
 * @throws OutOfRange outside the ranges of `CalciteWater`, or when nothing of the alkalinity is carbonate
 * @source plummerBusenberg1982, wateq4f, truesdellJones1974
 */
export function saturationIndex(water: CalciteWater): number {
  const { ph } = water
  within('pH', ph, 5, 10)
  within('calcium hardness in mg/L', water.calciumHardnessMgL, Number.MIN_VALUE, 5000)
  within('carbonate alkalinity in mg/L', water.carbonateAlkalinityMgL, 0, 2000)
  within('total dissolved solids in mg/L', water.tdsMgL, 0, 50_000)

  const solution = solutionOf({ ...NOTHING_ELSE, ...water, totalAlkalinityMgL: water.carbonateAlkalinityMgL })
  const hydrogen = 10 ** -ph
  const { hydroxide } = basesAt(solution, hydrogen)
  const alkalinity = within(
    'carbonate alkalinity in mol/L at this pH',
    asEquivalents(water.carbonateAlkalinityMgL) - hydroxide,
    1e-9,
    1,
  )
  return calciteIndex(solution, carbonatesFrom(solution, hydrogen, { alkalinity }))
}
const NOTHING_ELSE = { cyanuricAcidMgL: 0, boronMgL: 0, freeChlorineMgL: 0, bromineMgL: 0 }

const calciteIndex = ({ medium }: Solution, { freeCalcium, freeCarbonate }: Carbonates) =>
  Math.log10((freeCalcium * freeCarbonate) / medium.calcite)

/** Calcite saturation index of a whole water: cyanurate, borate and hydroxide are taken out of the alkalinity here.
 * @returns null where no index can be told: no calcium, under 1 mg/L of carbonate alkalinity, or pH beyond 5–10
 * @throws OutOfRange outside the ranges of `Water`
 * @source as `saturationIndex` and `carbonateSystem` */
export const waterSaturationIndex = (water: Water): number | null => indexOf(checkedWater(water))

function indexOf(water: Water, solution = solutionOf(water)): number | null {
  if (water.calciumHardnessMgL <= 0 || !(water.ph >= INDEX_PH.min && water.ph <= INDEX_PH.max)) return null
  const hydrogen = 10 ** -water.ph
  const { hydroxide, borate, cyanurate } = basesAt(solution, hydrogen)
  const alkalinity = asEquivalents(water.totalAlkalinityMgL) - hydroxide - borate - cyanurate
  if (alkalinity < LEAST_CARBONATE) return null
  return calciteIndex(solution, carbonatesFrom(solution, hydrogen, { alkalinity }))
}
const INDEX_PH = { min: 5, max: 10 }
const LEAST_CARBONATE = asEquivalents(1)

/** pH at which calcite would neither form nor dissolve, temperature, calcium and total alkalinity as they are.
 * @returns null when no pH from 5 to 10 does; @throws OutOfRange outside the ranges of `Water` @source as `saturationIndex` */
export const saturationPh = (water: Water): number | null => phForSaturation(water, 0)

/** pH that would bring the saturation index to a target at the same total alkalinity: carbon dioxide is taken out or put in.
 * @returns null when no pH from 5 to 10 does; the lower when there are two: at high pH cyanurate and borate leave no carbonate
 * @throws OutOfRange outside the ranges of `Water` and for a target beyond −5 to 5 @source as `saturationIndex` */
export function phForSaturation(water: Water, target: number): number | null {
  const solution = solutionOf(checkedWater(water))
  const excess = excessOver(target, (ph) => indexOf({ ...water, ph }, solution))
  for (let tenths = 10 * INDEX_PH.min; tenths < 10 * INDEX_PH.max; tenths++) {
    const high = (tenths + 1) / 10
    if (excess(high) >= 0) return rootOrNull(excess, tenths / 10, high, high)
  }
  return null
}

/** Calcium hardness, mg/L as CaCO3, that would bring the saturation index to a target, all else as it is.
 * @returns null when nothing from 1 to 5000 does; @throws as `phForSaturation` @source as `saturationIndex` */
export function calciumForSaturation(water: Water, target: number): number | null {
  const [least, most] = [1, WATER_RANGE.calciumHardnessMgL[1]]
  const guess = Math.max(least, checkedWater(water).calciumHardnessMgL)
  // by its logarithm: the index grows with that nearly in a straight line
  const excess = excessOver(target, (log) => indexOf({ ...water, calciumHardnessMgL: Math.exp(log) }))
  const log = rootOrNull(excess, Math.log(least), Math.log(most), Math.log(guess))
  return log === null ? null : Math.exp(log)
}

/** Total alkalinity, mg/L as CaCO3, that would bring the saturation index to a target at the same pH.
 * @returns null when nothing up to 2000 does; @throws as `phForSaturation` @source as `saturationIndex` */
export function alkalinityForSaturation(water: Water, target: number): number | null {
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
  const root = risingRoot(excess, low, high, guess, 1e-10)
  return Math.abs(excess(root)) < 1e-6 ? root : null
}

import type { WaterState } from '../dosing/plan.types.ts'
import { carbonateAlkalinity } from '../speciation/carbonate.ts'
import { chlorineSpecies } from '../speciation/chlorine.ts'
import { checkedWater, type Water } from '../water.ts'
import { saturationIndex } from './saturation.ts'

/** A water with what follows from it. @throws OutOfRange outside the ranges of `Water` */
export function waterState(water: Water): WaterState {
  checkedWater(water)
  const sanitizedByBromine = water.bromineMgL > 0
  const hasActive = water.ph >= 5 && water.ph <= 10 && !sanitizedByBromine
  return {
    water,
    saturationIndex: saturationIndex(water),
    hypochlorousMgL: hasActive ? chlorineSpecies(water).hypochlorousMgL : null,
    carbonateAlkalinityMgL: carbonateAlkalinity(water),
  }
}

import { afterAddition } from '../balance/additions.ts'
import { MOLAR_MASS } from '../constants.ts'
import { within } from '../errors.ts'
import { combinedChlorine } from '../speciation/chlorine.ts'
import type { Water } from '../water.ts'

/** Chlorine for each mg of ammonia nitrogen, mg/mg: 2 NH3 + 3 HOCl = N2 + 3 H+ + 3 Cl− + 3 H2O. The 7.6 : 1 of the textbooks. */
export const CHLORINE_PER_AMMONIA_NITROGEN = (3 * MOLAR_MASS.chlorine) / (2 * MOLAR_MASS.nitrogen)

/** More chlorine for each mg of combined chlorine, mg/mg, if all of it is monochloramine: two thirds of the way are done.
 * 2 NH2Cl + HOCl = N2 + 3 H+ + 3 Cl− + H2O */
export const CHLORINE_PER_MONOCHLORAMINE = 1 / 2

/** The rule of the handbooks, mg/L of chlorine for each mg/L of combined chlorine: a rule, not a stoichiometry.
 * @source comar10170143, kfla2011 */
export const HANDBOOK_PER_COMBINED = 10

/** Chlorine that burns combined chlorine off, mg/L as Cl2, each by its name. */
export interface BreakpointChlorine {
  combinedMgL: number
  /** Stoichiometry, if all of it is monochloramine. What is organic takes more or does not burn at all. */
  monochloramineMgL: number
  /** Handbook rule: to ADD, whatever is there. */
  handbookMgL: number
  /** The same rule read as a level to RAISE free chlorine TO: that much less what is there. */
  handbookAsLevelMgL: number
}

/**
 * Chlorine to add for breakpoint. The rule of ten stands in print in two readings: KFL&A's text raises free chlorine TO ten times
 * the combined chlorine, its worked example ADDS ten times, and so does COMAR. The product adds: the larger of the two.
 * @param tested free and total chlorine mg/L as Cl2, each 0 or more, else OutOfRange
 * @source comar10170143, kfla2011 for the rule
 */
export function breakpointChlorine(tested: { freeChlorineMgL: number; totalChlorineMgL: number }): BreakpointChlorine {
  const combinedMgL = combinedChlorine(tested.totalChlorineMgL, tested.freeChlorineMgL)
  const handbookMgL = HANDBOOK_PER_COMBINED * combinedMgL
  return {
    combinedMgL,
    monochloramineMgL: CHLORINE_PER_MONOCHLORAMINE * combinedMgL,
    handbookMgL,
    handbookAsLevelMgL: Math.max(0, handbookMgL - tested.freeChlorineMgL),
  }
}

/** Chlorine that takes ammonia to nitrogen, mg/L as Cl2: pure stoichiometry; practice needs more, because side reactions take some.
 * @param ammoniaNitrogenMgL mg/L of nitrogen in ammonia, 0–50, else OutOfRange */
export const chlorineForAmmonia = (ammoniaNitrogenMgL: number): number =>
  CHLORINE_PER_AMMONIA_NITROGEN * within('ammonia nitrogen in mg/L', ammoniaNitrogenMgL, 0, 50)

/** Water once its combined chlorine, all taken as monochloramine, has become nitrogen: the free chlorine that takes is gone, and three
 * acids for each of it have come. Where free chlorine does not reach, the rest stays combined.
 * @throws OutOfRange outside the ranges of `Water` */
export function afterBreakpoint(water: Water): Water {
  const used = Math.min(CHLORINE_PER_MONOCHLORAMINE * water.combinedChlorineMgL, water.freeChlorineMgL)
  const burned = afterAddition(water, {
    availableChlorineMgL: -used,
    alkalinityMeqL: (-3 * used) / MOLAR_MASS.chlorine,
  })
  return { ...burned, combinedChlorineMgL: water.combinedChlorineMgL - used / CHLORINE_PER_MONOCHLORAMINE }
}

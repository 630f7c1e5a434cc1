import { MOLAR_MASS } from '../constants.ts'
import { within } from '../errors.ts'
import {
  asEquivalents,
  asMgL,
  basesAt,
  carbonateAlkalinityIn,
  carbonatesFrom,
  MOST_CARBON_MMOL,
  phWhere,
} from '../speciation/carbonate.ts'
import { solutionOf } from '../speciation/solution.ts'
import { checkedWater, type Water } from '../water.ts'

/**
 * What is added to each litre of pool water; below 0 what is taken out.
 *
 * Base is counted from CO2, H3Cy (cyanuric acid and its chlorinated forms), H3BO3, HOCl, HOBr, H2O and the salts of strong acids.
 * So hypochlorite is a base and counts with one equivalent for each mole of available chlorine, although a titration leaves it
 * out. For each mole: HCl −1, H2SO4 −2, NaHSO4 −1, NaOH +1, NaHCO3 +1, Na2CO3 +2, CO2 0, NaOCl +1, Ca(OCl)2 +2 (two of
 * chlorine), Cl2 gas −1 (HOCl + HCl), trichlor 0 (three of chlorine), sodium dichlor +1 (two of chlorine), cyanuric acid 0, boric
 * acid 0, borax +2 (four of boron).
 */
export interface Addition {
  alkalinityMeqL?: number
  inorganicCarbonMmolL?: number
  calciumMmolL?: number
  cyanuricAcidMmolL?: number
  boronMmolL?: number
  /** As Cl2. */
  availableChlorineMgL?: number
  /** As Br2. */
  bromineMgL?: number
  sulfateMgL?: number
  dissolvedSolidsMgL?: number
}

/**
 * Water after something was mixed into it, in a closed system: nothing lost to the air, nothing precipitated, no chlorine used up.
 * @throws OutOfRange when the water before or after lies outside the ranges of `Water`
 * @source plummerBusenberg1982 and the others of `carbonateSystem`; morris1966 for hypochlorite
 */
export function afterAddition(water: Water, added: Addition): Water {
  const before = strongOf(checkedWater(water))
  const { calciumMmolL = 0, cyanuricAcidMmolL = 0, boronMmolL = 0 } = added
  return waterOf(
    {
      ...water,
      calciumHardnessMgL: water.calciumHardnessMgL + calciumMmolL * MOLAR_MASS.calciumCarbonate,
      cyanuricAcidMgL: water.cyanuricAcidMgL + cyanuricAcidMmolL * MOLAR_MASS.cyanuricAcid,
      boronMgL: water.boronMgL + boronMmolL * MOLAR_MASS.boron,
      freeChlorineMgL: water.freeChlorineMgL + (added.availableChlorineMgL ?? 0),
      bromineMgL: water.bromineMgL + (added.bromineMgL ?? 0),
      sulfateMgL: water.sulfateMgL + (added.sulfateMgL ?? 0),
      tdsMgL: water.tdsMgL + (added.dissolvedSolidsMgL ?? 0),
    },
    before.base + (added.alkalinityMeqL ?? 0) / 1000,
    { carbon: before.carbon + (added.inorganicCarbonMmolL ?? 0) / 1000 },
  )
}

/**
 * Water after that much free chlorine has become chloride, by sunlight or by what it oxidized: HOCl → H+ + Cl−. The acid given
 * back is as much as the base that hypochlorite brought. Ammonia gives off some more of its own, which is not counted.
 * @param freeChlorineMgL mg/L as Cl2, 0 to all that there is
 */
export function chlorineConsumed(water: Water, freeChlorineMgL: number): Water {
  within('free chlorine used up in mg/L', freeChlorineMgL, 0, water.freeChlorineMgL)
  return afterAddition(water, {
    availableChlorineMgL: -freeChlorineMgL,
    alkalinityMeqL: -freeChlorineMgL / MOLAR_MASS.chlorine,
  })
}

/** Carbon dioxide in outdoor air, parts per million of one atmosphere. The air over an indoor pool holds more.
 * @source wmo2025 */
export const CARBON_DIOXIDE_OF_AIR_PPM = 424

/**
 * Water that has come into balance with the carbon dioxide of the air: alkalinity stays, pH goes where the air wants it.
 * @param carbonDioxidePpm parts per million of one atmosphere, 1–100,000
 * @source plummerBusenberg1982 and the others of `carbonateSystem`
 */
export function aerated(water: Water, carbonDioxidePpm = CARBON_DIOXIDE_OF_AIR_PPM): Water {
  const { base } = strongOf(checkedWater(water))
  return waterOf(water, base, { air: within('carbon dioxide of the air in ppm', carbonDioxidePpm, 1, 1e5) / 1e6 })
}

/** Part of the water replaced by other water, mixed in a closed system.
 * @param share 0–1 of the volume that is the other water afterwards */
export function mixed(water: Water, other: Water, share: number): Water {
  within('share of other water', share, 0, 1)
  const one = strongOf(checkedWater(water))
  const two = strongOf(checkedWater(other))
  const between = (a: number, b: number) => a + share * (b - a)
  const both = Object.fromEntries(
    (Object.keys(water) as (keyof Water)[]).map((key) => [key, between(water[key], other[key])]),
  ) as unknown as Water
  return waterOf(both, between(one.base, two.base), { carbon: between(one.carbon, two.carbon) })
}

/** What mixing keeps: base with hypochlorite (equivalents/L) and inorganic carbon (mol/L). */
export function strongOf(water: Water) {
  const solution = solutionOf(water)
  const hydrogen = 10 ** -water.ph
  const bases = basesAt(solution, hydrogen)
  const alkalinity = carbonateAlkalinityIn(water, bases)
  const { carbonDioxide, hydrogenCarbonate, carbonate } = carbonatesFrom(solution, hydrogen, { alkalinity })
  return {
    base: asEquivalents(water.totalAlkalinityMgL) + bases.hypohalite,
    carbon: carbonDioxide + hydrogenCarbonate + carbonate,
  }
}

/** pH and titrated alkalinity of a water from what it is made of. The alkalinity moves the ionic strength a little, which moves
 * how much hypochlorite there is: a few rounds, each a thousand times nearer. */
function waterOf(made: Water, base: number, carbonate: { carbon: number } | { air: number }): Water {
  if ('carbon' in carbonate) within('inorganic carbon in mmol/L', 1000 * carbonate.carbon, 0, MOST_CARBON_MMOL)
  let water = checkedWater({ ...made, totalAlkalinityMgL: asMgL(base) })
  for (let round = 0; round < 8; round++) {
    const step = round === 0 ? 0.125 : 1e-4
    const solution = solutionOf(water)
    const known = 'carbon' in carbonate ? carbonate : { carbonDioxide: carbonate.air * solution.medium.henry }
    const ph = phWhere(
      (hydrogen) => {
        const { hydroxide, borate, cyanurate, hypohalite } = basesAt(solution, hydrogen)
        return carbonatesFrom(solution, hydrogen, known).alkalinity + hydroxide + borate + cyanurate + hypohalite - base
      },
      water.ph,
      step,
    )
    const totalAlkalinityMgL = asMgL(base - basesAt(solution, 10 ** -ph).hypohalite)
    const moved = Math.abs(totalAlkalinityMgL - water.totalAlkalinityMgL)
    water = { ...water, ph, totalAlkalinityMgL }
    if (moved < 1e-4) break
  }
  return checkedWater(water)
}

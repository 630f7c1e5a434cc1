import { MG_CACO3_PER_MEQ } from '../constants.ts'
import { within } from '../errors.ts'
import { risingRoot } from '../root.ts'
import { type BufferedWater, checkedWater, WATER_RANGE } from '../water.ts'
import { cyanurateCharge, cyanurateShape, hypochlorousAcid } from './cyanurate.ts'
import { powerOfTen } from './powerOfTen.ts'
import { type Solution, solutionOf } from './solution.ts'

/** Where the total alkalinity is, mg/L as CaCO3; the four add up to it. */
export interface AlkalinityParts {
  /** HCO3− + 2 CO3²−, pairs included. */
  carbonate: number
  /** OH− less H+: below 0 in acid water. */
  hydroxide: number
  /** The charge of all cyanurate, chlorinated or not. */
  cyanurate: number
  borate: number
}

export interface CarbonateSystem {
  /** The three together; pairs with calcium and sodium are counted with their ion. */
  inorganicCarbonMmolL: number
  carbonDioxideMmolL: number
  hydrogenCarbonateMmolL: number
  carbonateMmolL: number
  /** In air that would neither take carbon dioxide nor give it: parts per million of one atmosphere. */
  carbonDioxidePpm: number
  alkalinity: AlkalinityParts
}

/**
 * Inorganic carbon and the parts of the alkalinity, from pH and total alkalinity.
 * @throws OutOfRange outside the ranges of `Water`, and where cyanurate, borate and hydroxide alone would hold more than the
 * total alkalinity: such tests contradict each other
 * @source plummerBusenberg1982, wateq4f, truesdellJones1974, obrien1974, wahman2018
 */
export function carbonateSystem(water: BufferedWater): CarbonateSystem {
  const solution = solutionOf(checkedWater(water))
  const hydrogen = 10 ** -water.ph
  const bases = basesAt(solution, hydrogen)
  const carbonate = carbonateAlkalinityIn(water, bases)
  const species = carbonatesFrom(solution, hydrogen, { alkalinity: carbonate })
  return {
    inorganicCarbonMmolL: 1000 * (species.carbonDioxide + species.hydrogenCarbonate + species.carbonate),
    carbonDioxideMmolL: 1000 * species.carbonDioxide,
    hydrogenCarbonateMmolL: 1000 * species.hydrogenCarbonate,
    carbonateMmolL: 1000 * species.carbonate,
    carbonDioxidePpm: (1e6 * species.carbonDioxide) / solution.medium.henry,
    alkalinity: {
      carbonate: asMgL(carbonate),
      hydroxide: asMgL(bases.hydroxide),
      cyanurate: asMgL(bases.cyanurate),
      borate: asMgL(bases.borate),
    },
  }
}

/** What of the total alkalinity is left when cyanurate and borate are taken out, mg/L as CaCO3, never below 0: the carbonate
 * alkalinity of the trade. Hydroxide stays in it, under 1 mg/L below pH 9.
 * @throws OutOfRange outside the ranges of `Water`
 * @source obrien1974, wahman2018, wateq4f for the constants. The trade's rule is a table: 0.22–0.23 × cyanuric acid at pH 7.0 to 0.36 at 8.0 */
export function carbonateAlkalinity(water: BufferedWater): number {
  const { cyanurate, borate } = basesAt(solutionOf(checkedWater(water)), 10 ** -water.ph)
  return Math.max(0, water.totalAlkalinityMgL - asMgL(cyanurate + borate))
}

/**
 * pH of water whose inorganic carbon is known: the pH at which the total alkalinity comes out as given. Alkalinity grows with pH,
 * so the root stays between two ends from first to last.
 * @throws OutOfRange outside the ranges of `Water`, which the pH found may not leave either
 * @source plummerBusenberg1982 and the others of `carbonateSystem`
 */
export function phOf(water: Omit<BufferedWater, 'ph'>, inorganicCarbonMmolL: number): number {
  const solution = solutionOf(checkedWater(water))
  const carbon = within('inorganic carbon in mmol/L', inorganicCarbonMmolL, 0, MOST_CARBON_MMOL) / 1000
  const wanted = asEquivalents(water.totalAlkalinityMgL)
  return phWhere((hydrogen) => {
    const { hydroxide, borate, cyanurate } = basesAt(solution, hydrogen)
    return carbonatesFrom(solution, hydrogen, { carbon }).alkalinity + hydroxide + borate + cyanurate - wanted
  }, START_PH)
}
const START_PH = 7.5
export const MOST_CARBON_MMOL = 200

/** The pH at which a balance of bases is even; it may not leave the range of `Water`. */
export function phWhere(excess: (hydrogen: number) => number, guess: number, step = 0.125): number {
  const ph = risingRoot((at) => excess(powerOfTen(-at)), 0, 14, guess, 1e-11, step)
  return within('pH', ph, ...WATER_RANGE.ph)
}

/** Bases beside carbonate, equivalents per litre; what takes up acid is positive. */
export interface Bases {
  hydroxide: number
  borate: number
  cyanurate: number
  /** Hypochlorite and hypobromite: no part of the titrated alkalinity. */
  hypohalite: number
}

export function basesAt({ medium, totals }: Solution, hydrogen: number): Bases {
  const perHypochlorous = medium.hypochlorous / hydrogen
  const perHypobromous = medium.hypobromous / hydrogen
  const perBoric = medium.boric / hydrogen
  let hypochlorite = (totals.chlorine * perHypochlorous) / (1 + perHypochlorous)
  let cyanurate = 0
  if (totals.cyanuric > 0) {
    const shape = cyanurateShape(medium.cyanurate, hydrogen)
    const acid = hypochlorousAcid(totals.chlorine, totals.cyanuric, 1 + perHypochlorous, shape)
    hypochlorite = acid * perHypochlorous
    cyanurate = cyanurateCharge(acid, totals.cyanuric, shape)
  }
  return {
    hydroxide: medium.water / hydrogen - hydrogen * medium.hydrogen,
    borate: (totals.boron * perBoric) / (1 + perBoric),
    cyanurate,
    hypohalite: hypochlorite + (totals.bromine * perHypobromous) / (1 + perHypobromous),
  }
}

/** Equivalents per litre of the titrated alkalinity that are left for carbonate. */
export function carbonateAlkalinityIn(water: { totalAlkalinityMgL: number }, bases: Bases): number {
  const left = asEquivalents(water.totalAlkalinityMgL) - bases.hydroxide - bases.borate - bases.cyanurate
  // what is left when there is no carbonate at all may be a rounding error below nothing
  if (left < 0 && left > -ROUNDING) return 0
  within('alkalinity left for carbonate in mg/L', asMgL(left), 0, 1e5)
  return left
}
const ROUNDING = 1e-12

/** All carbonate species, mol/L, with their pairs; `free…` without. */
export interface Carbonates {
  carbonDioxide: number
  hydrogenCarbonate: number
  carbonate: number
  alkalinity: number
  freeCalcium: number
  freeCarbonate: number
}

/** What is known of the carbonate: its alkalinity, all its carbon, or its carbon dioxide, as the air sets it. */
export type CarbonateKnown = { alkalinity: number } | { carbon: number } | { carbonDioxide: number }

/** With the calcium balance the first two are a quadratic in HCO3−, solved exactly. */
export function carbonatesFrom({ medium, ions }: Solution, hydrogen: number, known: CarbonateKnown): Carbonates {
  // for each free HCO3−; the calcium pairs also for each free Ca²+
  const carbonDioxide = hydrogen / medium.k1
  const carbonate = medium.k2 / hydrogen
  const sodiumPair = medium.sodiumHydrogenCarbonate * ions.sodium
  const pairOne = medium.calciumHydrogenCarbonate
  const pairTwo = medium.calciumCarbonatePair * carbonate
  const onCalcium = pairOne + pairTwo

  let free: number
  if ('alkalinity' in known) free = freeFrom(known.alkalinity, 1 + sodiumPair + 2 * carbonate, pairOne + 2 * pairTwo)
  else if ('carbon' in known) free = freeFrom(known.carbon, carbonDioxide + 1 + sodiumPair + carbonate, onCalcium)
  else free = known.carbonDioxide / carbonDioxide

  const freeCalcium = ions.calcium / (1 + onCalcium * free)
  const one = free * (1 + sodiumPair + pairOne * freeCalcium)
  const two = free * (carbonate + pairTwo * freeCalcium)
  return {
    carbonDioxide: carbonDioxide * free,
    hydrogenCarbonate: one,
    carbonate: two,
    alkalinity: one + 2 * two,
    freeCalcium,
    freeCarbonate: carbonate * free,
  }

  /** Free HCO3− where free·own + free·Ca²+·paired = total. */
  function freeFrom(total: number, own: number, paired: number) {
    const linear = own + paired * ions.calcium - total * onCalcium
    return (2 * total) / (linear + Math.sqrt(linear * linear + 4 * own * onCalcium * total))
  }
}

export const asEquivalents = (mgL: number) => mgL / MG_CACO3_PER_MEQ / 1000
export const asMgL = (equivalents: number) => equivalents * MG_CACO3_PER_MEQ * 1000

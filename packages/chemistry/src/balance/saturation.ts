import { MG_CACO3_PER_MEQ, MOLAR_MASS } from '../constants.ts'
import {
  type DebyeHuckel,
  debyeHuckel,
  ION,
  logActivityCoefficient,
  logActivityCoefficientDavies,
  logActivityCoefficientNeutral,
} from '../equilibria/activity.ts'
import {
  LOG_K_SODIUM_HYDROGEN_CARBONATE,
  logK2Carbonic,
  logKCalciumCarbonatePair,
  logKCalciumHydrogenCarbonate,
  logKspCalcite,
  logKWater,
} from '../equilibria/carbonate.ts'
import { within } from '../errors.ts'

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
  const { tempC, ph } = water
  within('pH', ph, 5, 10)
  within('calcium hardness in mg/L', water.calciumHardnessMgL, Number.MIN_VALUE, 5000)
  within('carbonate alkalinity in mg/L', water.carbonateAlkalinityMgL, 0, 2000)
  within('total dissolved solids in mg/L', water.tdsMgL, 0, 50_000)

  const debye = debyeHuckel(tempC)
  const ions = ionsOf(water)
  const gamma = coefficients(ions.ionicStrength, debye)
  const hydrogen = 10 ** -ph
  const free = freeIons(ions, gamma, tempC, hydrogen)
  return Math.log10(free.calcium * gamma.calcium * free.carbonate * gamma.carbonate) - logKspCalcite(tempC)
}

/** Ions in mol/kg before pairing. Chloride balances calcium and the extra salt, sodium the alkalinity and the extra salt. */
function ionsOf({ calciumHardnessMgL, carbonateAlkalinityMgL, tdsMgL }: CalciteWater) {
  const calcium = calciumHardnessMgL / MOLAR_MASS.calciumCarbonate / 1000
  const alkalinity = carbonateAlkalinityMgL / MG_CACO3_PER_MEQ / 1000
  const { calcium: ca, sodium: na, chloride: cl, hydrogenCarbonate: hco3 } = MOLAR_MASS
  const explained = calcium * (ca + 2 * cl) + alkalinity * (na + hco3)
  const salt = Math.max(0, (tdsMgL / 1000 - explained) / (na + cl))
  const sodium = alkalinity + salt
  const chloride = 2 * calcium + salt
  return { calcium, alkalinity, sodium, ionicStrength: 0.5 * (4 * calcium + alkalinity + sodium + chloride) }
}
type Ions = ReturnType<typeof ionsOf>

function coefficients(ionicStrength: number, debye: DebyeHuckel) {
  const sized = (ion: (typeof ION)[keyof typeof ION]) => 10 ** logActivityCoefficient(ion, ionicStrength, debye)
  return {
    calcium: sized(ION.calcium),
    carbonate: sized(ION.carbonate),
    hydrogenCarbonate: sized(ION.hydrogenCarbonate),
    sodium: sized(ION.sodium),
    hydrogen: sized(ION.hydrogen),
    monovalent: 10 ** logActivityCoefficientDavies(1, ionicStrength, debye),
    neutral: 10 ** logActivityCoefficientNeutral(ionicStrength),
  }
}
type Coefficients = ReturnType<typeof coefficients>

/** Free Ca²+ and CO3²− in mol/kg once the pairs have taken their part: alkalinity and calcium balances, a quadratic in HCO3−. */
function freeIons(ions: Ions, gamma: Coefficients, tempC: number, hydrogen: number) {
  const hydroxide = 10 ** logKWater(tempC) / hydrogen / gamma.monovalent
  const carbonateAlkalinity = within(
    'carbonate alkalinity in mol/L at this pH',
    ions.alkalinity - hydroxide + hydrogen / gamma.hydrogen,
    1e-9,
    1,
  )
  // carbonate for each hydrogen carbonate, and pairs for each calcium or sodium and hydrogen carbonate, as concentrations
  const ratio = (10 ** logK2Carbonic(tempC) * gamma.hydrogenCarbonate) / (hydrogen * gamma.carbonate)
  const calciumPair =
    (10 ** logKCalciumHydrogenCarbonate(tempC) * gamma.calcium * gamma.hydrogenCarbonate) / gamma.monovalent
  const neutralPair = (10 ** logKCalciumCarbonatePair(tempC) * gamma.calcium * gamma.carbonate * ratio) / gamma.neutral
  const sodiumPair =
    (10 ** LOG_K_SODIUM_HYDROGEN_CARBONATE * gamma.sodium * gamma.hydrogenCarbonate * ions.sodium) / gamma.neutral

  const own = 1 + 2 * ratio + sodiumPair
  const inAlkalinity = calciumPair + 2 * neutralPair
  const inCalcium = calciumPair + neutralPair
  const linear = own + inAlkalinity * ions.calcium - carbonateAlkalinity * inCalcium
  const square = own * inCalcium
  const root = Math.sqrt(linear * linear + 4 * square * carbonateAlkalinity)
  const hydrogenCarbonate = (2 * carbonateAlkalinity) / (linear + root)
  return { calcium: ions.calcium / (1 + inCalcium * hydrogenCarbonate), carbonate: ratio * hydrogenCarbonate }
}

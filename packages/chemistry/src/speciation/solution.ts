import { MG_CACO3_PER_MEQ, MOLAR_MASS } from '../constants.ts'
import {
  debyeHuckel,
  ION,
  logActivityCoefficient,
  logActivityCoefficientDavies,
  logActivityCoefficientNeutral,
} from '../equilibria/activity.ts'
import { pkaBoric } from '../equilibria/boric.ts'
import {
  LOG_K_SODIUM_HYDROGEN_CARBONATE,
  logHenryCarbonDioxide,
  logK1Carbonic,
  logK2Carbonic,
  logKCalciumCarbonatePair,
  logKCalciumHydrogenCarbonate,
  logKspCalcite,
  logKWater,
} from '../equilibria/carbonate.ts'
import { cyanurateConstants } from '../equilibria/cyanurate.ts'
import { PKA_HYPOBROMOUS } from '../equilibria/hypobromous.ts'
import { pkaHypochlorous } from '../equilibria/hypochlorous.ts'
import type { BufferedWater } from '../water.ts'
import { type CyanurateK, cyanurateK, cyanurateKIn } from './cyanurate.ts'
import { powerOfTen } from './powerOfTen.ts'

/** One water as the equilibria need it. */
export interface Solution {
  ions: Ions
  medium: Medium
  /** All of each, mol/L. */
  totals: { cyanuric: number; boron: number; chlorine: number; bromine: number }
}

/** Bromine is no part of a titrated alkalinity: who does not reckon with it leaves it out. */
export function solutionOf(water: Omit<BufferedWater, 'ph'> & { bromineMgL?: number }): Solution {
  const ions = ionsOf(water)
  return {
    ions,
    medium: mediumOf(water.tempC, ions.ionicStrength),
    totals: {
      cyanuric: water.cyanuricAcidMgL / MOLAR_MASS.cyanuricAcid / 1000,
      boron: water.boronMgL / MOLAR_MASS.boron / 1000,
      chlorine: water.freeChlorineMgL / MOLAR_MASS.chlorine / 1000,
      bromine: (water.bromineMgL ?? 0) / MOLAR_MASS.bromine / 1000,
    },
  }
}

/** Ions in mol/L before pairing. Chloride balances calcium and the extra salt, sodium the alkalinity and the extra salt. */
export interface Ions {
  calcium: number
  sodium: number
  ionicStrength: number
}

/** What was measured, as ions: calcium as chloride, alkalinity as sodium hydrogen carbonate, the rest of the dissolved solids
 * as sodium chloride. */
export function ionsOf(water: { calciumHardnessMgL: number; totalAlkalinityMgL: number; tdsMgL: number }): Ions {
  const calcium = water.calciumHardnessMgL / MOLAR_MASS.calciumCarbonate / 1000
  const alkalinity = Math.max(0, water.totalAlkalinityMgL) / MG_CACO3_PER_MEQ / 1000
  const { calcium: ca, sodium: na, chloride: cl, hydrogenCarbonate: hco3 } = MOLAR_MASS
  const explained = calcium * (ca + 2 * cl) + alkalinity * (na + hco3)
  const salt = Math.max(0, (water.tdsMgL / 1000 - explained) / (na + cl))
  const sodium = alkalinity + salt
  const chloride = 2 * calcium + salt
  return { calcium, sodium, ionicStrength: 0.5 * (4 * calcium + alkalinity + sodium + chloride) }
}

/** Equilibrium constants of one water: concentrations in mol/L beside the activity of H+. */
export interface Medium {
  /** [H+] for each unit of its activity. */
  hydrogen: number
  k1: number
  k2: number
  water: number
  boric: number
  hypochlorous: number
  hypobromous: number
  cyanurate: CyanurateK
  calciumHydrogenCarbonate: number
  calciumCarbonatePair: number
  sodiumHydrogenCarbonate: number
  /** [Ca²+]·[CO3²−] at which calcite neither forms nor dissolves. */
  calcite: number
  /** [CO2] for each atmosphere of it. */
  henry: number
}

export function mediumOf(tempC: number, ionicStrength: number): Medium {
  const at = constantsAt(tempC)
  const gamma = (ion: (typeof ION)[keyof typeof ION]) =>
    powerOfTen(logActivityCoefficient(ion, ionicStrength, at.debye))
  const charged = powerOfTen(logActivityCoefficientDavies(1, ionicStrength, at.debye))
  const neutral = powerOfTen(logActivityCoefficientNeutral(ionicStrength))
  const calcium = gamma(ION.calcium)
  const carbonate = gamma(ION.carbonate)
  const hydrogenCarbonate = gamma(ION.hydrogenCarbonate)
  const weakAcid = neutral / charged
  return {
    hydrogen: 1 / gamma(ION.hydrogen),
    k1: (at.k1 * neutral) / hydrogenCarbonate,
    k2: (at.k2 * hydrogenCarbonate) / carbonate,
    water: at.water / charged,
    boric: at.boric * weakAcid,
    hypochlorous: at.hypochlorous * weakAcid,
    hypobromous: at.hypobromous * weakAcid,
    cyanurate: cyanurateKIn(at.cyanurate, charged, neutral),
    calciumHydrogenCarbonate: (at.calciumHydrogenCarbonate * calcium * hydrogenCarbonate) / charged,
    calciumCarbonatePair: (at.calciumCarbonatePair * calcium * carbonate) / neutral,
    sodiumHydrogenCarbonate: (at.sodiumHydrogenCarbonate * gamma(ION.sodium) * hydrogenCarbonate) / neutral,
    calcite: at.calcite / (calcium * carbonate),
    henry: at.henry / neutral,
  }
}

/** At infinite dilution. The last temperature is kept: a plan of doses asks for the same one hundreds of times. */
function constantsAt(tempC: number) {
  if (latest?.tempC !== tempC) latest = { tempC, constants: freshConstants(tempC) }
  return latest.constants
}
let latest: { tempC: number; constants: ReturnType<typeof freshConstants> } | undefined

const freshConstants = (tempC: number) => ({
  debye: debyeHuckel(tempC),
  k1: powerOfTen(logK1Carbonic(tempC)),
  k2: powerOfTen(logK2Carbonic(tempC)),
  water: powerOfTen(logKWater(tempC)),
  boric: powerOfTen(-pkaBoric(tempC)),
  hypochlorous: powerOfTen(-pkaHypochlorous(tempC)),
  hypobromous: powerOfTen(-PKA_HYPOBROMOUS),
  cyanurate: cyanurateK(cyanurateConstants(tempC)),
  calciumHydrogenCarbonate: powerOfTen(logKCalciumHydrogenCarbonate(tempC)),
  calciumCarbonatePair: powerOfTen(logKCalciumCarbonatePair(tempC)),
  sodiumHydrogenCarbonate: powerOfTen(LOG_K_SODIUM_HYDROGEN_CARBONATE),
  calcite: powerOfTen(logKspCalcite(tempC)),
  henry: powerOfTen(logHenryCarbonDioxide(tempC)),
})

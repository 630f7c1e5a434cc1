import { MOLAR_MASS } from '../constants.ts'
import { type CyanurateConstants, cyanurateConstants } from '../equilibria/cyanurate.ts'
import { pkaHypochlorous } from '../equilibria/hypochlorous.ts'
import { within } from '../errors.ts'
import { boundChlorine, cyanurateK, cyanurateShape, hypochlorousAcid } from './cyanurate.ts'

/** Combined chlorine, mg/L as Cl2: total less free, and 0 when a test reads free a little over total.
 * @param totalChlorineMgL 0 or more; @param freeChlorineMgL 0 or more; negative or not a number → OutOfRange */
export function combinedChlorine(totalChlorineMgL: number, freeChlorineMgL: number): number {
  within('total chlorine in mg/L', totalChlorineMgL, 0, 1e4)
  within('free chlorine in mg/L', freeChlorineMgL, 0, 1e4)
  return Math.max(0, totalChlorineMgL - freeChlorineMgL)
}

/** Where the free chlorine of a test kit really is, each in mg/L as Cl2; the three add up to the free chlorine. */
export interface ChlorineSpecies {
  hypochlorousMgL: number
  hypochloriteMgL: number
  boundToCyanurateMgL: number
}

/**
 * Free chlorine shared among hypochlorous acid, hypochlorite and the chlorinated cyanurates: all published equilibria
 * solved together on both mass balances, as an ideal solution ([H+] = 10^−pH).
 * @param water free chlorine mg/L as Cl2, 0–200; cyanuric acid mg/L, 0–1000; pH 5–10; temperature 0–50 °C; else OutOfRange
 * @param constants the equilibrium constants; by default O'Brien's, moved to the temperature
 * @source obrien1974, morris1966; wahman2018 and wahmanAlexander2019 for the move from 25 °C
 */
export function chlorineSpecies(
  water: { freeChlorineMgL: number; cyanuricAcidMgL: number; ph: number; tempC: number },
  constants: CyanurateConstants = cyanurateConstants(water.tempC),
): ChlorineSpecies {
  within('free chlorine in mg/L', water.freeChlorineMgL, 0, 200)
  within('cyanuric acid in mg/L', water.cyanuricAcidMgL, 0, 1000)
  within('pH', water.ph, 5, 10)
  const hypochloritePerAcid = 10 ** (water.ph - pkaHypochlorous(water.tempC))
  const free = water.freeChlorineMgL / MOLAR_MASS.chlorine / 1000
  const cyanurate = water.cyanuricAcidMgL / MOLAR_MASS.cyanuricAcid / 1000
  const acid = hypochlorousAcid(
    free,
    cyanurate,
    1 + hypochloritePerAcid,
    cyanurateShape(cyanurateK(constants), 10 ** -water.ph),
  )
  const hypochlorousMgL = acid * MOLAR_MASS.chlorine * 1000
  const hypochloriteMgL = hypochlorousMgL * hypochloritePerAcid
  return {
    hypochlorousMgL,
    hypochloriteMgL,
    boundToCyanurateMgL: Math.max(0, water.freeChlorineMgL - hypochlorousMgL - hypochloriteMgL),
  }
}

/** Free chlorine, mg/L as Cl2, that holds a wanted hypochlorous acid: the same equilibria read the other way, no search.
 * @param hypochlorousMgL mg/L as Cl2, 0–200; @param water as in `chlorineSpecies`; else OutOfRange
 * @source obrien1974 and the others of `chlorineSpecies` */
export function freeChlorineForHypochlorous(
  hypochlorousMgL: number,
  water: { cyanuricAcidMgL: number; ph: number; tempC: number },
  constants: CyanurateConstants = cyanurateConstants(water.tempC),
): number {
  within('hypochlorous acid in mg/L', hypochlorousMgL, 0, 200)
  within('cyanuric acid in mg/L', water.cyanuricAcidMgL, 0, 1000)
  within('pH', water.ph, 5, 10)
  if (hypochlorousMgL === 0) return 0
  const acid = hypochlorousMgL / MOLAR_MASS.chlorine / 1000
  const cyanurate = water.cyanuricAcidMgL / MOLAR_MASS.cyanuricAcid / 1000
  const { bound } = boundChlorine(acid, cyanurate, cyanurateShape(cyanurateK(constants), 10 ** -water.ph))
  const free = acid * (1 + 10 ** (water.ph - pkaHypochlorous(water.tempC))) + bound
  return free * MOLAR_MASS.chlorine * 1000
}

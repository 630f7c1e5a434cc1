import { MG_CACO3_PER_MEQ, MOLAR_MASS } from '../constants.ts'
import { OBRIEN_25C } from '../equilibria/cyanurate.ts'
import { within } from '../errors.ts'
import { celsiusToKelvin } from '../quantities.ts'

// slope of pK6 with 1/T, from the same work as in equilibria/cyanurate.ts
const PK6_SLOPE_K = 1743
// H3BO3 = H2BO3− + H+: −9.24 at 25 °C, 3.224 kcal/mol, i.e. a slope of ΔH/(R ln 10)
const PKA_BORIC_25C = 9.24
const PKA_BORIC_SLOPE_K = (3.224 * 4184) / (8.314462618 * Math.LN10)

const shareAbove = (ph: number, pka: number) => 1 / (1 + 10 ** (pka - ph))
const moved = (pk25: number, slopeK: number, tempC: number) => pk25 + slopeK * (1 / celsiusToKelvin(tempC) - 1 / 298.15)

/** Alkalinity that cyanurate holds, mg/L as CaCO3: what a titration counts although it is no carbonate.
 * @param cyanuricAcidMgL 0–1000
 * @param ph 4–10; @param tempC 0–50 °C; outside → OutOfRange
 * @source obrien1974 for pK6 at 25 °C, wahman2018 for its slope. Trade tables print 0.22–0.23 × cyanuric acid at pH 7.0 to
 * 0.36 at 8.0; "a third" is the rule of thumb near pH 7.6 */
export function cyanurateAlkalinity(cyanuricAcidMgL: number, ph: number, tempC: number): number {
  within('cyanuric acid in mg/L', cyanuricAcidMgL, 0, 1000)
  within('pH', ph, 4, 10)
  within('water temperature in °C', tempC, 0, 50)
  const ionized = shareAbove(ph, moved(OBRIEN_25C.pk6, PK6_SLOPE_K, tempC))
  return (cyanuricAcidMgL / MOLAR_MASS.cyanuricAcid) * ionized * MG_CACO3_PER_MEQ
}

/** Alkalinity that borate holds, mg/L as CaCO3.
 * @param boronMgL 0–200, mg/L of B (not of boric acid); @param ph 4–10; @param tempC 0–50 °C; outside → OutOfRange
 * @source wateq4f: pKa 9.24 at 25 °C, 3.224 kcal/mol */
export function borateAlkalinity(boronMgL: number, ph: number, tempC: number): number {
  within('boron in mg/L', boronMgL, 0, 200)
  within('pH', ph, 4, 10)
  within('water temperature in °C', tempC, 0, 50)
  return (
    (boronMgL / MOLAR_MASS.boron) * shareAbove(ph, moved(PKA_BORIC_25C, PKA_BORIC_SLOPE_K, tempC)) * MG_CACO3_PER_MEQ
  )
}

/** What of the total alkalinity is left for carbonate, mg/L as CaCO3: total − cyanurate − borate, never below 0.
 * Hydroxide and free acid stay in it: the saturation index takes them out itself.
 * @param water total alkalinity mg/L as CaCO3, 0–2000; the others as in the two functions above */
export function carbonateAlkalinity(water: {
  totalAlkalinityMgL: number
  cyanuricAcidMgL: number
  ph: number
  tempC: number
  boronMgL?: number
}): number {
  const { totalAlkalinityMgL, cyanuricAcidMgL, ph, tempC, boronMgL = 0 } = water
  within('total alkalinity in mg/L', totalAlkalinityMgL, 0, 2000)
  const held = cyanurateAlkalinity(cyanuricAcidMgL, ph, tempC) + borateAlkalinity(boronMgL, ph, tempC)
  return Math.max(0, totalAlkalinityMgL - held)
}

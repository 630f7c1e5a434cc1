import { MG_CACO3_PER_MEQ, MOLAR_MASS } from '../constants.ts'
import { debyeHuckel, logActivityCoefficientDavies } from '../equilibria/activity.ts'
import { pkaBoric } from '../equilibria/boric.ts'
import { pkaCyanuric } from '../equilibria/cyanurate.ts'
import { within } from '../errors.ts'

/** Water as the split of its alkalinity needs it. */
interface Buffered {
  /** 4–10. */
  ph: number
  /** 0–50 °C. */
  tempC: number
  /** Total dissolved solids, mg/L, 0–50,000; 1000 when left out, which is near enough for most pools. */
  tdsMgL?: number
}

/** Ionic strength by a rule of thumb, mol/kg for each mg/L: 0.0195 at 1,000 mg/L in the reference tables. */
const IONIC_STRENGTH_PER_MGL = 1.9e-5
const USUAL_TDS_MGL = 1000

/** Part of a weak acid that has lost its proton, 0–1: pH is an activity, so the ion's coefficient moves the pKa. */
function ionizedShare(pka: number, { ph, tempC, tdsMgL = USUAL_TDS_MGL }: Buffered): number {
  within('pH', ph, 4, 10)
  const ionicStrength = within('total dissolved solids in mg/L', tdsMgL, 0, 50_000) * IONIC_STRENGTH_PER_MGL
  const apparent = pka + logActivityCoefficientDavies(1, ionicStrength, debyeHuckel(tempC))
  return 1 / (1 + 10 ** (apparent - ph))
}

/** Alkalinity that cyanurate holds, mg/L as CaCO3: what a titration counts although it is no carbonate.
 * @param cyanuricAcidMgL 0–1000; @param water see its fields; outside → OutOfRange
 * @source obrien1974 for pK6 at 25 °C, wahman2018 for its slope, Davies for the activity. Trade tables print 0.22–0.23 ×
 * cyanuric acid at pH 7.0 to 0.36 at 8.0; "a third" is the rule of thumb near pH 7.6 */
export function cyanurateAlkalinity(cyanuricAcidMgL: number, water: Buffered): number {
  within('cyanuric acid in mg/L', cyanuricAcidMgL, 0, 1000)
  if (cyanuricAcidMgL === 0) return 0
  return (cyanuricAcidMgL / MOLAR_MASS.cyanuricAcid) * ionizedShare(pkaCyanuric(water.tempC), water) * MG_CACO3_PER_MEQ
}

/** Alkalinity that borate holds, mg/L as CaCO3.
 * @param boronMgL 0–200, mg/L of B (not of boric acid); @param water see its fields; outside → OutOfRange
 * @source wateq4f for the constant, Davies for the activity */
export function borateAlkalinity(boronMgL: number, water: Buffered): number {
  within('boron in mg/L', boronMgL, 0, 200)
  if (boronMgL === 0) return 0
  return (boronMgL / MOLAR_MASS.boron) * ionizedShare(pkaBoric(water.tempC), water) * MG_CACO3_PER_MEQ
}

/** What of the total alkalinity is left for carbonate, mg/L as CaCO3: total − cyanurate − borate, never below 0.
 * Hydroxide and free acid stay in it: the saturation index takes them out itself.
 * @param water total alkalinity mg/L as CaCO3, 0–2000; the others as in the two functions above */
export function carbonateAlkalinity(
  water: Buffered & { totalAlkalinityMgL: number; cyanuricAcidMgL: number; boronMgL?: number },
): number {
  const { totalAlkalinityMgL, cyanuricAcidMgL, boronMgL = 0 } = water
  within('total alkalinity in mg/L', totalAlkalinityMgL, 0, 2000)
  within('pH', water.ph, 4, 10)
  const held = cyanurateAlkalinity(cyanuricAcidMgL, water) + borateAlkalinity(boronMgL, water)
  return Math.max(0, totalAlkalinityMgL - held)
}

import { within } from '../errors.ts'
import { celsiusToKelvin } from '../quantities.ts'

const KELVIN_25C = 298.15
const difference = (tempC: number) =>
  1 / celsiusToKelvin(within('water temperature in °C', tempC, 0, 50)) - 1 / KELVIN_25C

/** First pKa of cyanuric acid, H3Cy = H+ + H2Cy−; 6.966 at 25 °C.
 * @param tempC 0–50 °C, else OutOfRange; measured from 5 to 35 °C
 * @source wahman2018: pK6 = 1743/T + 1.12 */
export const pkaCyanuricWahman = (tempC: number): number =>
  1743 / celsiusToKelvin(within('water temperature in °C', tempC, 0, 50)) + 1.12

/** pK of the nine independent chlorine–cyanurate equilibria; K3, K5 and K11a follow from them. */
export interface CyanurateConstants {
  /** Cl3Cy + H2O = HCl2Cy + HOCl */ pk1a: number
  /** HCl2Cy = Cl2Cy− + H+ */ pk2: number
  /** H2ClCy = HClCy− + H+ */ pk4: number
  /** H3Cy = H2Cy− + H+ */ pk6: number
  /** Cl2Cy− + H2O = HClCy− + HOCl */ pk7a: number
  /** HClCy− = ClCy2− + H+ */ pk8: number
  /** HClCy− + H2O = H2Cy− + HOCl */ pk9a: number
  /** H2Cy− = HCy2− + H+ */ pk10: number
  /** HCy2− = Cy3− + H+ */ pk12: number
}

/** At 25 °C and infinite dilution.
 * @source obrien1974 */
export const OBRIEN_25C: CyanurateConstants = {
  pk1a: 1.8,
  pk2: 3.75,
  pk4: 5.33,
  pk6: 6.88,
  pk7a: 4.51,
  pk8: 10.12,
  pk9a: 5.62,
  pk10: 11.4,
  pk12: 13.5,
}

// pK = slope/T + constant; only the slopes are used, so that 25 °C stays with the full published set
const SLOPE_K = { pk6: 1743, pk7a: 2028, pk9a: 2229 } as const

/** First pKa of cyanuric acid as the product uses it: 6.88 at 25 °C, with the slope measured since.
 * @param tempC 0–50 °C, else OutOfRange
 * @source obrien1974 for 25 °C, wahman2018 for the slope */
export const pkaCyanuric = (tempC: number): number => OBRIEN_25C.pk6 + SLOPE_K.pk6 * difference(tempC)

/** The set used by the product: O'Brien's constants, moved from 25 °C with the slopes measured since for K6, K7a and K9a.
 * @param tempC 0–50 °C, else OutOfRange; slopes measured from 5 to 35 °C
 * @source obrien1974 for 25 °C; wahman2018 and wahmanAlexander2019 for the slopes */
export function cyanurateConstants(tempC: number): CyanurateConstants {
  const away = difference(tempC)
  return {
    ...OBRIEN_25C,
    pk6: OBRIEN_25C.pk6 + SLOPE_K.pk6 * away,
    pk7a: OBRIEN_25C.pk7a + SLOPE_K.pk7a * away,
    pk9a: OBRIEN_25C.pk9a + SLOPE_K.pk9a * away,
  }
}

/** The later refit, for comparison: K6, K7a and K9a by Wahman and Alexander, the rest as O'Brien.
 * @param tempC 0–50 °C, else OutOfRange; measured from 5 to 35 °C
 * @source wahman2018, wahmanAlexander2019: pK7a = 2028/T − 2.15, pK9a = 2229/T − 1.65 */
export function cyanurateConstantsWahman(tempC: number): CyanurateConstants {
  const kelvin = celsiusToKelvin(within('water temperature in °C', tempC, 0, 50))
  return { ...OBRIEN_25C, pk6: 1743 / kelvin + 1.12, pk7a: 2028 / kelvin - 2.15, pk9a: 2229 / kelvin - 1.65 }
}

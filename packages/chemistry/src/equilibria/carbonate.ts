import { within } from '../errors.ts'
import { celsiusToKelvin } from '../quantities.ts'

/** The form that the authors fitted: log10 K = a + b·T + c/T + d·log10 T + e/T², T in kelvin. */
const fitted = (kelvin: number, a: number, b: number, c: number, d: number, e: number) =>
  a + b * kelvin + c / kelvin + d * Math.log10(kelvin) + e / (kelvin * kelvin)

/** Range in °C over which the carbonate, calcite and water constants are used here; the fits reach 0–90 °C. */
export const WATER_TEMP_C = { min: 0, max: 50 } as const

const kelvinOf = (tempC: number) =>
  celsiusToKelvin(within('water temperature in °C', tempC, WATER_TEMP_C.min, WATER_TEMP_C.max))

/** First acid constant of carbonic acid, CO2(aq) + H2O = H+ + HCO3−, as log10 K at infinite dilution; −6.352 at 25 °C.
 * @param tempC 0–50 °C, else OutOfRange
 * @source plummerBusenberg1982 */
export const logK1Carbonic = (tempC: number) =>
  fitted(kelvinOf(tempC), -356.3094, -0.06091964, 21834.37, 126.8339, -1684915)

/** Second acid constant of carbonic acid, HCO3− = H+ + CO3²−, as log10 K at infinite dilution; −10.329 at 25 °C.
 * @param tempC 0–50 °C, else OutOfRange
 * @source plummerBusenberg1982 */
export const logK2Carbonic = (tempC: number) =>
  fitted(kelvinOf(tempC), -107.8871, -0.03252849, 5151.79, 38.92561, -563713.9)

/** Henry's constant of carbon dioxide, CO2(g) = CO2(aq), as log10 of mol/kg per atmosphere; −1.468 at 25 °C.
 * @param tempC 0–50 °C, else OutOfRange
 * @source plummerBusenberg1982 */
export const logHenryCarbonDioxide = (tempC: number) =>
  fitted(kelvinOf(tempC), 108.3865, 0.01985076, -6919.53, -40.45154, 669365)

/** Solubility product of calcite, CaCO3(s) = Ca²+ + CO3²−, as log10 K; −8.480 at 25 °C.
 * @param tempC 0–50 °C, else OutOfRange
 * @source plummerBusenberg1982 */
export const logKspCalcite = (tempC: number) => fitted(kelvinOf(tempC), -171.9065, -0.077993, 2839.319, 71.595, 0)

/** Formation of the pair Ca²+ + HCO3− = CaHCO3+, as log10 K; 1.106 at 25 °C.
 * @param tempC 0–50 °C, else OutOfRange
 * @source plummerBusenberg1982 */
export const logKCalciumHydrogenCarbonate = (tempC: number) =>
  fitted(kelvinOf(tempC), 1209.12, 0.31294, -34765.05, -478.782, 0)

/** Formation of the pair Ca²+ + CO3²− = CaCO3(aq), as log10 K; 3.224 at 25 °C.
 * @param tempC 0–50 °C, else OutOfRange
 * @source plummerBusenberg1982 */
export const logKCalciumCarbonatePair = (tempC: number) =>
  fitted(kelvinOf(tempC), -1228.732, -0.299444, 35512.75, 485.818, 0)

/** Formation of the pair Na+ + HCO3− = NaHCO3(aq), as log10 K; no temperature dependence is published with it.
 * @source wateq4f */
export const LOG_K_SODIUM_HYDROGEN_CARBONATE = -0.25

/** Ion product of water, H2O = H+ + OH−, as log10 K; −13.995 at 25 °C.
 * @param tempC 0–50 °C, else OutOfRange
 * @source phreeqcDat: the one fit here with a term in T² */
export function logKWater(tempC: number): number {
  const kelvin = kelvinOf(tempC)
  return (
    293.29227 + 0.1360833 * kelvin - 10576.913 / kelvin - 123.73158 * Math.log10(kelvin) - 6.996455e-5 * kelvin * kelvin
  )
}

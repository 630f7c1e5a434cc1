import { within } from '../errors.ts'
import { celsiusToKelvin } from '../quantities.ts'

/** A and B of the Debye–Hückel equation at a temperature (kg½ mol−½; B per ångström). */
export interface DebyeHuckel {
  a: number
  b: number
}

/** Debye–Hückel A and B from the density and dielectric constant of water; A is 0.509 at 25 °C.
 * @param tempC 0–50 °C, else OutOfRange
 * @source truesdellJones1974 */
export function debyeHuckel(tempC: number): DebyeHuckel {
  within('water temperature in °C', tempC, 0, 50)
  const kelvin = celsiusToKelvin(tempC)
  // the last term vanishes at 0 °C; written so that nothing is divided by zero
  const nearFreezing = tempC === 0 ? 0 : 0.011445 * Math.exp(-374.3 / tempC)
  const density = 1 - ((tempC - 3.9863) ** 2 * (tempC + 288.9414)) / (508929.2 * (tempC + 68.12963)) + nearFreezing
  const dielectric = 2727.586 + 0.6224107 * kelvin - 466.9151 * Math.log(kelvin) - 52000.87 / kelvin
  const product = dielectric * kelvin
  return {
    a: (1.82483e6 * Math.sqrt(density)) / product ** 1.5,
    b: (50.2916 * Math.sqrt(density)) / Math.sqrt(product),
  }
}

/** Size a (Å) and b of an ion in the activity equation.
 * @source wateq4f */
export const ION = {
  calcium: { charge: 2, size: 5.0, b: 0.165 },
  carbonate: { charge: 2, size: 5.4, b: 0 },
  hydrogenCarbonate: { charge: 1, size: 5.4, b: 0 },
  sodium: { charge: 1, size: 4.0, b: 0.075 },
  hydrogen: { charge: 1, size: 9.0, b: 0 },
} as const
type Ion = (typeof ION)[keyof typeof ION]

/** log10 of an ion's activity coefficient: −A z² √I / (1 + B a √I) + b I.
 * @param ionicStrength mol/kg, made for up to about 1
 * @source truesdellJones1974 */
export function logActivityCoefficient(ion: Ion, ionicStrength: number, { a, b }: DebyeHuckel): number {
  const root = Math.sqrt(ionicStrength)
  return (-a * ion.charge * ion.charge * root) / (1 + b * ion.size * root) + ion.b * ionicStrength
}

/** log10 of the activity coefficient of an ion with no fitted size, by Davies: −A z² (√I / (1 + √I) − 0.3 I).
 * @source wateq4f (used there for OH− and CaHCO3+) */
export function logActivityCoefficientDavies(charge: number, ionicStrength: number, { a }: DebyeHuckel): number {
  const root = Math.sqrt(ionicStrength)
  return -a * charge * charge * (root / (1 + root) - 0.3 * ionicStrength)
}

/** log10 of the activity coefficient of an uncharged species: 0.1 I.
 * @source wateq4f */
export const logActivityCoefficientNeutral = (ionicStrength: number) => 0.1 * ionicStrength

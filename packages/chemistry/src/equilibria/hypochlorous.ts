import { within } from '../errors.ts'
import { celsiusToKelvin } from '../quantities.ts'

/** pKa of hypochlorous acid, HOCl = H+ + OCl−, at infinite dilution; 7.537 at 25 °C.
 * @param tempC 0–50 °C, else OutOfRange; measured from 5 to 35 °C, beyond is extrapolation
 * @source morris1966 */
export function pkaHypochlorous(tempC: number): number {
  const kelvin = celsiusToKelvin(within('water temperature in °C', tempC, 0, 50))
  return 3000 / kelvin - 10.0686 + 0.0253 * kelvin
}

/** Share of free chlorine that is hypochlorous acid when no cyanuric acid is present: 0–1, ideal solution.
 * @param ph 0–14, else OutOfRange
 * @param tempC 0–50 °C, else OutOfRange
 * @source morris1966 */
export const hypochlorousFraction = (ph: number, tempC: number): number =>
  1 / (1 + 10 ** (within('pH', ph, 0, 14) - pkaHypochlorous(tempC)))

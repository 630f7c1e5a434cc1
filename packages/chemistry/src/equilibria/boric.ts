import { within } from '../errors.ts'
import { celsiusToKelvin } from '../quantities.ts'

const PKA_25C = 9.24
// van 't Hoff: 3.224 kcal/mol over R·ln 10
const SLOPE_K = (3.224 * 4184) / (8.314462618 * Math.LN10)

/** pKa of boric acid, H3BO3 = H2BO3− + H+, at infinite dilution; 9.24 at 25 °C.
 * @param tempC 0–50 °C, else OutOfRange
 * @source wateq4f */
export const pkaBoric = (tempC: number): number =>
  PKA_25C + SLOPE_K * (1 / celsiusToKelvin(within('water temperature in °C', tempC, 0, 50)) - 1 / 298.15)

import { within } from '../errors.ts'

/** pKa of hypobromous acid, HOBr = H+ + OBr−, at infinite dilution and 25 °C, from memory: 8.6 to 8.8 are in print. Used at every
 * temperature, because no dependence could be read. */
export const PKA_HYPOBROMOUS = 8.65

/** Share of bromine that is hypobromous acid, 0–1, ideal solution; see the constant.
 * @param ph 0–14, else OutOfRange */
export const hypobromousFraction = (ph: number): number => 1 / (1 + 10 ** (within('pH', ph, 0, 14) - PKA_HYPOBROMOUS))

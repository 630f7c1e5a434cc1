import { within } from '../errors.ts'

/** pKa of hypobromous acid, HOBr = H+ + OBr−: what the two printed shares (94 % at pH 7.5, 83 % at 8.0) have in common; 8.6 to 8.8
 * are in print elsewhere. Used at every temperature: no dependence could be read.
 * @source mahc573122 */
export const PKA_HYPOBROMOUS = 8.69

/** Share of bromine that is hypobromous acid, 0–1, ideal solution.
 * @param ph 0–14, else OutOfRange
 * @source mahc573122 */
export const hypobromousFraction = (ph: number): number => 1 / (1 + 10 ** (within('pH', ph, 0, 14) - PKA_HYPOBROMOUS))

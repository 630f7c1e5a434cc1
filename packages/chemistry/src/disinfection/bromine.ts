import { MOLAR_MASS } from '../constants.ts'
import { hypobromousFraction } from '../equilibria/hypobromous.ts'
import { within } from '../errors.ts'

/** mg of Br2 that oxidize as much as 1 mg of Cl2; test kits print 2.25. Chlorine that meets bromide becomes bromine in this ratio.
 * @source mahc573122 */
export const BROMINE_PER_CHLORINE = MOLAR_MASS.bromine / MOLAR_MASS.chlorine

/** Bromine in mg/L as Br2 from what a chlorine test reads in brominated water. A test cannot tell free from combined bromine.
 * @param chlorineReadingMgL as Cl2, 0–200, else OutOfRange
 * @source mahc573122 */
export const bromineOfReading = (chlorineReadingMgL: number): number =>
  BROMINE_PER_CHLORINE * within('chlorine reading in mg/L', chlorineReadingMgL, 0, 200)

/** Where bromine is, mg/L as Br2, as if none of it were combined. Cyanuric acid does not bind it.
 * @param bromineMgL 0–200; @param ph 0–14; else OutOfRange
 * @source mahc573122 */
export function bromineSpecies({ bromineMgL, ph }: { bromineMgL: number; ph: number }) {
  const hypobromousMgL = hypobromousFraction(ph) * within('bromine in mg/L', bromineMgL, 0, 200)
  return { hypobromousMgL, hypobromiteMgL: bromineMgL - hypobromousMgL }
}

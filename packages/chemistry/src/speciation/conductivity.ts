import { within } from '../errors.ts'

/** mg/L of dissolved solids for each µS/cm at 25 °C. Natural waters lie between 0.6 and 0.9; sodium chloride alone at 0.5; 0.64 is
 * what meters and handbooks use: common practice. A fifth more or less moves the saturation index by 0.01.
 * @source pawlowicz2008 for the span */
const SOLIDS_PER_CONDUCTIVITY = 0.64

/** Dissolved solids, mg/L, where only conductivity was measured.
 * @param conductivityUsCm µS/cm as the meter shows it for 25 °C, 0–78,000, else OutOfRange
 * @source pawlowicz2008 */
export const solidsFromConductivity = (conductivityUsCm: number): number =>
  SOLIDS_PER_CONDUCTIVITY * within('conductivity in µS/cm', conductivityUsCm, 0, 78_000)

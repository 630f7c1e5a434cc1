import { within } from '../errors.ts'
import { celsiusToFahrenheit } from '../quantities.ts'

type Row = readonly [at: number, factor: number]

const TEMPERATURE_F: readonly Row[] = [
  [32, 0.0],
  [37, 0.1],
  [46, 0.2],
  [53, 0.3],
  [60, 0.4],
  [66, 0.5],
  [76, 0.6],
  [84, 0.7],
  [94, 0.8],
  [105, 0.9],
  [128, 1.0],
]
const CALCIUM: readonly Row[] = [
  [5, 0.3],
  [25, 1.0],
  [50, 1.3],
  [75, 1.5],
  [100, 1.6],
  [150, 1.8],
  [200, 1.9],
  [300, 2.1],
  [400, 2.2],
  [800, 2.5],
  [1000, 2.6],
]
const ALKALINITY: readonly Row[] = [
  [5, 0.7],
  [25, 1.4],
  [50, 1.7],
  [75, 1.9],
  [100, 2.0],
  [150, 2.2],
  [200, 2.3],
  [300, 2.5],
  [400, 2.6],
  [800, 2.9],
  [1000, 3.0],
]

/** Temperature factor by straight lines between the rows. @param tempC 0 to 53.3 °C (32–128 °F), else OutOfRange @source nycrr6130 */
export const temperatureFactor = (tempC: number) =>
  between(TEMPERATURE_F, celsiusToFahrenheit(tempC), 'water temperature in °F')
/** Calcium factor. @param calciumHardnessMgL 5–1000 mg/L as CaCO3, else OutOfRange @source nycrr6130 */
export const calciumFactor = (calciumHardnessMgL: number) =>
  between(CALCIUM, calciumHardnessMgL, 'calcium hardness in mg/L')
/** Alkalinity factor. @param alkalinityMgL 5–1000 mg/L as CaCO3, else OutOfRange @source nycrr6130 */
export const alkalinityFactor = (alkalinityMgL: number) => between(ALKALINITY, alkalinityMgL, 'alkalinity in mg/L')

/** 12.1 up to 1,000 mg/L of dissolved solids, 12.2 above. The text leaves exactly 1,000 open; here it counts as below.
 * @source montana37115 */
export const solidsConstant = (tdsMgL: number) =>
  within('total dissolved solids in mg/L', tdsMgL, 0, 1e5) > 1000 ? 12.2 : 12.1

/**
 * The classical saturation index of the handbooks: pH + temperature factor + calcium factor + alkalinity factor − 12.1.
 * Kept for comparison with printed examples; the product shows `saturationIndex`.
 * @param water pH 0–14; the others as in the factor functions; alkalinity is whatever the reader's handbook means by it
 * @throws OutOfRange outside the printed table
 * @source nycrr6130, montana37115
 */
export function saturationIndexTable(water: {
  tempC: number
  ph: number
  calciumHardnessMgL: number
  alkalinityMgL: number
  tdsMgL: number
}): number {
  return (
    within('pH', water.ph, 0, 14) +
    temperatureFactor(water.tempC) +
    calciumFactor(water.calciumHardnessMgL) +
    alkalinityFactor(water.alkalinityMgL) -
    solidsConstant(water.tdsMgL)
  )
}

function between(rows: readonly Row[], at: number, quantity: string): number {
  const first = rows[0] as Row
  const last = rows[rows.length - 1] as Row
  within(quantity, at, first[0], last[0])
  const next = rows.findIndex(([rowAt]) => rowAt >= at)
  const [highAt, highFactor] = rows[next] as Row
  if (next === 0) return highFactor
  const [lowAt, lowFactor] = rows[next - 1] as Row
  return lowFactor + ((highFactor - lowFactor) * (at - lowAt)) / (highAt - lowAt)
}

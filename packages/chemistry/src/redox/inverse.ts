import { expectedOrp, Z_90 } from './fit.ts'
import { LEAST_SANITIZER_MGL } from './theory.ts'
import type { Interval, RedoxModel, RedoxWater } from './types.ts'

/** Where a reading is looked for, mg/L: beyond, the relation was never held against anything. */
const MOST_MGL = 20

/** The sanitizer reading at which ORP would stand at a value in this water, mg/L with its 90 % interval; at most 20, at least
 * what a test kit tells from none. The relation rises with the reading, so that halving finds it. */
export function chlorineAt(model: RedoxModel, orpMv: number, water: Omit<RedoxWater, 'sanitizerMgL'>): Interval {
  let low = Math.log10(LEAST_SANITIZER_MGL[model.oxidant])
  let high = Math.log10(MOST_MGL)
  const expect = (decades: number) => expectedOrp(model, { ...water, sanitizerMgL: 10 ** decades })
  for (let turn = 0; turn < 24; turn++) {
    const middle = (low + high) / 2
    if (expect(middle).value < orpMv) low = middle
    else high = middle
  }
  const found = (low + high) / 2
  const sd = (expect(found).high - expect(found).low) / 2 / Z_90
  const slope = Math.max(1, (expect(found + STEP).value - expect(found - STEP).value) / (2 * STEP))
  const width = (Z_90 * sd) / slope
  const within = (decades: number) =>
    10 ** Math.max(Math.log10(LEAST_SANITIZER_MGL[model.oxidant]), Math.min(Math.log10(MOST_MGL), decades))
  return { value: 10 ** found, low: within(found - width), high: within(found + width) }
}
const STEP = 0.02

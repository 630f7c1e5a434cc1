import { aerated } from '../balance/additions.ts'
import { waterState } from '../balance/waterState.ts'
import { inRange } from '../errors.ts'
import type { Phrase } from '../finding.ts'
import { quantified, say } from '../findings/make.ts'
import type { Water } from '../water.ts'
import { afterDose, type Dose } from './effect.ts'
import type { WaterState } from './plan.types.ts'
import { startWords } from './wanted.ts'

/** What a retest can be held against. */
export const RETESTED = [
  'freeChlorineMgL',
  'bromineMgL',
  'ph',
  'totalAlkalinityMgL',
  'calciumHardnessMgL',
  'cyanuricAcidMgL',
] as const
export type Retested = (typeof RETESTED)[number]

/** What a retest should show, and between what it says nothing. */
export interface Expectation {
  thing: Retested
  before: number
  expected: number
  low: number
  high: number
}

export interface Expected {
  /** The water that the doses should have left. */
  state: WaterState
  expectations: readonly Expectation[]
}

/** How far two tests of the same water may lie apart: the least, and the share of the value. A drop of a titration is 10 mg/L.
 * Common practice, no source. */
const KIT: Record<Retested, { least: number; share: number }> = {
  freeChlorineMgL: { least: 0.3, share: 0.1 },
  bromineMgL: { least: 0.6, share: 0.1 },
  ph: { least: 0.1, share: 0 },
  totalAlkalinityMgL: { least: 10, share: 0.05 },
  calciumHardnessMgL: { least: 10, share: 0.05 },
  cyanuricAcidMgL: { least: 10, share: 0.1 },
}
/** Strength of the product, volume of the body and how it was measured out, as a share of the change. Common practice, no source. */
const DOSE_SHARE = 0.1
/** What sunlight, bathers and dirt use of the chlorine until the retest, as a share of it. Common practice, no source. */
const DEMAND_SHARE = 0.25
/** How far pH may have gone towards balance with the air. Common practice, no source. */
const AIR_SHARE = 0.25

/**
 * Backwards: what a retest should show after doses that were given.
 * @param water before the doses
 * @throws OutOfRange outside the ranges of `Water`
 */
export function expectedRetest(water: Water, volumeL: number, doses: readonly Dose[]): Expected {
  const after = doses.reduce((so, dose) => afterDose(so, volumeL, dose), water)
  return { state: waterState(after), expectations: RETESTED.map((thing) => expectationOf(thing, water, after)) }
}

function expectationOf(thing: Retested, water: Water, after: Water): Expectation {
  const before = water[thing]
  const expected = after[thing]
  const { least, share } = KIT[thing]
  const scatter = Math.max(least, share * Math.abs(expected)) + DOSE_SHARE * Math.abs(expected - before)
  const isSanitizer = thing === 'freeChlorineMgL' || thing === 'bromineMgL'
  const used = isSanitizer ? DEMAND_SHARE * expected : 0
  const low = expected - scatter - used
  return {
    thing,
    before,
    expected,
    low: thing === 'ph' ? low : Math.max(0, low),
    high: expected + scatter + (thing === 'ph' ? airRise(after) : 0),
  }
}

function airRise(water: Water): number {
  const even = inRange(() => aerated(water))
  return even ? AIR_SHARE * Math.max(0, even.ph - water.ph) : 0
}

/** What was found against what was to be expected, and what the difference points to. */
export interface RetestFinding extends Expectation {
  found: number
  says: Phrase
}

// what is neither used up nor given off: such a change tells of the volume
const KEPT: readonly Retested[] = ['totalAlkalinityMgL', 'calciumHardnessMgL', 'cyanuricAcidMgL']
/** A change must be this many times what the kit scatters before it tells of the volume. */
const TELLING = 2

/** What each value of a retest that lies outside its band points to; nothing is said of what lies inside. */
export function retestFindings(
  { expectations }: Expected,
  found: Partial<Record<Retested, number>>,
  volumeL: number,
): RetestFinding[] {
  return expectations.flatMap((expectation) => {
    const value = found[expectation.thing]
    if (value === undefined || (value >= expectation.low && value <= expectation.high)) return []
    return [{ ...expectation, found: value, says: pointsTo(expectation, value, volumeL) }]
  })
}

function pointsTo({ thing, before, expected, low }: Expectation, found: number, volumeL: number): Phrase {
  const unit = thing === 'ph' ? 'pH' : 'mg/L'
  const start = `${startWords(thing)} {0} instead of {1}`
  const seen = [quantified(found, unit), quantified(expected, unit)] as const
  const { least } = KIT[thing]
  const change = expected - before
  if (Math.abs(change) > TELLING * least && Math.abs(found - before) <= least) {
    return say(
      `${start}, as if nothing had been added: not mixed yet, tested in the wrong place, or the product is spent.`,
      ...seen,
    )
  }
  const share = (found - before) / change
  if (KEPT.includes(thing) && Math.abs(change) > TELLING * least && share > 0) {
    return say(
      `${start}: it moved as if the body held about {2} rather than {3}. Check the volume that is entered, the product’s strength and what was measured out.`,
      ...seen,
      // two tests bear no more than two figures
      quantified(Number((volumeL / share).toPrecision(2)), 'L'),
      quantified(volumeL, 'L'),
    )
  }
  const isLow = found < low
  return say(`${start}: ${(isLow ? LOW : HIGH)[thing]}`, ...seen)
}

/** Common practice, no source. */
const LOW: Record<Retested, string> = {
  freeChlorineMgL:
    'more was used up than is usual. Look for combined chlorine, algae and dirt, for hypochlorite that has aged, and for a volume that is larger than entered.',
  bromineMgL: 'more was used up than is usual, or the tablets have not dissolved yet.',
  ph: 'too much acid, or acid not mixed yet; carbon dioxide in the water goes out by itself.',
  totalAlkalinityMgL: 'acid was fed besides, the water is not mixed yet, or one of the tests is off.',
  calciumHardnessMgL: 'water was replaced, hardness has fallen out as scale or cloud, or one of the tests is off.',
  cyanuricAcidMgL: 'it dissolves over days and is caught in the filter at first; or water was replaced.',
}
const HIGH: Record<Retested, string> = {
  freeChlorineMgL:
    'a feeder ran besides, the product is stronger or the volume smaller than entered, or the water is not mixed yet.',
  bromineMgL: 'a feeder ran besides, or the volume is smaller than entered.',
  ph: 'less acid reached the water than was meant, carbon dioxide has left, or hypochlorite was fed besides.',
  totalAlkalinityMgL: 'less acid or more base reached the water than was meant, or one of the tests is off.',
  calciumHardnessMgL: 'calcium hypochlorite or hard fill water came in besides, or one of the tests is off.',
  cyanuricAcidMgL: 'trichlor or dichlor came in besides, or one of the tests is off.',
}

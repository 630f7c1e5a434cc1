import { mixed } from '../balance/additions.ts'
import type { Phrase } from '../finding.ts'
import { quantified, say } from '../findings/make.ts'
import type { Parameter } from '../vocabulary.ts'
import type { Water } from '../water.ts'
import { addDose, type Course, isTested, leave, stateOf } from './course.ts'
import { amountFor } from './effect.ts'
import { linearWorking } from './sanitizerSteps.ts'
import { startWords, type WantedRange } from './wanted.ts'

/** What comes out of the tap where nobody has said: common practice, no source. No tap water holds cyanuric acid. */
const ASSUMED_FILL = {
  ph: 7.5,
  totalAlkalinityMgL: 80,
  calciumHardnessMgL: 100,
  cyanuricAcidMgL: 0,
  boronMgL: 0,
  tdsMgL: 300,
  freeChlorineMgL: 0,
  combinedChlorineMgL: 0,
  bromineMgL: 0,
  sulfateMgL: 0,
} as const satisfies Omit<Water, 'tempC'>

/** More than this is emptied and filled anew. Common practice, no source. */
const MOST_SHARE = 0.95
/** An empty shell can be lifted or crack: this much at a time. Common practice, no source. */
const SHARE_AT_A_TIME = 1 / 3

const LEAVES_WITH_WATER = ['cyanuricAcidMgL', 'calciumHardnessMgL', 'tdsMgL'] as const

const isTooMuch = (course: Course, thing: (typeof LEAVES_WITH_WATER)[number]): boolean => {
  const range = rangeFor(course, thing)
  return range?.max != null && isTested(course, thing) && course.water[thing] > range.max
}

export const needsFreshWater = (course: Course): boolean => LEAVES_WITH_WATER.some((thing) => isTooMuch(course, thing))

/** Replaces as much water as the worst of what nothing takes out asks for. @returns whether any is */
export function replaceWater(course: Course): boolean {
  const { given, water } = course
  const fill = given.fillWater ?? { ...ASSUMED_FILL, tempC: water.tempC }
  let share = 0
  const reasons: Phrase[] = []
  const retest: Parameter[] = []
  for (const thing of LEAVES_WITH_WATER) {
    const range = rangeFor(course, thing)
    if (!range || range.max === null || !isTooMuch(course, thing)) continue
    const needs = (water[thing] - range.fromAbove) / (water[thing] - fill[thing])
    if (!(needs > 0 && needs <= MOST_SHARE)) {
      leave(
        course,
        thing,
        say(
          `${startWords(thing)} {0} is over {1}, and with {2} in the fill water replacing does not mend it: fill anew with other water.`,
          quantified(water[thing], 'mg/L'),
          quantified(range.max, 'mg/L'),
          quantified(fill[thing], 'mg/L'),
        ),
      )
      continue
    }
    share = Math.max(share, needs)
    retest.push(thing)
    reasons.push(
      say(
        `${startWords(thing)} {0} to {1} with {2} in the fill water: {3} of the water.`,
        quantified(water[thing], 'mg/L'),
        quantified(range.fromAbove, 'mg/L'),
        quantified(fill[thing], 'mg/L'),
        quantified(100 * needs, '%'),
      ),
    )
  }
  if (share === 0) return false
  const after = mixed(water, fill, share)
  course.steps.push({
    kind: 'replace',
    volumeL: share * given.volumeL,
    share,
    purpose: say(
      'Replace {0} of water, {1} of it, with fresh water: nothing that is dosed takes out what is too much.',
      quantified(share * given.volumeL, 'L'),
      quantified(100 * share, '%'),
    ),
    working: [...reasons, ...(reasons.length > 1 ? [say('The largest share counts.')] : [])],
    notes: [
      ...(given.fillWater
        ? []
        : [
            say(
              'The fill water is taken to have {0} of hardness, {1} of alkalinity and {2} of dissolved solids: test it. What follows rests on that, so test the pool afterwards and plan anew.',
              quantified(fill.calciumHardnessMgL, 'mg/L'),
              quantified(fill.totalAlkalinityMgL, 'mg/L'),
              quantified(fill.tdsMgL, 'mg/L'),
            ),
          ]),
      ...(share > SHARE_AT_A_TIME && given.body.useClass !== 'spa'
        ? [
            say(
              'Not more than {0} at a time: groundwater can lift or crack an empty shell.',
              quantified(100 * SHARE_AT_A_TIME, '%'),
            ),
          ]
        : []),
      ...(given.body.useClass === 'spa' ? [say('A spa is sooner emptied, cleaned and filled anew.')] : []),
      say('Let the water go where the local rules allow it, without chlorine.'),
    ],
    cautions: ['localCodeFirst', 'retestBeforeBathers'],
    after: stateOf(given, after),
    waitMin: course.pace.waitMin,
    retest: [...new Set<Parameter>([...retest, 'freeChlorineMgL', 'ph', 'totalAlkalinityMgL', 'calciumHardnessMgL'])],
  })
  course.water = after
  course.addedChlorineMgL *= 1 - share
  return true
}

/** Cyanuric acid may also be too much for the free chlorine that is allowed. */
function rangeFor({ given }: Course, thing: (typeof LEAVES_WITH_WATER)[number]): WantedRange | undefined {
  const range = given.wanted.ranges[thing]
  const { ranges, cyanuricAcidPerChlorine } = given.wanted
  const most = ranges.freeChlorineMgL?.max
  if (thing !== 'cyanuricAcidMgL' || !cyanuricAcidPerChlorine || most == null) return range
  const max = most * cyanuricAcidPerChlorine
  if (range && range.max !== null && range.max <= max) return range
  // room for the chlorine to move in under its maximum
  return { min: range?.min ?? null, max, fromBelow: range?.fromBelow ?? 0, fromAbove: 0.75 * max }
}

/** @param aimMgL what the saturation index asks for; null when it asks for nothing */
export function raiseHardness(course: Course, aimMgL: number | null): void {
  const { given, water } = course
  if (aimMgL === null || aimMgL <= water.calciumHardnessMgL) return
  const chemical = given.chemicals.find(({ family }) => family === 'calcium')
  const amount = chemical && amountFor(water, given.volumeL, chemical, 'calciumHardnessMgL', aimMgL)
  if (!chemical || !amount) {
    leave(
      course,
      'calciumHardnessMgL',
      say('Calcium hardness should rise to {0}, and no calcium chloride is at hand.', quantified(aimMgL, 'mg/L')),
    )
    return
  }
  addDose(course, {
    chemical,
    massG: amount.massG,
    thing: 'calciumHardnessMgL',
    purpose: say(
      'Raise calcium hardness from {0} to {1}.',
      quantified(water.calciumHardnessMgL, 'mg/L'),
      quantified(aimMgL, 'mg/L'),
    ),
    working: linearWorking(
      aimMgL - water.calciumHardnessMgL,
      given.volumeL,
      'hardness, counted as calcium carbonate',
      amount,
    ),
    retest: ['calciumHardnessMgL'],
  })
}

export function raiseStabilizer(course: Course): void {
  const { given, water } = course
  const range = given.wanted.ranges.cyanuricAcidMgL
  if (given.wanted.cyanuricAcidForbidden || !range || range.min === null || !isTested(course, 'cyanuricAcidMgL')) return
  if (water.cyanuricAcidMgL >= range.min) return
  const chemical = given.chemicals.find(({ family }) => family === 'stabilizer')
  const amount = chemical && amountFor(water, given.volumeL, chemical, 'cyanuricAcidMgL', range.fromBelow)
  if (!chemical || !amount) return
  addDose(course, {
    chemical,
    massG: amount.massG,
    thing: 'cyanuricAcidMgL',
    purpose: say(
      'Raise cyanuric acid from {0} to {1}.',
      quantified(water.cyanuricAcidMgL, 'mg/L'),
      quantified(range.fromBelow, 'mg/L'),
    ),
    working: linearWorking(range.fromBelow - water.cyanuricAcidMgL, given.volumeL, 'cyanuric acid', amount),
    retest: ['cyanuricAcidMgL', 'ph'],
  })
}

import { saturationIndex } from '../balance/saturation.ts'
import { MOLAR_MASS } from '../constants.ts'
import { afterBreakpoint, breakpointChlorine } from '../disinfection/breakpoint.ts'
import type { Phrase } from '../finding.ts'
import { quantified, say } from '../findings/make.ts'
import type { Parameter } from '../vocabulary.ts'
import type { Water } from '../water.ts'
import { LIMITED_THING_WORDS, midSentence } from '../words.ts'
import type { Chemical } from './catalogue.ts'
import { addDose, type Course, isTested, leave } from './course.ts'
import { amountFor } from './effect.ts'
import { isChlorine } from './mixing.ts'
import type { Amount } from './plan.types.ts'
import { rangeFrom, type WantedRange } from './wanted.ts'

const RETEST: readonly Parameter[] = ['freeChlorineMgL', 'totalChlorineMgL', 'ph']

type Sanitizer = 'freeChlorineMgL' | 'bromineMgL'
const sanitizerOf = ({ given }: Course): Sanitizer =>
  given.body.sanitizerSystem === 'bromine' ? 'bromineMgL' : 'freeChlorineMgL'
const nameOf = (thing: Sanitizer) => midSentence(LIMITED_THING_WORDS[thing])

/** The sanitizer's range; cyanuric acid raises the minimum of free chlorine by the ratio that the profile allows. */
function sanitizerRange(course: Course, byRatio: boolean): WantedRange | null {
  const { ranges, cyanuricAcidPerChlorine } = course.given.wanted
  const thing = sanitizerOf(course)
  const range = ranges[thing] ?? null
  if (!byRatio || thing === 'bromineMgL' || !cyanuricAcidPerChlorine || !isTested(course, 'cyanuricAcidMgL'))
    return range
  const needs = course.water.cyanuricAcidMgL / cyanuricAcidPerChlorine
  // more than the maximum: then it is cyanuric acid that has to go
  if (needs <= (range?.min ?? 0) || (range && range.max !== null && needs > range.max)) return range
  return rangeFrom(thing, needs, range?.max ?? null)
}

/** @param freshWaterFollows then only the plain minimum counts: what cyanuric acid asks for would flow away with it */
export function raiseSanitizer(course: Course, { freshWaterFollows = false } = {}): void {
  const thing = sanitizerOf(course)
  const range = sanitizerRange(course, !freshWaterFollows)
  const { water, given } = course
  if (!range || range.min === null || !isTested(course, thing) || water[thing] >= range.min) return
  const aim = Math.max(range.fromBelow, range.min)
  const choice = thing === 'bromineMgL' ? bromineFor(course, aim) : chlorineFor(course, aim)
  if (!choice) {
    leave(
      course,
      thing,
      say(
        `Nothing at hand may raise ${nameOf(thing)} here, and {0} is under the minimum of {1}: get a product that may.`,
        quantified(water[thing], 'mg/L'),
        quantified(range.min, 'mg/L'),
      ),
    )
    return
  }
  const { chemical, amount } = choice
  if (thing === 'freeChlorineMgL') course.addedChlorineMgL += aim - water[thing]
  addDose(course, {
    chemical,
    massG: amount.massG,
    thing,
    purpose: say(`Raise ${nameOf(thing)} from {0} to {1}.`, quantified(water[thing], 'mg/L'), quantified(aim, 'mg/L')),
    working: [
      ...becauseOfCyanuric(course, range),
      ...linearWorking(
        aim - water[thing],
        given.volumeL,
        thing === 'bromineMgL' ? 'bromine' : 'available chlorine',
        amount,
      ),
    ],
    retest: thing === 'bromineMgL' ? ['bromineMgL', 'ph'] : RETEST,
    notes: besideTrichlor(course, chemical),
  })
}

function becauseOfCyanuric(course: Course, range: WantedRange): Phrase[] {
  const { ranges, cyanuricAcidPerChlorine } = course.given.wanted
  if (!cyanuricAcidPerChlorine || range.min === (ranges.freeChlorineMgL?.min ?? null)) return []
  return [
    say(
      'With {0} of cyanuric acid at least {1} of free chlorine is wanted, at a ratio of {2}.',
      quantified(course.water.cyanuricAcidMgL, 'mg/L'),
      quantified(range.min ?? 0, 'mg/L'),
      quantified(cyanuricAcidPerChlorine, 'ratio'),
    ),
  ]
}

/** What is missing in the volume, and how much of the product holds that. */
export const linearWorking = (missingMgL: number, volumeL: number, of: string, amount: Amount): Phrase[] => [
  say(
    `{0} more in {1} of water is {2} of ${of}; {3} of the product brings that.`,
    quantified(missingMgL, 'mg/L'),
    quantified(volumeL, 'L'),
    quantified((missingMgL * volumeL) / 1000, 'g'),
    amountQuantity(amount),
  ),
]

export const amountQuantity = ({ massG, volumeL }: Amount) =>
  volumeL === null ? quantified(massG, 'g') : quantified(volumeL, 'L')

const besideTrichlor = ({ given }: Course, { family }: Chemical): Phrase[] =>
  family !== 'isocyanurate' && given.chemicals.some((other) => other.family === 'isocyanurate')
    ? [say('Never into the feeder or a bucket of trichlor or dichlor: the two can burn or explode.')]
    : []

interface Choice {
  chemical: Chemical
  amount: Amount
}

/** Products without cyanuric acid first, in the order given; then what dissolves at once; tablets last. */
const RANK = (chemical: Chemical) => (chemical.perKg.cyanuricAcidMmolL === 0 ? 0 : chemical.key === 'trichlor' ? 2 : 1)

/** The first chlorine product at hand that may be used here and spoils nothing else. */
function chlorineFor(course: Course, aimMgL: number, stabilizedToo = true): Choice | null {
  const { water, given } = course
  const { ranges, cyanuricAcidForbidden } = given.wanted
  const candidates = given.chemicals
    .filter((chemical) => isChlorine(chemical) && chemical.perKg.availableChlorineMgL > 0 && !chemical.referenceOnly)
    .filter((chemical) => RANK(chemical) === 0 || (stabilizedToo && cyanuricAcidForbidden === null))
    .sort((a, b) => RANK(a) - RANK(b))
  for (const chemical of candidates) {
    const amount = amountFor(water, given.volumeL, chemical, 'freeChlorineMgL', aimMgL)
    if (!amount) continue
    const kgPerL = amount.massG / 1000 / given.volumeL
    const cyanuric = water.cyanuricAcidMgL + kgPerL * chemical.perKg.cyanuricAcidMmolL * MOLAR_MASS.cyanuricAcid
    const calcium = water.calciumHardnessMgL + kgPerL * chemical.perKg.calciumMmolL * MOLAR_MASS.calciumCarbonate
    if (spoils(cyanuric, water.cyanuricAcidMgL, ranges.cyanuricAcidMgL)) continue
    if (spoils(calcium, water.calciumHardnessMgL, ranges.calciumHardnessMgL)) continue
    return { chemical, amount }
  }
  return null
}

const spoils = (after: number, before: number, range: WantedRange | undefined) =>
  range !== undefined && range.max !== null && after > before && after > range.max

function bromineFor({ water, given }: Course, aimMgL: number): Choice | null {
  const chemical = given.chemicals.find(({ family }) => family === 'bromine')
  const amount = chemical && amountFor(water, given.volumeL, chemical, 'bromineMgL', aimMgL)
  return chemical && amount ? { chemical, amount } : null
}

export function lowerSanitizer(course: Course): void {
  for (const thing of ['freeChlorineMgL', 'bromineMgL'] as const) {
    const range = course.given.wanted.ranges[thing]
    const { water, given } = course
    if (!range || range.max === null || !isTested(course, thing) || water[thing] <= range.max) continue
    const quantities = [quantified(water[thing], 'mg/L'), quantified(range.max, 'mg/L')] as const
    const closes = range.closesOver != null && water[thing] > range.closesOver
    const reducer = given.chemicals.find(({ family }) => family === 'reducer')
    const amount =
      reducer && thing === 'freeChlorineMgL' ? amountFor(water, given.volumeL, reducer, thing, range.fromAbove) : null
    if (!reducer || !amount) {
      leave(
        course,
        thing,
        say(
          `${LIMITED_THING_WORDS[thing]} {0} is over {1}: stop the feed${closes ? ', keep bathers out' : ''} and let it fall by itself, faster in sunlight; retest until it is back.`,
          ...quantities,
        ),
      )
      continue
    }
    addDose(course, {
      chemical: reducer,
      massG: amount.massG,
      thing,
      purpose: say(
        'Lower free chlorine from {0} to {1}, if waiting for it is out of the question.',
        quantities[0],
        quantified(range.fromAbove, 'mg/L'),
      ),
      working: [
        say(
          '{0} too much in {1} of water is {2} of chlorine; {3} of crystals take that up, by a field value of 1.9 for 1.',
          quantified(water[thing] - range.fromAbove, 'mg/L'),
          quantified(given.volumeL, 'L'),
          quantified(((water[thing] - range.fromAbove) * given.volumeL) / 1000, 'g'),
          amountQuantity(amount),
        ),
      ],
      retest: RETEST,
    })
  }
}

/** More than this at once is a case for fresh water. Common practice, no source. */
const BREAKPOINT_MOST_MGL = 60

export function breakpoint(course: Course): void {
  const { water, given } = course
  const combined = water.combinedChlorineMgL
  const range = given.wanted.ranges.combinedChlorineMgL
  if (!range || range.max === null || combined <= range.max || sanitizerOf(course) === 'bromineMgL') return
  if (!isTested(course, 'combinedChlorineMgL')) return
  const { handbookMgL: wantedMgL, monochloramineMgL } = breakpointChlorine({
    freeChlorineMgL: water.freeChlorineMgL,
    totalChlorineMgL: water.freeChlorineMgL + combined,
  })
  const quantities = [quantified(combined, 'mg/L'), quantified(range.max, 'mg/L')] as const
  const addedMgL = course.addedChlorineMgL
  if (water.freeChlorineMgL - addedMgL >= wantedMgL) {
    leave(
      course,
      'combinedChlorineMgL',
      say(
        'Combined chlorine {0} is over {1} although there is more than ten times as much free chlorine: what is left does not burn off. Replace water, bring in fresh air, and let bathers shower.',
        ...quantities,
      ),
    )
    return
  }
  if (addedMgL >= wantedMgL) {
    leave(
      course,
      'combinedChlorineMgL',
      say(
        'Combined chlorine {0} is over {1}: the chlorine that was added for the minimum is more than ten times as much and may burn it off. Retest before more is added.',
        ...quantities,
      ),
    )
    return
  }
  // what was added for the minimum counts
  const aim = water.freeChlorineMgL - addedMgL + wantedMgL
  const choice = wantedMgL <= BREAKPOINT_MOST_MGL ? chlorineFor(course, aim, false) : null
  if (!choice) {
    leave(
      course,
      'combinedChlorineMgL',
      say(
        wantedMgL > BREAKPOINT_MOST_MGL
          ? 'Combined chlorine {0} is over {1}, too much to burn off: replace part of the water, then test again.'
          : 'Combined chlorine {0} is over {1}, and nothing without cyanuric acid is at hand to burn it off: replace part of the water, or get such a product.',
        ...quantities,
      ),
    )
    return
  }
  const { chemical, amount } = choice
  const done = addDose(course, {
    chemical,
    massG: amount.massG,
    thing: 'freeChlorineMgL',
    purpose: say('Burn off {0} of combined chlorine, with the pool closed: breakpoint.', quantities[0]),
    working: [
      say('Handbook rule: ten times the combined chlorine is added, {0}.', quantified(wantedMgL, 'mg/L')),
      ...(addedMgL > 0 ? [say('Of that {0} since the test already.', quantified(addedMgL, 'mg/L'))] : []),
      say(
        'Chemistry alone: {0}, half of the combined chlorine, if all of it is monochloramine. The rest is for what else binds chlorine, and so that it does not stop half way.',
        quantified(monochloramineMgL, 'mg/L'),
      ),
      ...linearWorking(aim - water.freeChlorineMgL, given.volumeL, 'available chlorine', amount),
    ],
    retest: RETEST,
    notes: [
      say(
        'All additions in one night, none left out, without bathers until a retest is within the limits: half way it only leaves more combined chlorine.',
      ),
      ...(given.body.setting === 'indoor'
        ? [say('Open what can be opened: what burns off is foul and unhealthy air.')]
        : []),
      ...(water.cyanuricAcidMgL > 0 ? [say('Cyanuric acid slows it to hours.')] : []),
      ...besideTrichlor(course, chemical),
    ],
    after: afterBreakpoint,
  })
  if (done) sayHowItStands(course, water)
  else course.explained.add('combinedChlorineMgL')
}

function sayHowItStands(course: Course, before: Water): void {
  const { ph, freeChlorineMgL, saturationIndex: range } = course.given.wanted.ranges
  const { water } = course
  if (freeChlorineMgL?.max != null && water.freeChlorineMgL > freeChlorineMgL.max) {
    leave(
      course,
      'freeChlorineMgL',
      say(
        'After breakpoint free chlorine stands at about {0}, over {1}: keep bathers out until it has fallen.',
        quantified(water.freeChlorineMgL, 'mg/L'),
        quantified(freeChlorineMgL.max, 'mg/L'),
      ),
    )
  }
  if (ph?.max != null && water.ph > ph.max) {
    leave(
      course,
      'ph',
      say(
        'pH stands at about {0} at first, over {1}, and comes down as the chlorine is used up: no acid for it before the retest.',
        quantified(water.ph, 'pH'),
        quantified(ph.max, 'pH'),
      ),
    )
  }
  const index = isTested(course, 'calciumHardnessMgL') ? saturationIndex(water) : null
  const indexBefore = saturationIndex(before)
  if (range?.max != null && index !== null && indexBefore !== null && indexBefore <= range.max && index > range.max) {
    leave(
      course,
      'saturationIndex',
      say(
        'The saturation index stands at about {0} at first, over {1}, and comes down with pH as the chlorine is used up.',
        quantified(index, 'SI'),
        quantified(range.max, 'SI'),
      ),
    )
  }
}

import { saturationIndex } from '../balance/saturation.ts'
import { within } from '../errors.ts'
import type { CautionKey, Phrase, Quantified } from '../finding.ts'
import { quantified, say } from '../findings/make.ts'
import { carbonateSystem } from '../speciation/carbonate.ts'
import { balanceAims } from './aims.ts'
import { settleBalance } from './balanceSteps.ts'
import { type Course, isTested, leave, type PlanRequest, stateOf } from './course.ts'
import { needsFreshWater, raiseHardness, raiseStabilizer, replaceWater } from './hardnessSteps.ts'
import { paceOf } from './pace.ts'
import type { DosePlan } from './plan.types.ts'
import { breakpoint, lowerSanitizer, raiseSanitizer } from './sanitizerSteps.ts'
import { isWithin, startWords, WANTED_THINGS, type WantedThing } from './wanted.ts'

/** Water under nothing but carbon dioxide: no pool holds more, so alkalinity at such a pH is no true test. */
const ALL_OF_IT_PPM = 1e6

/** Over this free chlorine bleaches or shifts the dye of a pH test. Common practice, no source. */
export const PH_TEST_BLEACHED_MGL = 10

/**
 * From the water as it is to the ranges wanted: the doses in the order in which they are made, each with its amount, the additions
 * it is made of, the wait and the retest after it, and the water that it should leave. Order:
 * 1. sanitizer that is under its minimum, since water without it infects people while all else can wait;
 * 2. fresh water for what nothing takes out, before anything is dosed that it would carry away;
 * 3. sanitizer over its maximum;
 * 4. cyanuric acid, which is an acid; alkalinity, then pH, which it buffers; hardness when both stand, so that it does not cloud;
 * 5. breakpoint last: it wants its pH, and the pool closed.
 * Common practice, no source. Each amount rests on the water that the step before is predicted to leave, so each retest comes first.
 * @throws OutOfRange outside the ranges of `Water`, or where the tests contradict each other
 */
export function dosePlan(request: PlanRequest): DosePlan {
  const { carbonDioxidePpm } = carbonateSystem(request.water)
  within('carbon dioxide that these tests would mean, in ppm of one atmosphere', carbonDioxidePpm, 0, ALL_OF_IT_PPM)
  const planned = coursed(request, true)
  const [first, second] = planned.steps
  // where breakpoint would follow at once, its chlorine is dose enough
  const doubled = planned.burnsOffAt === 1 && first?.kind === 'dose' && second?.kind === 'dose'
  const { steps, remains, water } = doubled ? coursed(request, false) : planned
  return {
    before: stateOf(request, request.water),
    steps,
    after: stateOf(request, water),
    remains,
    cautions: steps.length > 0 ? PLAN_CAUTIONS : ['localCodeFirst'],
  }
}

function coursed(request: PlanRequest, sanitizerFirst: boolean): Course & { burnsOffAt: number | null } {
  const { water, volumeL, flowLMin } = request
  const course: Course = {
    given: request,
    pace: paceOf(volumeL, flowLMin),
    water,
    steps: [],
    remains: [],
    addedChlorineMgL: 0,
    explained: new Set(),
  }
  let burnsOffAt: number | null = null
  if (sanitizerFirst) raiseSanitizer(course, { freshWaterFollows: needsFreshWater(course) })
  if (replaceWater(course)) raiseSanitizer(course)
  lowerSanitizer(course)
  if (isPhTestTrue(course)) {
    raiseStabilizer(course)
    settleBalance(course)
    // the index as it has become
    raiseHardness(course, balanceAims(course).calciumHardnessMgL)
    const before = course.steps.length
    breakpoint(course)
    if (course.steps.length > before) burnsOffAt = before
  }
  sayWhatRemains(course)
  return { ...course, burnsOffAt }
}

const PLAN_CAUTIONS: CautionKey[] = ['localCodeFirst', 'protectiveEquipment', 'neverTogether', 'retestBeforeBathers']

function isPhTestTrue(course: Course): boolean {
  const { water } = course.given
  if (water.freeChlorineMgL <= PH_TEST_BLEACHED_MGL) return true
  for (const thing of [
    'ph',
    'totalAlkalinityMgL',
    'calciumHardnessMgL',
    'saturationIndex',
    'combinedChlorineMgL',
  ] as const) {
    course.explained.add(thing)
  }
  course.remains.push(
    say(
      'Free chlorine over {0} bleaches the dyes of other tests: test pH, alkalinity and hardness again once it is under that, and plan anew.',
      quantified(PH_TEST_BLEACHED_MGL, 'mg/L'),
    ),
  )
  return false
}

/** Under these differences a value that a step has moved out of its range is no reason for another dose; a test kit tells no less. */
const DEAD_BAND: Record<WantedThing, number> = {
  freeChlorineMgL: 0,
  bromineMgL: 0,
  combinedChlorineMgL: 0,
  ph: 0.05,
  totalAlkalinityMgL: 2,
  calciumHardnessMgL: 5,
  cyanuricAcidMgL: 2,
  tdsMgL: 50,
  saturationIndex: 0.05,
}
const ROUNDING = 1e-6

function sayWhatRemains(course: Course): void {
  for (const thing of WANTED_THINGS) {
    const range = course.given.wanted.ranges[thing]
    const value = valueAtEnd(course, thing)
    if (!range || value === null) continue
    const first = valueAtStart(course, thing)
    const wasInside = first !== null && isWithin(first, range)
    const slack = wasInside ? DEAD_BAND[thing] : ROUNDING
    const unit = unitOf(thing)
    if (range.max !== null && value > range.max + slack)
      leave(course, thing, over(thing, [quantified(value, unit), quantified(range.max, unit)]))
    if (range.min !== null && value < range.min - slack)
      leave(course, thing, under(thing, [quantified(value, unit), quantified(range.min, unit)]))
  }
}

const over = (thing: WantedThing, quantities: Quantified[]): Phrase =>
  say(`${startWords(thing)} stays at about {0}, over {1}: nothing at hand brings it down further.`, ...quantities)
const under = (thing: WantedThing, quantities: Quantified[]): Phrase =>
  say(`${startWords(thing)} stays at about {0}, under {1}: nothing at hand brings it up further.`, ...quantities)

const unitOf = (thing: WantedThing) => (thing === 'ph' ? 'pH' : thing === 'saturationIndex' ? 'SI' : 'mg/L')

const valueAtEnd = (course: Course, thing: WantedThing) => valueIn(course, course.water, thing)
const valueAtStart = (course: Course, thing: WantedThing) => valueIn(course, course.given.water, thing)

function valueIn(course: Course, water: Course['water'], thing: WantedThing): number | null {
  if (thing !== 'saturationIndex') return isTested(course, thing) ? water[thing] : null
  return isTested(course, 'calciumHardnessMgL') ? saturationIndex(water) : null
}

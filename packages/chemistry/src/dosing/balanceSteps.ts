import { aerated, CARBON_DIOXIDE_OF_AIR_PPM, strongOf } from '../balance/additions.ts'
import { MG_CACO3_PER_MEQ } from '../constants.ts'
import { inRange } from '../errors.ts'
import { quantified, say } from '../findings/make.ts'
import { asMgL, basesAt } from '../speciation/carbonate.ts'
import { solutionOf } from '../speciation/solution.ts'
import type { Parameter } from '../vocabulary.ts'
import type { Water } from '../water.ts'
import { balanceAims } from './aims.ts'
import type { Chemical } from './catalogue.ts'
import { addDose, type Course, isTested, leave, stateOf } from './course.ts'
import { afterDose, amountFor } from './effect.ts'
import type { Amount } from './plan.types.ts'
import { amountQuantity, linearWorking } from './sanitizerSteps.ts'
import { aimInto, isWithin, type WantedRange } from './wanted.ts'

const RETEST: readonly Parameter[] = ['totalAlkalinityMgL', 'ph']

/** Brings alkalinity to its aim, which shifts pH, and then pH to its own. */
export function settleBalance(course: Course): void {
  if (!isTested(course, 'ph') || !isTested(course, 'totalAlkalinityMgL')) return
  const aims = balanceAims(course)
  const range = course.given.wanted.ranges.ph
  const isOut = range !== undefined && !isWithin(course.water.ph, range)
  const alkalinity = aims.totalAlkalinityMgL ?? alkalinityThatAcidTakes(course, aims.ph)
  const falls = alkalinity !== null && alkalinity < course.water.totalAlkalinityMgL
  if (falls) lowerAlkalinity(course, alkalinity)
  if (alkalinity !== null && alkalinity > course.water.totalAlkalinityMgL) raiseAlkalinity(course, alkalinity, aims.ph)
  // what pH was wanted for the index alone depends on what alkalinity has become; what acid has brought in is in
  settlePh(course, isOut && !falls ? aims.ph : balanceAims(course).ph)
}

const ofFamily = ({ given }: Course, ...families: Chemical['family'][]) =>
  given.chemicals.find(({ family, referenceOnly }) => families.includes(family) && !referenceOnly)
const named = ({ given }: Course, key: Chemical['key']) => given.chemicals.find((chemical) => chemical.key === key)

/** Acid or carbon dioxide, whichever is named first. */
const phLowerer = (course: Course) => ofFamily(course, 'acid', 'carbonDioxide')

const massFor = (course: Course, chemical: Chemical | undefined, thing: 'ph' | 'totalAlkalinityMgL', wanted: number) =>
  chemical ? inRange(() => amountFor(course.water, course.given.volumeL, chemical, thing, wanted)) : null

const trial = ({ water, given }: Course, chemical: Chemical, { massG }: Amount) =>
  inRange(() => afterDose(water, given.volumeL, { chemical, massG }))

/** Where lowering pH with acid would take alkalinity under its minimum, alkalinity is raised first, as if it were low now. */
function alkalinityThatAcidTakes(course: Course, ph: number | null): number | null {
  const range = course.given.wanted.ranges.totalAlkalinityMgL
  const acid = phLowerer(course)
  if (!range || range.min === null || ph === null || ph >= course.water.ph || acid?.family !== 'acid') return null
  const amount = massFor(course, acid, 'ph', ph)
  const after = amount && trial(course, acid, amount)
  return after && after.totalAlkalinityMgL < range.min ? range.fromBelow : null
}

/** Bicarbonate, as much as makes alkalinity come out right once pH has been settled too. */
function raiseAlkalinity(course: Course, aim: number, phAim: number | null): void {
  const { water, given } = course
  const bicarbonate = named(course, 'sodiumBicarbonate')
  const soda = named(course, 'sodiumCarbonate')
  const plain = massFor(course, bicarbonate ?? soda, 'totalAlkalinityMgL', aim)
  let chemical = bicarbonate ?? soda
  if (!chemical || !plain) {
    leave(
      course,
      'totalAlkalinityMgL',
      say(
        chemical
          ? 'Total alkalinity should rise to {0}, but these tests give no amount that brings it there: test pH, total alkalinity and cyanuric acid again.'
          : 'Total alkalinity should rise to {0}, and neither bicarbonate nor soda ash is at hand.',
        quantified(aim, 'mg/L'),
      ),
    )
    return
  }
  let massG = bicarbonate ? bicarbonateFor(course, bicarbonate, plain, aim, phAim) : plain.massG
  let mixed = trial(course, chemical, { massG, volumeL: null })
  if (soda && (!mixed || mixed.totalAlkalinityMgL - water.totalAlkalinityMgL < 1)) {
    // what soda ash brings in the next step is enough
    if (sodaAloneFits(course, soda, phAim)) return
    // so much carbon dioxide that even that would be too much: soda ash for alkalinity, and air for pH
    chemical = soda
    massG = massFor(course, soda, 'totalAlkalinityMgL', aim)?.massG ?? 0
    mixed = trial(course, soda, { massG, volumeL: null })
  }
  if (!mixed || mixed.totalAlkalinityMgL - water.totalAlkalinityMgL < 1) return
  const reached = mixed.totalAlkalinityMgL
  addDose(course, {
    chemical,
    massG,
    thing: 'totalAlkalinityMgL',
    purpose: say(
      'Raise total alkalinity from {0} to {1}, before pH, which it holds steady.',
      quantified(water.totalAlkalinityMgL, 'mg/L'),
      quantified(reached, 'mg/L'),
    ),
    working: [
      ...linearWorking(reached - water.totalAlkalinityMgL, given.volumeL, 'alkalinity, counted as calcium carbonate', {
        massG,
        volumeL: null,
      }),
      ...(Math.abs(reached - aim) > 2 ? [say('What follows for pH brings it to {0}.', quantified(aim, 'mg/L'))] : []),
    ],
    retest: RETEST,
  })
}

/** As far as a dose may bring a value: inside the maximum, not at its edge. */
const mostWanted = (range: WantedRange | undefined) =>
  range === undefined || range.max === null ? Number.POSITIVE_INFINITY : range.fromAbove

/** Whether soda ash for pH alone leaves alkalinity inside its range. */
function sodaAloneFits(course: Course, soda: Chemical, phAim: number | null): boolean {
  const { ph, totalAlkalinityMgL: range } = course.given.wanted.ranges
  const aim = phAim ?? ph?.fromBelow
  const amount = aim === undefined ? null : massFor(course, soda, 'ph', aim)
  const after = amount && trial(course, soda, amount)
  if (!after || !range) return false
  return after.totalAlkalinityMgL >= (range.min ?? 0) && after.totalAlkalinityMgL <= mostWanted(range)
}

/**
 * Two unknowns, two balances: base and carbon of the water that is wanted, less those of the water there is. Bicarbonate brings
 * one of each, soda ash two of base for one of carbon, acid takes base alone, carbon dioxide brings carbon alone.
 */
function bicarbonateFor(course: Course, chemical: Chemical, plain: Amount, aim: number, phAim: number | null): number {
  const { water, given } = course
  const alone = trial(course, chemical, plain)
  const range = given.wanted.ranges.ph
  if (!alone) return plain.massG
  const ph = phAim ?? (range ? aimInto(alone.ph, range) : null)
  if (ph === null || Math.abs(alone.ph - ph) < 0.02) return plain.massG
  const goal = inRange(() => strongOf({ ...alone, totalAlkalinityMgL: aim, ph }))
  const start = strongOf(water)
  if (!goal) return plain.massG
  const base = goal.base - start.base
  const carbon = goal.carbon - start.carbon
  const lowers = alone.ph > ph
  if (lowers && phLowerer(course)?.family !== 'acid') return plain.massG
  if (!lowers && !named(course, 'sodiumCarbonate')) return plain.massG
  const molPerL = lowers ? carbon : 2 * carbon - base
  return (Math.max(0, molPerL) * 1000 * 1000 * given.volumeL) / chemical.perKg.inorganicCarbonMmolL
}

/** One round of acid and air takes about this from alkalinity in a plan; more rounds go on the same way. */
const MOST_ROUNDS = 3

/** Acid takes alkalinity and pH, air brings pH back: in rounds, pH never leaving its range. */
function lowerAlkalinity(course: Course, aim: number): void {
  const acid = ofFamily(course, 'acid')
  const { given } = course
  const floor = given.wanted.ranges.ph?.min ?? 7
  const top = (given.wanted.ranges.ph?.max ?? 7.8) - 0.1
  if (!acid) {
    leave(
      course,
      'totalAlkalinityMgL',
      say('Total alkalinity should fall to {0}, and no acid is at hand.', quantified(aim, 'mg/L')),
    )
    return
  }
  // once alkalinity is inside its range and the index too, no more acid for what remains to the aim
  const isOver = () => {
    const now = balanceAims(course).totalAlkalinityMgL
    return now !== null && now < course.water.totalAlkalinityMgL - 0.5
  }
  for (let round = 0; round < MOST_ROUNDS && isOver(); round++) {
    if (course.water.ph < floor + 0.2 && !aerate(course, top, 'so that acid finds room')) break
    const { water } = course
    const whole = massFor(course, acid, 'totalAlkalinityMgL', aim)
    const ends = whole && trial(course, acid, whole)
    const amount = ends && ends.ph >= floor ? whole : massFor(course, acid, 'ph', floor + 0.02)
    const after = amount && trial(course, acid, amount)
    if (!amount || !after) break
    const took = baseTaken(acid, amount, given.volumeL)
    const done = addDose(course, {
      chemical: acid,
      massG: amount.massG,
      thing: 'totalAlkalinityMgL',
      purpose: say(
        'Lower total alkalinity from {0} to {1} with acid; pH falls with it and air brings it back.',
        quantified(water.totalAlkalinityMgL, 'mg/L'),
        quantified(after.totalAlkalinityMgL, 'mg/L'),
      ),
      working: [
        say(
          '{0} of alkalinity in {1} of water is taken by {2} of the product.',
          quantified(took, 'mg/L'),
          quantified(given.volumeL, 'L'),
          amountQuantity(amount),
        ),
        ...(ends && ends.ph >= floor ? [] : [say('More at once would take pH under {0}.', quantified(floor, 'pH'))]),
      ],
      retest: RETEST,
      notes: [BELIEF_SLUG],
    })
    if (!done) break
  }
  if (isOver()) {
    leave(
      course,
      'totalAlkalinityMgL',
      say(
        'Total alkalinity is still at about {0} then: go on the same way on other days, acid and air in turn, to {1}.',
        quantified(course.water.totalAlkalinityMgL, 'mg/L'),
        quantified(aim, 'mg/L'),
      ),
    )
  }
}

const BELIEF_SLUG = say(
  'Poured in one place or walked around, the same acid does the same to pH and alkalinity once it is mixed; in one place it only harms the shell.',
)

/** What a dose of acid takes up, mg/L as CaCO3. */
const baseTaken = ({ perKg }: Chemical, { massG }: Amount, volumeL: number) =>
  (Math.abs(perKg.alkalinityMeqL) * massG * MG_CACO3_PER_MEQ) / 1000 / volumeL

/** What a test tells apart: inside its range a smaller difference is no dose. Common practice, no source. */
const PH_SEEN = 0.1

function settlePh(course: Course, wanted: number | null): void {
  const range = course.given.wanted.ranges.ph
  const { ph } = course.water
  const into = range ? aimInto(ph, range) : null
  const aim = wanted ?? into
  if (aim === null || (into === null && Math.abs(aim - ph) < PH_SEEN)) return
  if (aim < ph) lowerPh(course, aim)
  else raisePh(course, aim)
}

function lowerPh(course: Course, aim: number): void {
  const { water, given } = course
  const chemical = phLowerer(course)
  const amount = massFor(course, chemical, 'ph', aim)
  if (!chemical || !amount) {
    leave(course, 'ph', say('pH should fall to {0}, and nothing at hand brings it there.', quantified(aim, 'pH')))
    return
  }
  addDose(course, {
    chemical,
    massG: amount.massG,
    thing: 'ph',
    purpose: say('Lower pH from {0} to {1}.', quantified(water.ph, 'pH'), quantified(aim, 'pH')),
    working: [
      chemical.family === 'acid'
        ? say(
            'Between pH {0} and {1} this water takes up acid worth {2} of alkalinity: in {3} that is {4} of the product.',
            quantified(water.ph, 'pH'),
            quantified(aim, 'pH'),
            quantified(baseTaken(chemical, amount, given.volumeL), 'mg/L'),
            quantified(given.volumeL, 'L'),
            amountQuantity(amount),
          )
        : say(
            'Between pH {0} and {1} this water takes up {2} of carbon dioxide: in {3} that is {4}. Alkalinity stays.',
            quantified(water.ph, 'pH'),
            quantified(aim, 'pH'),
            quantified((amount.massG * 1000) / given.volumeL, 'mg/L'),
            quantified(given.volumeL, 'L'),
            amountQuantity(amount),
          ),
    ],
    retest: RETEST,
  })
}

function raisePh(course: Course, aim: number): void {
  const range = course.given.wanted.ranges.totalAlkalinityMgL
  if (raiseWithBase(course, aim, mostWanted(range))) return
  if (aerate(course, aim, 'alkalinity needs no more')) return
  if (raiseWithBase(course, aim, range?.max ?? Number.POSITIVE_INFINITY)) return
  leave(
    course,
    'ph',
    say(
      'pH should rise to {0}, and neither soda ash at this alkalinity nor air brings it there.',
      quantified(aim, 'pH'),
    ),
  )
}

/** @returns whether any base at hand does it without bringing alkalinity over that */
function raiseWithBase(course: Course, aim: number, mostAlkalinityMgL: number): boolean {
  const { water, given } = course
  for (const key of ['sodiumCarbonate', 'sodiumHydroxide50', 'sodiumHydroxide', 'borax'] as const) {
    const chemical = named(course, key)
    const amount = massFor(course, chemical, 'ph', aim)
    const after = chemical && amount && trial(course, chemical, amount)
    if (!chemical || !amount || !after || after.totalAlkalinityMgL > mostAlkalinityMgL) continue
    addDose(course, {
      chemical,
      massG: amount.massG,
      thing: 'ph',
      purpose: say('Raise pH from {0} to {1}.', quantified(water.ph, 'pH'), quantified(aim, 'pH')),
      working: [
        say(
          'Between pH {0} and {1} this water takes up base worth {2} of alkalinity: in {3} that is {4} of the product.',
          quantified(water.ph, 'pH'),
          quantified(aim, 'pH'),
          quantified(baseTaken(chemical, amount, given.volumeL), 'mg/L'),
          quantified(given.volumeL, 'L'),
          amountQuantity(amount),
        ),
      ],
      retest: RETEST,
    })
    return true
  }
  return false
}

/** A hall holds more carbon dioxide than the air outdoors: from memory, two to five times as much. */
const HALL_AIR_PPM = 1000
/** Air works over hours and days; looked at twice in a working day. Common practice, no source. */
const AERATION_WAIT_MIN = 240

/** Carbon dioxide goes out until pH has risen. @returns whether air brings it that far */
function aerate(course: Course, aim: number, why: string): boolean {
  const { water, given } = course
  const ppm = given.body.setting === 'indoor' ? HALL_AIR_PPM : CARBON_DIOXIDE_OF_AIR_PPM
  const even = inRange(() => aerated(water, ppm))
  if (!even || even.ph < aim || aim <= water.ph) return false
  const after = withoutCarbon(water, aim)
  course.steps.push({
    kind: 'aerate',
    purpose: say(`Raise pH from {0} to {1} with air alone: ${why}.`, quantified(water.ph, 'pH'), quantified(aim, 'pH')),
    working: [
      say(
        'In balance with the air this water would come to pH {0}; carbon dioxide leaves until then, and alkalinity stays.',
        quantified(even.ph, 'pH'),
      ),
    ],
    notes: [
      say(
        'Inlets to the surface, fountains, jets and slides on; acid feed off. Hours to days: stop when the retest shows it.',
      ),
    ],
    cautions: ['localCodeFirst', 'retestBeforeBathers'],
    after: stateOf(given, after),
    waitMin: Math.max(course.pace.waitMin, AERATION_WAIT_MIN),
    retest: ['ph'],
  })
  course.water = after
  return true
}

/** The same base at another pH: only carbon dioxide has gone or come. */
function withoutCarbon(water: Water, ph: number): Water {
  const { base } = strongOf(water)
  const { hypohalite } = basesAt(solutionOf(water), 10 ** -ph)
  return { ...water, ph, totalAlkalinityMgL: asMgL(base - hypohalite) }
}

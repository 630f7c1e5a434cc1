import type { Chemical } from '../dosing/catalogue.ts'
import { addDose, type Course, type PlanRequest, stateOf } from '../dosing/course.ts'
import { afterDose, amountFor } from '../dosing/effect.ts'
import { isChlorine } from '../dosing/mixing.ts'
import { paceOf } from '../dosing/pace.ts'
import { PH_TEST_BLEACHED_MGL } from '../dosing/plan.ts'
import type { Amount } from '../dosing/plan.types.ts'
import { type PlanForBody, type PlanOptions, planFor } from '../dosing/planFor.ts'
import { amountQuantity, linearWorking } from '../dosing/sanitizerSteps.ts'
import { wantedRanges } from '../dosing/wanted.ts'
import { inRange } from '../errors.ts'
import { bodyAsTested } from '../findings/facts.ts'
import { quantified, say } from '../findings/make.ts'
import type { CodeProfile } from '../profile.ts'
import type { Snapshot } from '../snapshot.ts'
import type { Water } from '../water.ts'
import type { ContactTime } from './contact.ts'
import type { Protocol } from './protocol.ts'
import { aimMgL } from './steps.ts'

/** How far under the limit pH is brought, so that it is not over it by the next test. Common practice, no source. */
const PH_MARGIN = 0.1
/** At so low a pH there is no room left under it: water under 6.5 eats metal and grout. */
const aimPh = ({ phMax }: Protocol) => (phMax >= 7 ? phMax - PH_MARGIN : phMax)

/**
 * What to add after an incident: acid first, so that pH is where it must be once the chlorine is in, then chlorine without
 * stabilizer up to a little over the level to hold. Once the contact time is reached it is the usual plan, back to the limits.
 * @param nowMs ms since 1970 UTC
 */
export function incidentDoses(
  snapshot: Snapshot,
  profile: CodeProfile,
  contact: ContactTime,
  nowMs: number,
  options: PlanOptions = {},
): PlanForBody {
  const usual = planFor({ ...snapshot, incidents: [] }, profile, nowMs, options)
  const { protocol, state } = contact
  const { water, chemicals, untested } = usual
  const { volumeL, flowLMin } = snapshot.body
  if (state === 'reached' || !water || !volumeL) return usual
  if (!protocol) return { ...usual, plan: null, missing: [contact.because ?? say('Nobody knows which level to hold.')] }
  const body = bodyAsTested(snapshot)
  const wanted = wantedRanges(profile, body)
  const plan = inRange(() => planTo(protocol, { water, wanted, volumeL, flowLMin, body, chemicals, untested }))
  return { ...usual, plan }
}

function planTo(protocol: Protocol, given: PlanRequest) {
  const pace = paceOf(given.volumeL, given.flowLMin)
  const course: Course = {
    given,
    pace,
    water: given.water,
    steps: [],
    remains: [],
    explained: new Set(),
    addedChlorineMgL: 0,
  }
  const chlorine = chlorineFor(protocol, course)
  if (chlorine !== 'enough') {
    // bases add up whatever their order: what acid the water needs after the chlorine, it may get before
    const after = chlorine ? afterDose(given.water, given.volumeL, dosed(chlorine)) : given.water
    addAcid(protocol, course, after)
    if (chlorine) addChlorine(protocol, course, chlorine)
  } else addAcid(protocol, course, given.water)
  return {
    before: stateOf(given, given.water),
    steps: course.steps,
    after: stateOf(given, course.water),
    remains: course.remains,
    cautions: ['localCodeFirst', 'protectiveEquipment', 'neverTogether', 'acidIntoWater'] as const satisfies string[],
  }
}

interface Choice {
  chemical: Chemical
  amount: Amount
}
const dosed = ({ chemical, amount }: Choice) => ({ chemical, massG: amount.massG })

/** Chlorine without stabilizer that brings the water to the level aimed for; null where nothing at hand does. */
function chlorineFor(protocol: Protocol, course: Course): Choice | 'enough' | null {
  const { water, given } = course
  if (water.freeChlorineMgL >= protocol.freeChlorineMgL) return 'enough'
  for (const chemical of given.chemicals) {
    if (!isChlorine(chemical) || chemical.referenceOnly || chemical.perKg.cyanuricAcidMmolL > 0) continue
    const amount = amountFor(water, given.volumeL, chemical, 'freeChlorineMgL', aimMgL(protocol))
    if (amount) return { chemical, amount }
  }
  course.remains.push(
    say(
      'No chlorine without stabilizer is at hand: get some, sodium or calcium hypochlorite. Stabilized chlorine does not count.',
    ),
  )
  return null
}

function addChlorine(protocol: Protocol, course: Course, { chemical, amount }: Choice): void {
  const { water, given } = course
  const aim = aimMgL(protocol)
  addDose(course, {
    chemical,
    massG: amount.massG,
    thing: 'freeChlorineMgL',
    purpose: say(
      'Raise free chlorine from {0} to {1}, a little over the {2} to be held.',
      quantified(water.freeChlorineMgL, 'mg/L'),
      quantified(aim, 'mg/L'),
      quantified(protocol.freeChlorineMgL, 'mg/L'),
    ),
    working: linearWorking(aim - water.freeChlorineMgL, given.volumeL, 'available chlorine', amount),
    notes: [say('What is in the water uses some of it up: test, and add again where it falls short.')],
    retest: ['freeChlorineMgL', 'ph', 'tempC'],
  })
}

/** @param after the water with the chlorine in it, which the acid is reckoned for */
function addAcid(protocol: Protocol, course: Course, after: Water): void {
  const { water, given } = course
  const limit = quantified(protocol.phMax, 'pH')
  if (water.freeChlorineMgL > PH_TEST_BLEACHED_MGL) {
    course.remains.push(
      say(
        'At more than {0} of free chlorine the dye of a pH test misleads: measure pH with a meter. Should it be over {1}, add acid in small parts by its label, and test between them.',
        quantified(PH_TEST_BLEACHED_MGL, 'mg/L'),
        limit,
      ),
    )
    return
  }
  if (after.ph <= protocol.phMax - PH_MARGIN / 2) return
  const aim = aimPh(protocol)
  const acid = given.chemicals.find(({ family, referenceOnly }) => family === 'acid' && !referenceOnly)
  const amount = acid && amountFor(after, given.volumeL, acid, 'ph', aim)
  if (!acid || !amount) {
    course.remains.push(say('pH would be over {0}, and nothing at hand brings it down far enough.', limit))
    return
  }
  const alone = afterDose(water, given.volumeL, { chemical: acid, massG: amount.massG })
  addDose(course, {
    chemical: acid,
    massG: amount.massG,
    thing: 'ph',
    purpose:
      after === water
        ? say('Lower pH from {0} to {1}.', quantified(water.ph, 'pH'), quantified(aim, 'pH'))
        : say(
            'Lower pH from {0} to {1}, so that it is {2} once the chlorine is in, which raises it.',
            quantified(water.ph, 'pH'),
            quantified(alone.ph, 'pH'),
            quantified(aim, 'pH'),
          ),
    working: [
      say(
        'With the chlorine alone pH would be {0}; {1} of the product in {2} of water brings that to {3}.',
        quantified(after.ph, 'pH'),
        amountQuantity(amount),
        quantified(given.volumeL, 'L'),
        quantified(aim, 'pH'),
      ),
    ],
    retest: ['ph'],
  })
}

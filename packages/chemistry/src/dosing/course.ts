import { waterState } from '../balance/waterState.ts'
import type { Phrase } from '../finding.ts'
import { say } from '../findings/make.ts'
import type { BodyFacts } from '../snapshot.ts'
import type { Water } from '../water.ts'
import { type Chemical, labelOf } from './catalogue.ts'
import { afterDose, amountOf } from './effect.ts'
import { cautionsOf, handlingOf, meetingNote, sideEffects } from './notes.ts'
import { type Pace, partsOf } from './pace.ts'
import type { PlanStep, WaterState } from './plan.types.ts'
import type { Wanted, WantedThing } from './wanted.ts'

/** What a plan is made from. */
export interface PlanRequest {
  /** As tested; what was not tested is assumed, see `untested`. */
  water: Water
  wanted: Wanted
  volumeL: number
  /** Through the plant; null when nobody knows. */
  flowLMin: number | null
  body: Pick<BodyFacts, 'useClass' | 'setting' | 'sanitizerSystem'>
  /** At hand, the preferred ones first. */
  chemicals: readonly Chemical[]
  /** What replaced water is replaced with; assumed when left out. */
  fillWater?: Water
  /** Values that are assumed: nothing is done about them, and without calcium hardness there is no saturation index. */
  untested?: readonly (keyof Water)[]
}

/** A plan in the making: the water as the steps so far leave it. */
export interface Course {
  readonly given: PlanRequest
  readonly pace: Pace
  water: Water
  steps: PlanStep[]
  remains: Phrase[]
  /** Free chlorine that the steps so far have brought, mg/L. */
  addedChlorineMgL: number
  /** Things of which it is already said why they stay outside. */
  explained: Set<WantedThing>
}

export const isTested = ({ given }: Course, thing: keyof Water): boolean => !given.untested?.includes(thing)

/** The state of a water, without a saturation index where the hardness was not tested. */
export function stateOf(given: PlanRequest, water: Water): WaterState {
  const state = waterState(water)
  return given.untested?.includes('calciumHardnessMgL') ? { ...state, saturationIndex: null } : state
}

/** Says why a thing stays outside what is wanted. */
export function leave(course: Course, thing: WantedThing, why: Phrase): void {
  if (course.explained.has(thing)) return
  course.explained.add(thing)
  course.remains.push(why)
}

// apart from what meets dangerously, one turnover is enough; an hour at least where it does. Common practice, no source
const DANGEROUS_WAIT_MIN = 60
/** mg of product in a litre; less does nothing that a test could tell. */
const LEAST_MGL = 0.01

/** Puts a dose at the end of the course. @returns whether it could be made in additions that move the water little enough */
export function addDose(
  course: Course,
  dose: { chemical: Chemical; massG: number; thing: WantedThing; retest: PlanStep['retest'] } & Pick<
    PlanStep,
    'purpose' | 'working'
  > & { notes?: Phrase[]; after?: (mixed: Water) => Water },
): boolean {
  const { given, pace, water } = course
  const { chemical, massG, thing, purpose, working, retest, notes = [] } = dose
  if (!(massG * 1000 >= LEAST_MGL * given.volumeL)) return true
  const parts = partsOf(water, given.volumeL, chemical, massG, pace.limits)
  if (parts === null) {
    leave(
      course,
      thing,
      say(
        `It would take too many small additions of ${chemical.name.toLowerCase()} to move this water safely: bring the other values into their ranges first, then retest.`,
      ),
    )
    return false
  }
  // what is too much of a reducer takes up the next chlorine: never all of it at once
  const shares = chemical.family === 'reducer' ? Math.max(2, parts) : parts
  const mixed = afterDose(water, given.volumeL, { chemical, massG })
  const before = course.steps.at(-1)
  const meeting = before?.kind === 'dose' ? meetingNote(before.chemical, chemical) : null
  if (before && meeting)
    course.steps.splice(-1, 1, { ...before, waitMin: Math.max(before.waitMin, DANGEROUS_WAIT_MIN) })
  const after = dose.after?.(mixed) ?? mixed
  course.steps.push({
    kind: 'dose',
    chemical: chemical.key,
    label: labelOf(chemical),
    amount: amountOf(chemical, massG),
    parts: shares,
    betweenMin: shares > 1 ? pace.betweenMin : 0,
    purpose,
    working,
    notes: [
      ...(meeting ? [meeting] : []),
      ...sideEffects(water, mixed, chemical, thing),
      ...notes,
      ...handlingOf(chemical),
    ],
    cautions: cautionsOf(chemical),
    after: stateOf(given, after),
    waitMin: pace.waitMin,
    retest,
  })
  course.water = after
  return true
}

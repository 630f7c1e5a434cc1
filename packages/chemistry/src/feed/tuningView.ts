import type { CautionKey, Phrase } from '../finding.ts'
import { quantified, say } from '../findings/make.ts'
import { setPointAimFor } from '../findings/setPointAim.ts'
import type { CodeProfile } from '../profile.ts'
import type { FeederFacts, FeedSettings, Snapshot } from '../snapshot.ts'
import type { FeederRole } from '../vocabulary.ts'
import { type FeedTuning, feedTuning, type TuningCase } from './tuning.ts'
import { tuningCaseOf, waterOf } from './tuningCase.ts'
import { busyStart, type TuningRun, type TuningStart, tuningRun } from './tuningRun.ts'

/** How one feeder is set and how it should be, with the coming hours under either. */
export interface TuningView {
  feeder: Pick<FeederFacts, 'id' | 'name' | 'role' | 'kind'>
  /** Of band, value and set point. */
  unit: 'mV' | 'pH'
  /** null: not entered. */
  today: FeedSettings | null
  advised: FeedTuning | null
  /** Where the picture begins: a busy day's end. */
  start: TuningStart | null
  run: TuningRun | null
  /** What came of it, or why nothing was worked out, in a sentence; null without either. */
  told: Phrase | null
  /** What was taken as usual because nobody tested it. */
  assumed: Phrase[]
  /** What is missing, and how to get it. */
  missing: Phrase[]
  cautions: CautionKey[]
}

interface Given {
  effort: readonly { role: FeederRole; usualMinPerDay: number | null }[]
  slopeMv: number | null
  orpSetPointMv: number | null
  nowMs: number
  /** What it runs today tells of a fault, not of what the water takes. */
  unsound: (feeder: FeederFacts) => boolean
}

const HOURS = 24

/** Primary and pH feeders; a backup feeds seldom, and as its primary is set. */
export const tuningViews = (snapshot: Snapshot, profile: CodeProfile, given: Given): TuningView[] =>
  (['primary', 'ph'] as const).flatMap((role) =>
    snapshot.feeders
      .filter((feeder) => feeder.role === role)
      .map((feeder) => tuningView(snapshot, profile, feeder, given)),
  )

function tuningView(snapshot: Snapshot, profile: CodeProfile, feeder: FeederFacts, given: Given): TuningView {
  const { id, name, role, kind } = feeder
  const unit = role === 'ph' ? 'pH' : 'mV'
  const { water, assumed } = waterOf(snapshot)
  const target = setPointAimFor(snapshot, profile)?.targetMgL ?? null
  const latest = snapshot.controller?.latest
  const setPoint = (role === 'ph' ? latest?.phSetPoint : (latest?.orpSetPointMv ?? given.orpSetPointMv)) ?? null
  const today = feeder.settings ?? null
  const unsound = given.unsound(feeder)
  const missing = missingOf(snapshot, feeder, { target, setPoint, today, tested: water !== null })
  const tuningCase = water && target !== null && !unsound ? caseOf(snapshot, feeder, water, target, given) : null
  const advised = tuningCase && feedTuning(tuningCase)
  const start = tuningCase && advised && setPoint !== null ? busyStart(tuningCase, given.nowMs, setPoint, HOURS) : null
  const run = tuningCase && advised && start ? tuningRun(tuningCase, advised, today, start) : null
  return {
    feeder: { id, name, role, kind },
    unit,
    today,
    advised,
    start,
    run,
    told: unsound ? NOT_SOUND : run && toldOf(run, unit, advised?.verdict === 'tooSmall'),
    assumed: advised ? assumed : [],
    missing,
    cautions: role === 'ph' ? ['localCodeFirst', 'neverTogether'] : ['localCodeFirst'],
  }
}

function caseOf(
  snapshot: Snapshot,
  feeder: FeederFacts,
  water: TuningCase['water'],
  targetMgL: number,
  { effort, slopeMv }: Given,
): TuningCase {
  const minPerDay = effort.find(({ role }) => role === feeder.role)?.usualMinPerDay ?? null
  return tuningCaseOf(snapshot, feeder, { water, targetMgL, minPerDay, slopeMv })
}

interface Known {
  target: number | null
  setPoint: number | null
  today: FeedSettings | null
  tested: boolean
}

function missingOf({ body }: Snapshot, feeder: FeederFacts, { target, setPoint, today, tested }: Known): Phrase[] {
  const isPh = feeder.role === 'ph'
  if (feeder.kind === 'saltGenerator') {
    return [
      say('How much chlorine the generator makes in an hour is not kept, so no settings can be worked out for it.'),
    ]
  }
  return [
    ...(body.volumeL ? [] : [say('The volume is not entered: enter it with the body of water in the plant.')]),
    ...(body.flowLMin
      ? []
      : [say('The recirculation flow is not entered: enter it with the body of water in the plant.')]),
    ...(feeder.drum
      ? []
      : [say('The drum that it draws from is not entered: enter it in the plant, with its strength.')]),
    ...(feeder.rateLH
      ? []
      : [
          say(
            'What it delivers at full rate is not entered: measure it with a cylinder, and enter it with the feeder.',
          ),
        ]),
    ...(tested ? [] : [say('Sanitizer and pH were never tested: enter a test.')]),
    ...(target === null
      ? [say('The code profile asks for no least sanitizer here, so there is no target to hold.')]
      : []),
    ...(setPoint === null
      ? [
          say(
            isPh
              ? 'The controller does not report its pH set point: without it there is no picture of the coming hours.'
              : 'The ORP set point is not known: log it as moved to where it stands, or have the controller report it. Without it there is no picture of the coming hours.',
          ),
        ]
      : []),
    ...(today
      ? []
      : [
          say(
            'How the controller is set today is not entered: enter on-time, wait and band with the feeder in the plant, and the picture shows both.',
          ),
        ]),
  ]
}

/** What goes beyond its set point by no more than this does no harm, and the probes' noise is part of it. Common practice, no source. */
const HARMLESS = { mV: 5, pH: 0.05 } as const

const NOT_SOUND = say(
  'This feeder does not do what is asked of it today, so what it runs is no measure of what the water takes: its settings and its size are not judged until it is sound.',
)

function toldOf({ now, advised }: TuningRun, unit: 'mV' | 'pH', tooSmall: boolean): Phrase {
  const beyond = (overshoot: number) => quantified(overshoot, unit)
  if (!now) {
    return advised.overshoot <= HARMLESS[unit]
      ? say('As advised it does not go beyond its set point.')
      : say('As advised it goes beyond its set point by {0}.', beyond(advised.overshoot))
  }
  if (now.overshoot > HARMLESS[unit]) {
    return say(
      'Set as today it goes beyond its set point by {0}, as advised by {1}.',
      beyond(now.overshoot),
      beyond(advised.overshoot),
    )
  }
  if (now.reachedMin === null) {
    return advised.reachedMin === null
      ? say('By neither does it come near its set point within the day: the feeder is too small for such a day.')
      : say('Set as today it does not come near its set point within the day; as advised it does.')
  }
  if (advised.reachedMin === null || now.reachedMin <= advised.reachedMin) {
    return say(
      tooSmall
        ? 'Set as today it comes near its set point after {0} and does not go beyond it. For a busy hour the feeder is too small; no setting makes up for that.'
        : 'Set as today it comes near its set point after {0} and does not go beyond it: leave the settings.',
      quantified(now.reachedMin, 'min'),
    )
  }
  return say(
    'Neither goes beyond the set point; as advised it comes near after {0}, set as today after {1}.',
    quantified(advised.reachedMin, 'min'),
    quantified(now.reachedMin, 'min'),
  )
}

import type { EvidenceLine, Phrase } from '../finding.ts'
import { quantified, say, shown } from '../findings/make.ts'
import { DAY_MS, HOUR_MS } from '../time.ts'
import { attribute, FACTOR_WORDS } from './attribution.ts'
import { expectedOrp, Z_90 } from './fit.ts'
import { standsUnder } from './hours.ts'
import { chlorineAt } from './inverse.ts'
import { DOUBTED_WEIGHT } from './level.ts'
import { PH_APART, phProbeAgreement } from './phProbe.ts'
import { asTested } from './tested.ts'
import { LEAST_SANITIZER_MGL } from './theory.ts'
import type {
  AdviceAction,
  Attribution,
  Interval,
  PhProbeAgreement,
  ProbeCondition,
  ProbeWorkKind,
  RedoxModel,
  RedoxPair,
  RedoxRecord,
  RedoxWater,
  SetPointAdvice,
  SetPointAim,
} from './types.ts'
import { cyanuricUnknown, PH_STARTS_ANEW } from './work.ts'

/** The most that a set point moves in a day, mV: with few pairs, with many, and after a new probe. Common practice, no source. */
const FEW_PAIRS = 5
const STEP_FEW_MV = 10
const STEP_MV = 15
/** A new probe or controller is another scale: its set point is found anew. */
const STEP_ANEW_MV = 40
const ANEW_MS = 14 * DAY_MS
/** Closer than this, or within the middle half of the interval, it is right as far as anyone can tell. Judgement. */
const CLOSE_MV = 1
const MIDDLE_HALF = 0.2
/** No test kit tells closer than this share of the target. Judgement. */
const TEST_TELLS = 0.08
/** An advice outside these tells of the probe, not of the water. Common practice, no source. */
const POOL_ORP_MV = [500, 900] as const

/** Older than this a test no longer tells what the water is today. Common practice, no source. */
const TEST_KEEPS_MS = 3 * DAY_MS
const CYANURIC_KEEPS_MS = 60 * DAY_MS
/** After a move the water needs a day to answer. Common practice, no source. */
const ANSWERS_MS = 20 * HOUR_MS
/** A sudden change that nobody explained speaks against the probe for so long. Judgement. */
const SUDDEN_MV = 25
const SUDDEN_MS = 14 * DAY_MS
/** The set point is held when ORP stands within this of it. Common practice, no source. */
const HELD_MV = 30
/** Common practice, no source: outside of it, pH is mended first. */
const PH_IN_BALANCE = [7.0, 7.8] as const
const PH_FROM_SET_POINT = 0.3
const CYANURIC_MOST_MGL = 100
const COMBINED_MOST_MGL = 1

/** The rule of the trade, in every advice. */
export const SET_POINT_MOVES = say('Never adjust the ORP probe to agree with the test kit: move its set point.')

/**
 * The ORP set point that would hold the target in the water as it is, how far to move today, and why, or why not.
 * @param condition what the hours tell of the ORP probe; @param nowMs ms since 1970 UTC; @param phProbe the pH probe against the test kit
 */
export function setPointAdvice(
  record: RedoxRecord,
  model: RedoxModel,
  aim: SetPointAim,
  condition: ProbeCondition,
  nowMs: number,
  phProbe: PhProbeAgreement = phProbeAgreement(record, nowMs),
): SetPointAdvice {
  const situation = situationOf(record, model, aim, condition, phProbe, nowMs)
  const blocked = blockers(situation)
  const first = blocked[0]
  const verdict = first
    ? { action: first.action, todayMv: null, reasons: blocked.map(({ why }) => why) }
    : moveOf(situation)
  const { changed } = situation
  const tells = canTell(situation)
  return {
    action: verdict.action,
    nowMv: situation.nowMv,
    holdsTargetMv: tells ? situation.holds : null,
    todayMv: verdict.todayMv,
    nowMeansMgL: tells ? situation.nowMeans : null,
    changed,
    reasons: [...verdict.reasons, ...changedWords(changed), SET_POINT_MOVES],
    evidence: evidenceOf(situation),
  }
}

/** Numbers beside a probe that shows nothing of the water, or a relation that there is not, would be set by somebody. */
const canTell = ({ condition, model }: Situation) =>
  (condition.state === 'well' ||
    condition.state === 'unknown' ||
    condition.state === 'noisy' ||
    condition.state === 'slow') &&
  model.correlation !== 'none' &&
  (model.oxidant === 'chlorine' || model.correlation === 'usable')

interface Situation {
  record: RedoxRecord
  model: RedoxModel
  aim: SetPointAim
  condition: ProbeCondition
  phProbe: PhProbeAgreement
  nowAtMs: number
  nowMv: number | null
  setSinceMs: number | null
  newest: RedoxPair | null
  water: RedoxWater | null
  /** How far under the set point ORP usually stands. */
  under: number | null
  holds: Interval | null
  nowMeans: Interval | null
  /** Since the test last stood at its target. */
  changed: Attribution | null
}

function situationOf(
  record: RedoxRecord,
  model: RedoxModel,
  aim: SetPointAim,
  condition: ProbeCondition,
  phProbe: PhProbeAgreement,
  nowAtMs: number,
): Situation {
  const set = record.setPoints.findLast(({ atMs }) => atMs <= nowAtMs)
  const reported = record.hours.findLast(({ hourMs, orpSetPointMv }) => hourMs <= nowAtMs && orpSetPointMv !== null)
  const nowMv = set?.orpMv ?? reported?.orpSetPointMv ?? null
  const water = model.water && { ...model.water, ...aim.after }
  const under = standsUnder(record.hours, nowAtMs)
  const rightMs = lastRight(model, aim, nowAtMs)
  const change = rightMs === null ? null : attribute(model, rightMs, nowAtMs, aim.targetMgL)
  const stands = under !== null && Math.abs(under) <= HELD_MV ? under : 0
  const relation = water && expectedOrp(model, { ...water, sanitizerMgL: aim.targetMgL })
  return {
    record,
    model,
    aim,
    condition,
    phProbe,
    nowAtMs,
    nowMv,
    setSinceMs: set?.atMs ?? null,
    newest: record.pairs.findLast(({ atMs, test }) => atMs <= nowAtMs && test.sanitizerMgL !== null) ?? null,
    water,
    under,
    holds: relation && shifted(relation, stands),
    nowMeans: water && nowMv !== null ? chlorineAt(model, nowMv - stands, water) : null,
    changed: change && asTested(change, record),
  }
}

const shifted = ({ value, low, high }: Interval, by: number): Interval => ({
  value: value + by,
  low: low + by,
  high: high + by,
})

/** When a good test last stood at the target, before the newest. */
function lastRight({ points }: RedoxModel, { targetMgL }: SetPointAim, nowMs: number): number | null {
  const right = points.findLast(
    ({ atMs, water: { sanitizerMgL }, weight }) =>
      atMs < nowMs - DAY_MS && weight > DOUBTED_WEIGHT && Math.abs(sanitizerMgL / targetMgL - 1) <= RIGHT_SHARE,
  )
  return right?.atMs ?? null
}
const RIGHT_SHARE = 0.15

interface Blocker {
  action: AdviceAction
  why: Phrase
}
const blocker = (action: AdviceAction, text: string, ...quantities: Phrase['quantities']): Blocker => ({
  action,
  why: say(text, ...quantities),
})

/** Why the set point is not to be moved now, the weightiest first. */
const blockers = (situation: Situation): Blocker[] => [
  ...nothingToGoBy(situation),
  ...nothingFound(situation),
  ...probeSuspect(situation),
  ...phSuspect(situation),
  ...waterOff(situation),
  ...readingDoubtful(situation),
]

function nothingToGoBy({ nowMv, model, newest }: Situation): Blocker[] {
  if (nowMv === null)
    return [blocker('cannotTell', 'Nobody entered the ORP set point, and the controller does not report it.')]
  if (!newest || model.pairsUsed === 0)
    return [
      blocker(
        'testFirst',
        'No test has been made while ORP was shown: test, and write down what the display shows at that moment.',
      ),
    ]
  if (model.correlation === 'none')
    return [
      blocker(
        'cannotTell',
        'In {0} pairs of test and ORP there is no usable correlation: by ORP nobody can say what this water holds. Control by the test kit, and have probe and flow cell looked at.',
        quantified(model.pairsUsed, 'count'),
      ),
    ]
  if (model.oxidant !== 'chlorine' && model.correlation !== 'usable')
    return [
      blocker(
        'cannotTell',
        'The theory is for chlorine. In this water only its own pairs can tell, and {0} do not yet show how ORP follows.',
        quantified(model.pairsUsed, 'count'),
      ),
    ]
  return []
}

/** Hardly any sanitizer by the test kit: no pair of it can be fitted, and no set point is right that lets that be. */
function nothingFound({ newest, model, nowMv }: Situation): Blocker[] {
  const tested = newest?.test.sanitizerMgL
  if (tested == null || tested >= LEAST_SANITIZER_MGL[model.oxidant]) return []
  const shows = newest?.orp?.value
  return [
    shows !== undefined && nowMv !== null && nowMv - shows <= HELD_MV
      ? blocker(
          'mendFirst',
          'The last test found {0} although ORP showed {1}: what ORP shows there is not sanitizer. Go by the test kit, retest with fresh reagents at the flow cell, dose by hand; clean the probe and look at the flow through its cell.',
          quantified(tested, 'mg/L'),
          quantified(shows, 'mV'),
        )
      : blocker(
          'mendFirst',
          'The last test found {0}: bring sanitizer back first, and look at the feed. A set point found in such water is wrong.',
          quantified(tested, 'mg/L'),
        ),
  ]
}

/** pH that is held by a probe that reads wrong will move as soon as the probe is mended, and ORP with it. */
function phSuspect({ phProbe: { state, newest: gap }, record, newest, nowAtMs }: Situation): Blocker[] {
  if (state === 'calibrate' || state === 'slopeGone')
    return [
      blocker(
        'mendFirst',
        state === 'calibrate'
          ? 'The pH probe does not agree with the test kit: calibrate it, let pH settle and test, then judge the ORP set point.'
          : 'The pH probe no longer follows pH: mend that first, let pH settle and test, then judge the ORP set point.',
      ),
    ]
  if (state === 'retest' && gap)
    return [
      blocker(
        'testFirst',
        'In the last test pH was {0} where the display showed {1}: test pH again first.',
        quantified(gap.testedPh, 'pH'),
        quantified(gap.shownPh, 'pH'),
      ),
    ]
  const set = newest && record.work.findLast(({ kind, atMs }) => PH_STARTS_ANEW.includes(kind) && atMs <= nowAtMs)
  const apart = newest?.ph && newest.test.ph ? newest.ph.value - newest.test.ph.value : 0
  return set && set.atMs > newest.atMs && Math.abs(apart) >= PH_APART
    ? [
        blocker(
          'testFirst',
          'The pH probe was set right since the last test: pH will move now. Let it settle and test first.',
        ),
      ]
    : []
}

function probeSuspect(situation: Situation): Blocker[] {
  const { condition, holds, under, model, record, nowAtMs } = situation
  const step = model.steps.findLast(({ atMs }) => atMs > nowAtMs - SUDDEN_MS)
  const cleaned = record.work.some(({ kind, atMs }) => step && atMs >= step.atMs && TENDED.includes(kind))
  const sudden = step && step.work === null && Math.abs(step.mv.value) >= SUDDEN_MV && !cleaned
  return [
    ...(condition.state === 'well' || condition.state === 'unknown'
      ? []
      : condition.reasons.slice(0, 1).map((why) => ({ action: 'mendFirst' as const, why }))),
    ...(sudden
      ? [
          blocker(
            'mendFirst',
            'What ORP means changed by {0} at once and no work explains it: clean the probe and test again before anything is moved.',
            quantified(step.mv.value, 'mV'),
          ),
        ]
      : []),
    ...(holds && (holds.value < POOL_ORP_MV[0] || holds.value > POOL_ORP_MV[1])
      ? [
          blocker(
            'mendFirst',
            'By its pairs the probe would have to stand at {0}: no sound probe does in pool water. Clean it, and replace it if that does not help.',
            quantified(holds.value, 'mV'),
          ),
        ]
      : []),
    ...(under !== null && Math.abs(under) > HELD_MV
      ? [
          blocker(
            'mendFirst',
            under > 0
              ? 'ORP usually stands {0} under its set point: a set point that is not held cannot be judged. Look at the feed first.'
              : 'ORP usually stands {0} over its set point: a set point that is not held cannot be judged. Look for feed that does not stop first.',
            quantified(Math.abs(under), 'mV'),
          ),
        ]
      : []),
    ...foul(situation),
  ]
}

function waterOff({ newest, aim }: Situation): Blocker[] {
  if (!newest) return []
  const ph = newest.test.ph?.value ?? null
  const [low, high] = PH_IN_BALANCE
  const apart = ph !== null && aim.phSetPoint !== null ? Math.abs(ph - aim.phSetPoint) : 0
  const { cyanuricAcidMgL, combinedChlorineMgL } = newest.test
  return [
    ...(ph !== null && (ph < low || ph > high || apart > PH_FROM_SET_POINT)
      ? [
          blocker(
            'mendFirst',
            'pH is {0}: bring pH back first. A set point found at a pH that will not stay is wrong as soon as it is mended.',
            quantified(ph, 'pH'),
          ),
        ]
      : []),
    ...(cyanuricAcidMgL && cyanuricAcidMgL.value > CYANURIC_MOST_MGL
      ? [
          blocker(
            'mendFirst',
            'Cyanuric acid is {0}: replace water first. No set point makes up for chlorine that is bound.',
            quantified(cyanuricAcidMgL.value, 'mg/L'),
          ),
        ]
      : []),
    ...(combinedChlorineMgL !== null && combinedChlorineMgL > COMBINED_MOST_MGL
      ? [
          blocker(
            'mendFirst',
            'Combined chlorine is {0}: oxidize it first, then test again.',
            quantified(combinedChlorineMgL, 'mg/L'),
          ),
        ]
      : []),
  ]
}

function readingDoubtful({ newest, nowAtMs, model, record, setSinceMs, aim }: Situation): Blocker[] {
  if (!newest) return []
  const last = model.points[model.points.length - 1]
  const { cyanuricAcidMgL, ph } = newest.test
  const blocked: Blocker[] = []
  if (nowAtMs - newest.atMs > TEST_KEEPS_MS)
    blocked.push(
      blocker('testFirst', 'The last test is {0} old: test first.', quantified((nowAtMs - newest.atMs) / DAY_MS, 'd')),
    )
  if (model.pairsUsed === 1)
    blocked.push(blocker('testFirst', 'One test alone stands beside ORP: test once more before anything is moved.'))
  if (last && last.atMs === newest.atMs && last.weight < DOUBTED_WEIGHT)
    blocked.push(
      blocker(
        'testFirst',
        'With {0} in the test kit ORP should have shown {1}; it showed {2}. One test against all others: retest first, with fresh reagents, from a sample at the flow cell.',
        quantified(last.water.sanitizerMgL, 'mg/L'),
        quantified(last.expectedMv, 'mV'),
        quantified(last.orpMv, 'mV'),
      ),
    )
  if (!ph || newest.atMs - ph.atMs > TEST_KEEPS_MS)
    blocked.push(blocker('testFirst', 'pH was not tested with it: ORP cannot be read without pH. Test pH first.'))
  if (record.cyanuricAcidUsed && (!cyanuricAcidMgL || nowAtMs - cyanuricAcidMgL.atMs > CYANURIC_KEEPS_MS))
    blocked.push(
      blocker(
        'testFirst',
        'Cyanuric acid was not tested for two months: how much chlorine is really free nobody knows. Test it first.',
      ),
    )
  const changed = aim.after?.cyanuricAcidMgL === undefined ? cyanuricUnknown(record, nowAtMs) : null
  if (changed)
    blocked.push(
      blocker(
        'testFirst',
        changed.kind === 'waterReplaced'
          ? 'Water was replaced since cyanuric acid was tested: test it first.'
          : 'Stabilizer was added since cyanuric acid was tested: test it first.',
      ),
    )
  if (setSinceMs !== null && setSinceMs > newest.atMs && nowAtMs - setSinceMs < ANSWERS_MS)
    blocked.push(
      blocker('testFirst', 'The set point was moved less than a day ago: let the water answer, test, then judge.'),
    )
  return blocked
}

/** The step of today. */
function moveOf(situation: Situation): { action: AdviceAction; todayMv: number | null; reasons: Phrase[] } {
  const { nowMv, holds, aim } = situation
  if (nowMv === null || !holds) return { action: 'cannotTell', todayMv: null, reasons: [] }
  const sd = (holds.high - holds.low) / 2 / Z_90
  const wanted = holds.value - nowMv
  if (Math.abs(wanted) <= Math.max(CLOSE_MV, MIDDLE_HALF * sd))
    return { action: 'keep', todayMv: null, reasons: [right(situation)] }
  // what today's work changes, no test has seen
  const against = aim.after ? null : speaksAgainst(situation, wanted)
  if (against) return { action: 'keep', todayMv: null, reasons: [against] }
  const most = mostToday(situation)
  const allowed = Math.max(-most, Math.min(most, wanted))
  const { todayMv, clipped } = withinCode(Math.round(nowMv + allowed), nowMv, aim)
  if (todayMv === nowMv) return { action: 'keep', todayMv: null, reasons: clipped }
  return { action: 'move', todayMv, reasons: [moving(situation, todayMv), ...limited(wanted, most), ...clipped] }
}

function mostToday({ record, model, nowAtMs }: Situation): number {
  const anew = record.work.some(
    ({ kind, atMs }) =>
      (kind === 'orpProbeReplaced' || kind === 'controllerSwapped') && atMs <= nowAtMs && atMs > nowAtMs - ANEW_MS,
  )
  if (anew) return STEP_ANEW_MV
  return model.pairsUsed < FEW_PAIRS ? STEP_FEW_MV : STEP_MV
}

const right = ({ nowMv, aim, holds }: Situation): Phrase =>
  say(
    'The set point of {0} holds {1} as far as the pairs can tell: it would be right between {2} and {3}. Leave it.',
    quantified(nowMv ?? 0, 'mV'),
    quantified(aim.targetMgL, 'mg/L'),
    quantified(holds?.low ?? 0, 'mV'),
    quantified(holds?.high ?? 0, 'mV'),
  )

/** A set point is not lowered while the test reads under the target, nor raised while it reads over it. */
function speaksAgainst({ newest, aim }: Situation, wanted: number): Phrase | null {
  const tested = newest?.test.sanitizerMgL
  if (tested == null) return null
  const over = tested / aim.targetMgL - 1
  if (Math.abs(over) <= TEST_TELLS || Math.sign(over) !== Math.sign(wanted)) return null
  return say(
    over > 0
      ? 'The pairs together ask for more, but the last test reads {0}, over its target of {1}: leave the set point and test again.'
      : 'The pairs together ask for less, but the last test reads {0}, under its target of {1}: leave the set point and test again.',
    quantified(tested, 'mg/L'),
    quantified(aim.targetMgL, 'mg/L'),
  )
}

function withinCode(wantedMv: number, nowMv: number, { orpMinMv, orpMaxMv }: SetPointAim) {
  const low = Math.min(orpMinMv ?? Number.NEGATIVE_INFINITY, nowMv)
  const high = Math.max(orpMaxMv ?? Number.POSITIVE_INFINITY, nowMv)
  const todayMv = Math.max(low, Math.min(high, wantedMv))
  if (todayMv === wantedMv) return { todayMv, clipped: [] }
  const limit = quantified((todayMv > wantedMv ? orpMinMv : orpMaxMv) ?? todayMv, 'mV')
  return {
    todayMv,
    clipped: [
      say(
        todayMv > wantedMv
          ? 'The code asks for at least {0}: the set point does not go under it, though less would hold the target.'
          : 'The code allows at most {0}: the set point does not go over it, though more would be needed to hold the target.',
        limit,
      ),
    ],
  }
}

const moving = ({ nowMv, aim, water, holds }: Situation, todayMv: number): Phrase =>
  say(
    water && water.cyanuricAcidMgL > 0
      ? 'Move the ORP set point from {0} to {1}. At pH {2}, {3} and {4} of cyanuric acid, {5} is held at {6} (between {7} and {8}).'
      : 'Move the ORP set point from {0} to {1}. At pH {2} and {3}, {4} is held at {5} (between {6} and {7}).',
    quantified(nowMv ?? 0, 'mV'),
    quantified(todayMv, 'mV'),
    quantified(water?.ph ?? 0, 'pH'),
    quantified(water?.tempC ?? 0, '°C'),
    ...(water && water.cyanuricAcidMgL > 0 ? [quantified(water.cyanuricAcidMgL, 'mg/L')] : []),
    quantified(aim.targetMgL, 'mg/L'),
    quantified(holds?.value ?? 0, 'mV'),
    quantified(holds?.low ?? 0, 'mV'),
    quantified(holds?.high ?? 0, 'mV'),
  )

const limited = (wanted: number, most: number): Phrase[] =>
  Math.abs(wanted) > most
    ? [say('At most {0} in a day: let the water answer, test, and move again.', quantified(most, 'mV'))]
    : [say('Test again after a day.')]

/** A probe that shows less and less in the same water may only be foul, and cleaning is quicker than a move that must be taken back. */
function foul({ record, nowAtMs, changed }: Situation): Blocker[] {
  const part = changed?.parts.find(({ factor }) => factor === changed.main)
  if (part?.factor !== 'unexplained' || part.mv.value > -FOUL_MV) return []
  const tended = record.work.some(
    ({ kind, atMs }) => TENDED.includes(kind) && atMs <= nowAtMs && atMs > nowAtMs - TENDED_MS,
  )
  return tended ? [] : [{ action: 'mendFirst', why: CLEAN_FIRST }]
}
/** Judgement. */
const FOUL_MV = 8
const TENDED_MS = 14 * DAY_MS
const TENDED: readonly ProbeWorkKind[] = ['orpProbeCleaned', 'orpProbeReplaced']
const CLEAN_FIRST = say(
  'Clean the ORP probe first, log it and test again after a day: if ORP comes back, leave the set point; if it does not, it meets what is left.',
)

function changedWords(changed: Attribution | null): Phrase[] {
  if (!changed?.main) return []
  const part = changed.parts.find(({ factor }) => factor === changed.main)
  if (!part) return []
  return [FACTOR_WORDS[part.factor](part), ...(part.factor === 'stabilizer' && part.mv.value < 0 ? [WEAKER] : [])]
}
/** The set point holds a reading; whoever lets it follow cyanuric acid is told what becomes of the water. */
const WEAKER = say(
  'At the same reading this water disinfects less than it did. Fresh water mends that; no set point does.',
)

function evidenceOf({ nowMv, newest, water, holds, nowMeans, under, nowAtMs }: Situation): EvidenceLine[] {
  const at = newest?.atMs ?? null
  return [
    ...(nowMv === null ? [] : [shown('ORP set point', nowMv, 'mV', nowAtMs, 'controller')]),
    ...(newest?.test.sanitizerMgL == null ? [] : [shown('Last test', newest.test.sanitizerMgL, 'mg/L', at, 'test')]),
    ...(newest?.orp ? [shown('ORP at the last test', newest.orp.value, 'mV', at, 'controller')] : []),
    ...(water ? [shown('pH, middle of the last week', water.ph, 'pH', at, 'test')] : []),
    ...(under === null ? [] : [shown('ORP under its set point, usually', under, 'mV', nowAtMs, 'controller')]),
    ...(holds ? [shown('Set point that holds the target', holds.value, 'mV', nowAtMs, 'derived')] : []),
    ...(nowMeans ? [shown('The set point of now holds', nowMeans.value, 'mg/L', nowAtMs, 'derived')] : []),
  ]
}

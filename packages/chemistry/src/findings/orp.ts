import { wantedRanges } from '../dosing/wanted.ts'
import type { EvidenceLine, Finding, Phrase } from '../finding.ts'
import { heldBack } from '../redox/heldBack.ts'
import { standsUnder } from '../redox/hours.ts'
import type { RedoxJudgement } from '../redox/judgement.types.ts'
import { median } from '../redox/numbers.ts'
import type { Interval, OffsetStep, ProbeState, RedoxDrift, SetPointAdvice } from '../redox/types.ts'
import { DAY_MS } from '../time.ts'
import type { FindingSeverity } from '../vocabulary.ts'
import { type Facts, moreThan } from './facts.ts'
import { finding, quantified, say, shown } from './make.ts'
import { redoxOf } from './probe.ts'
import { setPointAimFor } from './setPointAim.ts'

// The rule of the trade in all of them: when ORP and test kit part, the set point moves and the probe's sensitivity is left
// alone; and it does not move while probe, water or reading are in doubt.

/**
 * What the ORP probe and its set point mean by now. One trouble is told once: a faulty probe explains that ORP drifted, and a
 * drift that no test explains tells of the set point what is to be done about it.
 * @param others what else is found of the body: the set point does not move before that is mended
 */
export function orpFindings(facts: Facts, others: readonly Finding[]): Finding[] {
  const judged = redoxOf(facts)
  if (!judged) return []
  const kinds = others.map(({ kind }) => kind)
  const redox = { ...judged, advice: heldBack(judged.advice, kinds) }
  const faulty = probeFaulty(redox)
  const drifted = faulty.length > 0 ? [] : orpDrifted(facts, redox)
  return [
    ...faulty,
    ...drifted,
    ...(faulty.length > 0 || drifted.length > 0 ? [] : setPointOff(facts, redox)),
    ...orpNotTied(facts, redox),
  ]
}

type Fault = Exclude<ProbeState, 'well' | 'unknown'>

/** A probe that shows nothing of the water feeds blind: a person today. One that is late or noisy still shows something. */
const FAULT_SEVERITY: Record<Fault, FindingSeverity> = {
  impossible: 'act',
  stuck: 'act',
  flat: 'act',
  noisy: 'watch',
  slow: 'watch',
}

const FAULT_ADVICE: Record<Fault, string> = {
  impossible: 'Look for water in the flow cell, then at plug and cable; hold the probe in a redox check solution.',
  stuck:
    'Lift the probe out of the water: if the display does not move, look at cable and plug, or the controller held its reading.',
  flat: 'Clean the probe with a soft brush and what its maker allows; hold it in a redox check solution.',
  noisy: 'Look at plug, cable and grounding and for air in the flow cell, before anything is said of the probe.',
  slow: 'Clean the probe with a soft brush and what its maker allows, and see how much water runs through the flow cell.',
}

function probeFaulty({ drift: { probe, residualMv }, atMs }: RedoxJudgement): Finding[] {
  const { state, sinceMs, reasons, evidence } = probe
  if (state === 'well' || state === 'unknown') return []
  return [
    finding({
      kind: 'orpProbeFaulty',
      severity: FAULT_SEVERITY[state],
      sentence: reasons[0] ?? say('The ORP probe does not show what the water is.'),
      sinceMs: sinceMs ?? atMs,
      evidence: [...evidence, ...(residualMv ? [sameWater(residualMv, null)] : [])],
      advice: [
        say('Test sanitizer by hand and go by the test kit; hold the feed by hand if the test says so.'),
        say(FAULT_ADVICE[state]),
        say('Do not move the set point until the probe is sound again. Never adjust the probe to agree.'),
      ],
      cautions: ['localCodeFirst', 'retestBeforeBathers'],
      bring: [say('a probe brush'), say('redox check solution'), say('an ORP probe'), say('reagents')],
    }),
  ]
}

const sameWater = ({ value }: Interval, sinceMs: number | null): EvidenceLine =>
  shown('ORP in the same water, change', value, 'mV', sinceMs, 'derived')

/** At the same ORP the water then holds twice the sanitizer, or half of it: a person today. Judgement. */
const FAR_DECADES = Math.log10(2)

function orpDrifted(facts: Facts, redox: RedoxJudgement): Finding[] {
  const { drift, advice, slopeMv } = redox
  const { residualMv, sinceMs } = drift
  if (!drift.alarm || !residualMv || sinceMs === null || isMet(redox)) return []
  const less = residualMv.value < 0
  const step = drift.shape === 'step' ? greatest(drift.steps) : null
  return [
    finding({
      kind: 'orpDrifted',
      severity: Math.abs(residualMv.value) >= FAR_DECADES * slopeMv.value ? 'act' : 'watch',
      sentence: say(
        `In the same water ORP shows {0} ${less ? 'less' : 'more'} than it did {1} ago${SHAPE_WORDS[drift.shape]}`,
        quantified(Math.abs(residualMv.value), 'mV'),
        quantified(Math.round((facts.nowMs - sinceMs) / DAY_MS), 'd'),
      ),
      value: quantified(residualMv.value, 'mV'),
      sinceMs: step?.atMs ?? sinceMs,
      evidence: [
        ...drift.evidence,
        ...(drift.shape === 'slope' && drift.trendMvPerWeek
          ? [shown('Change of it in a week', drift.trendMvPerWeek.value, 'mV', null, 'derived' as const)]
          : []),
      ],
      advice: unlike([...drift.reasons, ...whatToDo(facts, drift, less), ...setPointWords(advice)]),
      cautions: ['localCodeFirst', 'retestBeforeBathers'],
      bring: [say('a probe brush'), say('reagents'), ...(less ? [say('an ORP probe')] : [])],
    }),
  ]
}

const SHAPE_WORDS = {
  slope: ', and it goes on: a foul or ageing probe, as far as tests tell.',
  step: ': it changed at once.',
  none: ', and no test explains it.',
  unknown: ', and no test explains it.',
} as const satisfies Record<RedoxDrift['shape'], string>

/** The set point has been moved to where it holds the target again, and nothing goes on. */
const isMet = ({ drift: { shape }, advice: { nowMv, holdsTargetMv } }: RedoxJudgement): boolean =>
  shape !== 'slope' && nowMv !== null && holdsTargetMv !== null && isInside(nowMv, holdsTargetMv)

const isInside = (value: number, { low, high }: Interval) => value >= low && value <= high

const greatest = (steps: readonly OffsetStep[]): OffsetStep | null =>
  [...steps].sort((a, b) => Math.abs(b.mv.value) - Math.abs(a.mv.value))[0] ?? null

function whatToDo({ body, snapshot, nowMs }: Facts, { shape, steps }: RedoxDrift, less: boolean): Phrase[] {
  const tested = snapshot.tests.cyanuricAcidMgL
  const untested = body.cyanuricAcidUsed && (!tested || nowMs - tested.atMs > STABILIZER_KEEPS_MS)
  const logged = shape === 'step' && greatest(steps)?.work
  return [
    ...(untested && less
      ? [say('Test cyanuric acid first: more of it looks the same as a probe that reads low.')]
      : untested
        ? [say('Test cyanuric acid first: less of it looks the same as a probe that reads high.')]
        : []),
    ...(shape === 'step' && !logged
      ? [say('Ask what was done on that day, and look at plug, cable and flow cell.')]
      : []),
    say('Clean the ORP probe, let it stand in the flow for an hour, test by hand, and write down what it then shows.'),
  ]
}
const STABILIZER_KEEPS_MS = 14 * DAY_MS

/** What the advice on the set point is, for whom it is not the first thing to do. */
function setPointWords({ action, reasons }: SetPointAdvice): Phrase[] {
  if (action === 'move') return [say('If it still stands apart then, the set point meets what is left.'), ...reasons]
  return action === 'keep' ? reasons.slice(-1) : [say('Do not move the set point yet.'), ...reasons]
}

/** No sentence twice. */
const unlike = (phrases: readonly Phrase[]): Phrase[] =>
  phrases.filter(({ text }, at) => phrases.findIndex((other) => other.text === text) === at)

/** From the target, and from what this body was held at: less is what test kits and operators part by anyway. Judgement. */
const OFF_TIMES = 1.6
/** From the target, whatever the body was held at. Judgement. */
const FAR_OFF_TIMES = 2
/** What a body was held at is the middle of so many tests at least, of the weeks before the last days. Judgement. */
const FEWEST_TESTS = 5
const LATELY_MS = 5 * DAY_MS
/** Further than this from its set point ORP is not held, and that is told of the feed. Common practice, no source. */
const HELD_MV = 30

function setPointOff(facts: Facts, { advice, atMs, pairedAtMs }: RedoxJudgement): Finding[] {
  const { action, nowMv, holdsTargetMv: holds, nowMeansMgL: means, changed, reasons, evidence } = advice
  if (action === 'keep' || action === 'cannotTell' || nowMv === null || !holds || !means) return []
  const target = isInside(nowMv, holds) ? null : setPointAimFor(facts.snapshot, facts.profile)?.targetMgL
  if (!target) return []
  const main = changed?.main ?? null
  const { min, max } = { min: null, max: null, ...wantedRanges(facts.profile, facts.body).ranges[facts.sanitizer] }
  const outside = (min !== null && means.value < min) || (max !== null && means.value > max)
  // whoever keeps another level within the limits on purpose is left alone
  const held = heldBefore(facts)
  const moved = held !== null && isOff(means.value, held, OFF_TIMES) && means.value > held === means.value > target
  const isFar = outside || moved || isOff(means.value, target, FAR_OFF_TIMES)
  if (!isFar || !isOff(means.value, target, OFF_TIMES)) return []
  if (action === 'mendFirst' && !isHeld(facts, atMs)) return []
  const name = facts.sanitizer === 'bromineMgL' ? 'bromine' : 'free chlorine'
  return [
    finding({
      kind: 'setPointOff',
      severity: min !== null && means.value < min ? 'act' : 'watch',
      sentence: say(
        `The ORP set point of {0} now holds about {1} of ${name}; {2} would take about {3}, between {4} and {5}.`,
        quantified(nowMv, 'mV'),
        quantified(means.value, 'mg/L'),
        quantified(target, 'mg/L'),
        quantified(holds.value, 'mV'),
        quantified(holds.low, 'mV'),
        quantified(holds.high, 'mV'),
      ),
      value: quantified(means.value, 'mg/L'),
      sinceMs: changed?.fromMs ?? pairedAtMs ?? atMs,
      evidence: [...evidence],
      advice: [
        ...(action === 'move' ? [] : [say('Do not move the set point yet.')]),
        ...reasons,
        ...(main === 'stabilizer' && holds.value < nowMv ? [FRESH_WATER] : []),
      ],
      cautions: ['localCodeFirst', 'retestBeforeBathers'],
    }),
  ]
}

/** A lower set point holds the reading, and less acid with it. */
const FRESH_WATER = say(
  'It is cyanuric acid that moved it: the same reading now disinfects less. Replace water; a lower set point only holds the reading.',
)

const isOff = (value: number, from: number, times: number) => Math.abs(Math.log(value / from)) >= Math.log(times)

/** The middle of the tests of the weeks before the last days; null where there are few. */
function heldBefore({ snapshot: { pastTests }, nowMs }: Facts): number | null {
  const tested = (pastTests ?? []).flatMap(({ atMs, sanitizerMgL }) =>
    sanitizerMgL !== null && atMs <= nowMs - LATELY_MS ? [sanitizerMgL] : [],
  )
  return tested.length >= FEWEST_TESTS ? median(tested) : null
}

function isHeld({ snapshot }: Facts, atMs: number): boolean {
  const under = standsUnder(snapshot.controller?.hours ?? [], atMs)
  return under === null || Math.abs(under) <= HELD_MV
}

/** Test kit and ORP are compared about weekly; after twice that nobody knows any more. Common practice, no source. */
const TIED_DAYS = 14

function orpNotTied(facts: Facts, redox: RedoxJudgement): Finding[] {
  const { correlation, pairedAtMs, pairsUsed } = redox
  if (!facts.heard || facts.latest?.orpMv == null) return []
  const shownSinceMs = facts.snapshot.controller?.hours.find(({ orpMv }) => orpMv !== null)?.hourMs
  const sinceMs = pairedAtMs ?? shownSinceMs
  if (sinceMs === undefined) return []
  facts.changesAt(sinceMs + TIED_DAYS * DAY_MS + 1)
  if (facts.nowMs - sinceMs > TIED_DAYS * DAY_MS) return [untied(facts, sinceMs, pairedAtMs)]
  // of bromine no theory says how ORP should follow: that its pairs do not show it yet speaks against nothing
  return correlation === 'none' && facts.sanitizer !== 'bromineMgL' ? [uncorrelated(redox.atMs, pairsUsed)] : []
}

const TIE: Phrase[] = [
  say('Test sanitizer, pH and temperature by hand at the flow cell, and enter the test with what the display shows.'),
  say('Do that about once a week: ORP is no measure of sanitizer by itself.'),
]

const untied = (facts: Facts, sinceMs: number, pairedAtMs: number | null): Finding =>
  finding({
    kind: 'orpNotTied',
    severity: 'watch',
    sentence: say(
      pairedAtMs === null
        ? 'The controller has shown ORP for more than {0}, and no test was made beside it: nobody knows what it means.'
        : 'No test has been made beside the ORP for more than {0}: whether it still means what it meant, nobody knows.',
      moreThan(facts, sinceMs),
    ),
    sinceMs,
    advice: TIE,
    cautions: ['localCodeFirst'],
    bring: [say('reagents')],
  })

const uncorrelated = (atMs: number, pairsUsed: number): Finding =>
  finding({
    kind: 'orpNotTied',
    severity: 'watch',
    sentence: say(
      'In {0} pairs of test and ORP there is no usable correlation: what this water holds, ORP does not tell.',
      quantified(pairsUsed, 'count'),
    ),
    value: quantified(pairsUsed, 'count'),
    sinceMs: atMs,
    advice: [
      say('Go by the test kit. Clean the ORP probe and look at the flow through its cell.'),
      say('See whether the test samples are taken at the flow cell, and whether reagents are fresh.'),
      ...TIE,
      say('Do not move the set point by ORP until they follow each other again.'),
    ],
    cautions: ['localCodeFirst'],
    bring: [say('a probe brush'), say('reagents')],
  })

import type { CautionKey, Finding, LikelyCause } from '../finding.ts'
import type { Facts } from '../findings/facts.ts'
import { finding, quantified, say, shown } from '../findings/make.ts'
import { probeGap } from '../findings/probe.ts'
import type { FeederFacts, HourRecord } from '../snapshot.ts'
import { HOUR_MS } from '../time.ts'
import { ranked, supports, toBring, toldCauses } from './causes.ts'
import { drumLine } from './drumLine.ts'
import { type History, meanOver } from './history.ts'
import { feederOf, hasPast, historyFor, testsLately } from './record.ts'
import { feedShare, flowing, meanOf, type Run, runOf, shareOf } from './run.ts'
import { byStanding, causesOf, idleApart } from './weak.ts'

// Common practice, no source: with acid feed, pH stands at or below its set point; with chlorine feed, ORP at or above.
// How far and how long apart before it is a fault, and how much feed counts as feeding:
const PH_APART = 0.15
const ORP_APART_MV = 30
const FEEDING_SHARE = 0.15
const HOURS_TO_SEE = 3
const HOURS_TO_ACT = 6
// a set point that is being reached again is no fault any more
const PH_RETURNS = 0.1
const ORP_RETURNS_MV = 15
// where the feed is not reported, or is off, it takes more to say so
const UNREPORTED_HOURS = 6
const UNREPORTED_PH_APART = 0.3
const UNREPORTED_ORP_APART_MV = 60
// … but less where the weeks before show that it feeds at such a distance
const IDLE_HOURS = 3
const IDLE_BEYOND = { mv: 6, ph: 0.05 }
// … and so does a rest that lasts longer than any of the weeks before in which the value asked for feed. Chosen on simulated plants.
const ASKS = { mv: 3, ph: 0.02 }
const RESTS_HOURS = 5
const RESTS_TIMES = 1.6
const FEEDS_HOURS = 48
const IDLE_LEAST = { mv: 8, ph: 0.07 }
/** Sanitizer by test, as a part of what it was: as much at a low ORP speaks against the probe, little against the feeder. */
const ENOUGH_SANITIZER = 0.8
const LITTLE_SANITIZER = 0.55
/** Tests tell only where ORP stands this much lower than in the weeks before. */
const ORP_FELL_MV = 20
/** No water loses so much sanitizer within an hour that its ORP falls by this much. Common practice, no source. */
const JUMP_MV = 25

const CAUTIONS: CautionKey[] = ['localCodeFirst', 'protectiveEquipment', 'neverTogether', 'retestBeforeBathers']

/** pH above its set point, although acid is fed, or because none is. */
export function phNotHeld(facts: Facts): Finding[] {
  const acid = feederOf(facts, 'ph')
  // a probe that the test kit found too high: by so much the water stands lower than it shows
  const gap = probeGap(facts)
  const tooHigh = gap && gap.shownPh > gap.testedPh ? gap.apart : 0
  const above = (hour: HourRecord, apart: number) => {
    const setPoint = hour.phSetPoint ?? facts.latest?.phSetPoint ?? null
    return hour.ph !== null && setPoint !== null && flowing(facts, hour) && hour.ph.mean - tooHigh > setPoint + apart
  }
  const fed = runOf(
    facts,
    (hour) => above(hour, PH_APART) && (shareOf(hour.phFeedMin, hour) ?? 0) >= FEEDING_SHARE,
    HOURS_TO_SEE,
  )
  if (fed && !phReturns(fed)) return [phFinding(facts, fed, acid, 'fed')]
  if (!acid) return []
  const unfed = runOf(
    facts,
    (hour) => above(hour, UNREPORTED_PH_APART) && (shareOf(hour.phFeedMin, hour) ?? 0) < FEEDING_SHARE,
    UNREPORTED_HOURS,
  )
  const idle = unfed && !phReturns(unfed) ? unfed : tooHigh > 0 ? null : idleRun(facts, 'ph')
  if (!idle) return []
  return [
    phFinding(facts, idle, acid, idle.hours.every(({ phFeedMin }) => phFeedMin === null) ? 'unreported' : 'unfed'),
  ]
}

const phReturns = ({ hours, newest }: Run) =>
  Math.max(...hours.map(({ ph }) => ph?.mean ?? 0)) - (newest.ph?.mean ?? 0) >= PH_RETURNS

/** Hours in which a reported feed rests although the value stands further off than it ever did while resting, or asks for
 * longer than it ever had to. */
function idleRun(facts: Facts, role: 'primary' | 'ph'): Run | null {
  const history = historyFor(facts)
  if (!hasPast(history) || !history.reports[role]) return null
  const apart = apartColumn(history, role)
  const usual = idleApart(apart, history.feed[role], history.count - IDLE_HOURS * 2)
  const isPh = role === 'ph'
  const beyond = Math.max(
    (Number.isNaN(usual) ? 0 : usual) + (isPh ? IDLE_BEYOND.ph : IDLE_BEYOND.mv),
    isPh ? IDLE_LEAST.ph : IDLE_LEAST.mv,
  )
  const run = restOf(facts, isPh, beyond, IDLE_HOURS)
  if (run && apartOfHour(run.newest, isPh) >= apartOfHour(run.oldest, isPh)) return run
  const asks = isPh ? ASKS.ph : ASKS.mv
  const rests = restsOf(history, role, (at) => (apart[at] as number) > asks)
  // a feeder that usually feeds a little only is allowed to rest
  if (rests.feeding < FEEDS_HOURS) return null
  return restOf(facts, isPh, asks, Math.max(RESTS_HOURS, Math.ceil(RESTS_TIMES * rests.longest)))
}

/** The run of hours up to now in which a reported feed rests and the value stands beyond. */
function restOf(facts: Facts, isPh: boolean, beyond: number, atLeast: number): Run | null {
  return runOf(
    facts,
    (hour) => {
      const minutes = isPh ? hour.phFeedMin : hour.sanitizerFeedMin
      const backup = isPh ? 0 : (hour.backupFeedMin ?? 0)
      return (
        minutes !== null &&
        minutes < RESTS_MIN &&
        backup < 1 &&
        flowing(facts, hour) &&
        apartOfHour(hour, isPh) > beyond
      )
    },
    atLeast,
  )
}
const RESTS_MIN = 0.05

/** Of the weeks before the rest of now: hours in which it fed, and the longest rest of those in which the value asked for feed. */
function restsOf(history: History, role: 'primary' | 'ph', asks: (at: number) => boolean) {
  const feed = history.feed[role]
  const rests = (at: number) => (feed[at] as number) < RESTS_MIN && asks(at)
  let to = history.count
  while (to > 0 && (rests(to - 1) || Number.isNaN(feed[to - 1] as number))) to--
  let [feeding, longest, now] = [0, 0, 0]
  for (let at = 0; at < to; at++) {
    if (Number.isNaN(feed[at] as number)) continue
    if ((feed[at] as number) >= RESTS_MIN) feeding++
    now = rests(at) ? now + 1 : 0
    longest = Math.max(longest, now)
  }
  return { feeding, longest }
}

const apartOfHour = (hour: HourRecord, isPh: boolean): number =>
  isPh
    ? (hour.ph?.mean ?? Number.NaN) - (hour.phSetPoint ?? Number.NaN)
    : (hour.orpSetPointMv ?? Number.NaN) - (hour.orpMv?.mean ?? Number.NaN)

/** How far each hour stands from its set point on the side that asks for feed. */
export function apartColumn(history: History, role: 'primary' | 'ph'): Float64Array {
  const apart = new Float64Array(history.count)
  for (let at = 0; at < history.count; at++) {
    apart[at] =
      role === 'ph'
        ? (history.ph[at] as number) - (history.phSet[at] as number)
        : (history.orpSet[at] as number) - (history.orp[at] as number)
  }
  return apart
}

const PH_SENTENCE = {
  fed: 'pH has stood at {0}, above its set point of {1}, for {2} although {fed} was fed {3} of the time.',
  unreported:
    'pH has stood at {0}, above its set point of {1}, for {2}; the controller does not report its {fed} feed.',
  unfed: 'pH has stood at {0}, above its set point of {1}, for {2}, and hardly any {fed} was fed.',
} as const

function phFinding(facts: Facts, run: Run, acid: FeederFacts | undefined, how: keyof typeof PH_SENTENCE): Finding {
  const mean = meanOf(run.hours, ({ ph }) => ph)
  const setPoint = run.newest.phSetPoint ?? facts.latest?.phSetPoint ?? 0
  const feedPct = feedShare(run, ({ phFeedMin }) => phFeedMin) * 100
  const gas = acid?.kind === 'co2'
  const fed = gas ? 'carbon dioxide' : 'acid'
  const causes: LikelyCause[] =
    how === 'unfed' ? ranked({ outputOff: 3, probeReadsHigh: 1 }) : supplyCauses(facts, 'ph', acid)
  return finding({
    kind: 'phNotHeld',
    severity: run.hours.length >= HOURS_TO_ACT ? 'act' : 'watch',
    sentence: say(
      PH_SENTENCE[how].replace('{fed}', fed),
      quantified(mean, 'pH'),
      quantified(setPoint, 'pH'),
      quantified(run.hours.length, 'h'),
      ...(how === 'fed' ? [quantified(feedPct, '%')] : []),
    ),
    value: quantified(mean, 'pH'),
    sinceMs: run.oldest.hourMs,
    evidence: [
      shown('pH, mean', mean, 'pH', run.newest.hourMs, 'controller'),
      shown('pH set point', setPoint, 'pH', run.newest.hourMs, 'controller'),
      ...(how === 'unreported'
        ? []
        : [shown(`${gas ? 'Carbon dioxide' : 'Acid'} feed`, feedPct, '%', run.newest.hourMs, 'controller')]),
      ...drumLine(acid?.drum),
    ],
    causes,
    bring: toBring(causes),
    advice: [
      ...toldCauses(causes),
      say('Test pH by hand. Leave the set point; if display and test kit part, calibrate the probe.'),
      ...(gas
        ? [say('Ventilate before you go in: carbon dioxide gathers low in a closed room and chokes unseen.')]
        : []),
    ],
    cautions: gas ? CAUTIONS : [...CAUTIONS, 'acidIntoWater'],
  })
}

/** Why what is asked for does not arrive: supply, feeder, product, and what else asks for more. */
function supplyCauses(facts: Facts, role: 'primary' | 'ph', feeder: FeederFacts | undefined): LikelyCause[] {
  const weak = {
    role,
    feeder,
    change: null,
    wear: null,
    hindered: null,
    tests: null,
    nothing: false,
    apart: Number.NaN,
  }
  return causesOf(facts, weak)
}

/** ORP below its set point, although sanitizer is fed, or because none is. */
export function orpNotHeld(facts: Facts): Finding[] {
  const under = (hour: HourRecord, apart: number) => {
    const setPoint = hour.orpSetPointMv ?? facts.latest?.orpSetPointMv ?? null
    return hour.orpMv !== null && setPoint !== null && flowing(facts, hour) && hour.orpMv.mean < setPoint - apart
  }
  const run = runOf(
    facts,
    (hour) => under(hour, ORP_APART_MV) && (shareOf(hour.sanitizerFeedMin, hour) ?? 0) >= FEEDING_SHARE,
    HOURS_TO_SEE,
  )
  if (run && !orpReturns(run)) return [orpFed(facts, run)]
  const byBackup = (hour: HourRecord) => (shareOf(hour.backupFeedMin, hour) ?? 0) >= FEEDING_SHARE
  const unfed = runOf(
    facts,
    (hour) =>
      under(hour, UNREPORTED_ORP_APART_MV) &&
      (shareOf(hour.sanitizerFeedMin, hour) ?? 0) < FEEDING_SHARE &&
      !byBackup(hour),
    UNREPORTED_HOURS,
  )
  const idle = unfed && !orpReturns(unfed) ? unfed : idleRun(facts, 'primary')
  return idle ? [orpUnfed(facts, idle)] : []
}

const orpReturns = ({ hours, newest }: Run) =>
  (newest.orpMv?.mean ?? 0) - Math.min(...hours.map(({ orpMv }) => orpMv?.mean ?? 0)) >= ORP_RETURNS_MV

/** The controller asks for sanitizer and hardly feeds any: switched off, locked out, or its feed is not reported. */
function orpUnfed(facts: Facts, run: Run): Finding {
  const mean = meanOf(run.hours, ({ orpMv }) => orpMv)
  const setPoint = run.newest.orpSetPointMv ?? facts.latest?.orpSetPointMv ?? 0
  const unreported = run.hours.every(({ sanitizerFeedMin }) => sanitizerFeedMin === null)
  const causes = unreported
    ? withProbe(facts, run, supplyCauses(facts, 'primary', feederOf(facts, 'primary')))
    : ranked({ outputOff: 4, probeReadsLow: 1 })
  return finding({
    kind: 'orpNotHeld',
    severity: 'act',
    sentence: say(
      `ORP has stood at {0}, below its set point of {1}, for {2}${
        unreported ? '; the controller does not report its sanitizer feed.' : ', and hardly any sanitizer was fed.'
      }`,
      quantified(mean, 'mV'),
      quantified(setPoint, 'mV'),
      quantified(run.hours.length, 'h'),
    ),
    value: quantified(mean, 'mV'),
    sinceMs: run.oldest.hourMs,
    evidence: [
      shown('ORP, mean', mean, 'mV', run.newest.hourMs, 'controller'),
      shown('ORP set point', setPoint, 'mV', run.newest.hourMs, 'controller'),
      ...facts.snapshot.feeders.filter(({ role }) => role !== 'ph').flatMap(({ drum }) => drumLine(drum)),
    ],
    causes,
    bring: toBring(causes),
    advice: [
      say('Test sanitizer by hand. Low: mend the feed first. At its target: clean the probe, then move the set point.'),
      ...(unreported
        ? [
            say(
              'See why the controller does not feed: switched to off, a feed limit or alarm, a lockout, an empty drum.',
            ),
          ]
        : toldCauses(causes)),
      say('Never adjust the ORP probe to agree.'),
    ],
    cautions: CAUTIONS,
  })
}

function orpFed(facts: Facts, run: Run): Finding {
  const mean = meanOf(run.hours, ({ orpMv }) => orpMv)
  const setPoint = run.newest.orpSetPointMv ?? facts.latest?.orpSetPointMv ?? 0
  const feedPct = feedShare(run, (hour) => hour.sanitizerFeedMin) * 100
  const primary = feederOf(facts, 'primary')
  const causes = withProbe(facts, run, supplyCauses(facts, 'primary', primary))
  return finding({
    kind: 'orpNotHeld',
    severity: run.hours.length >= HOURS_TO_ACT ? 'act' : 'watch',
    sentence: say(
      'ORP has stood at {0}, below its set point of {1}, for {2} although sanitizer was fed {3} of the time.',
      quantified(mean, 'mV'),
      quantified(setPoint, 'mV'),
      quantified(run.hours.length, 'h'),
      quantified(feedPct, '%'),
    ),
    value: quantified(mean, 'mV'),
    sinceMs: run.oldest.hourMs,
    evidence: [
      shown('ORP, mean', mean, 'mV', run.newest.hourMs, 'controller'),
      shown('ORP set point', setPoint, 'mV', run.newest.hourMs, 'controller'),
      shown('Sanitizer feed', feedPct, '%', run.newest.hourMs, 'controller'),
      ...drumLine(primary?.drum),
      ...drumLine(feederOf(facts, 'backup')?.drum),
    ],
    causes,
    bring: toBring(causes),
    advice: [
      ...toldCauses(causes),
      say(
        'Test sanitizer by hand. If it is at its target, the set point no longer fits: move the set point, never the probe.',
      ),
      say('A crowd of bathers or strong sun can ask for more than the feeder gives: compare with the hours before.'),
    ],
    cautions: CAUTIONS,
  })
}

/** What the test kit says of the same hours decides whether it is the feed or what the ORP means. */
function withProbe(facts: Facts, run: Run, causes: LikelyCause[]): LikelyCause[] {
  const weights = Object.fromEntries(causes.map(({ cause, share }) => [cause, share])) as Parameters<typeof supports>[0]
  // water that has lost so much ORP has lost more than half of its sanitizer
  const history = historyFor(facts)
  const fellFrom = meanOver(history.orp, history.count - 17 * 24, history.count - 3 * 24)
  const usualMv = Number.isNaN(fellFrom) ? (run.newest.orpSetPointMv ?? Number.NaN) : fellFrom
  const fellBy = usualMv - meanOf(run.hours, ({ orpMv }) => orpMv)
  const tests = fellBy >= ORP_FELL_MV ? testsLately(facts) : null
  weights.probeReadsLow = !tests
    ? 0.25
    : tests.ratio >= ENOUGH_SANITIZER
      ? 4
      : tests.ratio > LITTLE_SANITIZER
        ? 0.5
        : 0.02
  // a probe that jumps shows another value within the hour; water takes longer
  const from = Math.round((run.oldest.hourMs - history.fromMs) / HOUR_MS)
  let fell = 0
  for (let at = Math.max(1, from - 1); at <= from + 1 && at < history.count; at++) {
    fell = Math.max(fell, (history.orp[at - 1] as number) - (history.orp[at] as number) || 0)
  }
  if (fell > JUMP_MV) supports(weights, 3, 'probeReadsLow')
  byStanding(facts, feederOf(facts, 'primary'), run.oldest.hourMs, weights)
  return ranked(weights)
}

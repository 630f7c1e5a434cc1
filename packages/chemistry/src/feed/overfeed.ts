import type { Finding, LikelyCause, Phrase } from '../finding.ts'
import { type Facts, standingMin } from '../findings/facts.ts'
import { finding, quantified, say, shown } from '../findings/make.ts'
import { probeGap } from '../findings/probe.ts'
import type { FeederFacts, HourRecord } from '../snapshot.ts'
import { ranked, toBring, toldCauses } from './causes.ts'
import { hourAt, meanOver } from './history.ts'
import { feederOf, hasPast, historyFor, shownOverTested, testsLately } from './record.ts'
import { feedShare, meanOf, type Run, runOf, shareOf } from './run.ts'

// Common practice, no source. Feeding beyond the set point by this much of the time and this far is no control any more:
const FEEDING_SHARE = 0.1
const BEYOND = { mv: 8, ph: 0.06 }
const HOURS_FED = 2
// What is not fed and still rises: by how much, in how many hours, how long after the last feed
const RISES = { mv: 8, ph: 0.06 }
const RISING_HOURS = 5
const SPREAD_HOURS = 2
// What is not fed for hours that usually use much of a day's feed, and does not fall back
const USUAL_PART = 0.5
const FALLS = { mv: 1, ph: 0.01 }
const FAR = { mv: 4, ph: 0.04 }
const REST_PART = 0.1
const LONGEST_REST_HOURS = 36
const PROBE_APART_PH = 0.13
const LESS_SANITIZER = 0.85

/** Sanitizer or acid arrives although the controller does not ask for it. */
export const overfeed = (facts: Facts): Finding[] =>
  (['primary', 'ph'] as const).flatMap((role) => {
    const fed = fedBeyond(facts, role)
    if (fed) return [fedFinding(facts, role, fed)]
    const unasked = arrivesUnasked(facts, role)
    return unasked ? [unaskedFinding(facts, role, unasked)] : []
  })

/** How far an hour stands beyond its set point, on the side where nothing should be fed. */
function beyondOf(facts: Facts, hour: HourRecord, role: 'primary' | 'ph'): number {
  if ((standingMin(hour, facts.body) ?? 0) > 0) return Number.NaN
  return role === 'ph'
    ? (hour.phSetPoint ?? facts.latest?.phSetPoint ?? Number.NaN) - (hour.ph?.max ?? Number.NaN)
    : (hour.orpMv?.min ?? Number.NaN) - (hour.orpSetPointMv ?? facts.latest?.orpSetPointMv ?? Number.NaN)
}

function fedBeyond(facts: Facts, role: 'primary' | 'ph'): Run | null {
  const beyond = role === 'ph' ? BEYOND.ph : BEYOND.mv
  return runOf(
    facts,
    (hour) => {
      const minutes = role === 'ph' ? hour.phFeedMin : hour.sanitizerFeedMin
      return (shareOf(minutes, hour) ?? 0) >= FEEDING_SHARE && beyondOf(facts, hour, role) > beyond
    },
    HOURS_FED,
  )
}

interface Unasked {
  sinceMs: number
  hours: number
  rose: number
  beyond: number
}

function arrivesUnasked(facts: Facts, role: 'primary' | 'ph'): Unasked | null {
  const history = historyFor(facts)
  if (!history.reports[role] || (role === 'ph' && sinksByItself(facts))) return null
  const { count } = history
  const feed = history.feed[role]
  const isPh = role === 'ph'
  const beyond = isPh
    ? (at: number) => (history.phSet[at] as number) - (history.ph[at] as number)
    : (at: number) => (history.orp[at] as number) - (history.orpSet[at] as number)
  // the hours at rest up to now
  let rest = 0
  while (rest < count && rest < LONGEST_REST_HOURS && (feed[count - 1 - rest] as number) < REST_PART) rest++
  const from = count - rest + SPREAD_HOURS
  const hours = count - from
  if (hours < RISING_HOURS) return null
  const ends = mean3(beyond, count - 3)
  const rose = ends - mean3(beyond, from)
  if (probeExplains(facts, role, hourAt(history, from))) return null
  const since = { sinceMs: hourAt(history, from), hours, rose, beyond: ends }
  const far = isPh ? FAR.ph : FAR.mv
  if (!(ends > far)) return null
  const recent = ends - mean3(beyond, Math.max(from, count - 3 - RISING_HOURS))
  if (recent > (isPh ? RISES.ph : RISES.mv) && ends > 2 * far) return since
  if (!hasPast(history)) return null
  const usual = usualShare(feed, from, count)
  return usual >= USUAL_PART && rose > -(isPh ? FALLS.ph : FALLS.mv) ? since : null
}

/** What the test kit finds speaks against the probe: pH shown lower than it is, or less sanitizer although ORP is high. */
function probeExplains(facts: Facts, role: 'primary' | 'ph', sinceMs: number): boolean {
  if (role === 'ph') return (shownOverTested(facts, sinceMs) ?? 0) < -PROBE_APART_PH
  const tests = testsLately(facts)
  return tests !== null && tests.ratio < LESS_SANITIZER
}

const mean3 = (of: (at: number) => number, at: number) => (of(at) + of(at + 1) + of(at + 2)) / 3

/** What part of a day's feed is usual in these clock hours, by the ten days before. */
function usualShare(feed: Float64Array, from: number, to: number): number {
  let [usual, known] = [0, 0]
  let whole = 0
  for (let day = 2; day <= 11; day++) {
    const start = to - day * 24
    if (start < 24) break
    const then = meanOver(feed, from - day * 24, to - day * 24)
    const daily = meanOver(feed, start - 24, start)
    if (Number.isNaN(then) || Number.isNaN(daily)) continue
    usual += then * (to - from)
    whole += daily * 24
    known++
  }
  return known >= 4 && whole / known > 3 ? usual / whole : 0
}

/** Trichlor is acid itself: its pools sink without any acid feed. */
const sinksByItself = ({ snapshot, body }: Facts) =>
  snapshot.feeders.some(({ role, drum }) => role !== 'ph' && drum?.content === 'trichlor') ||
  (body.sanitizerSystem === 'erosion' && snapshot.feeders.every(({ role, drum }) => role === 'ph' || !drum))

const nameOf = (role: 'primary' | 'ph', feeder: FeederFacts | undefined) =>
  role === 'primary' ? 'sanitizer' : feeder?.kind === 'co2' ? 'carbon dioxide' : 'acid'

const ADVICE: Record<'primary' | 'ph', Phrase[]> = {
  primary: [
    say('Stop the sanitizer feed by hand until it is found. Test sanitizer; over its maximum, keep bathers out.'),
    say('Hold the pump still and the line shut while you look: a line under siphon goes on running.'),
  ],
  ph: [
    say('Stop the pH feed by hand until it is found. Test pH and alkalinity; under its minimum, keep bathers out.'),
    say('Leave the set point. If display and test kit part, calibrate the probe.'),
  ],
}

function fedFinding(facts: Facts, role: 'primary' | 'ph', run: Run): Finding {
  const feeder = feederOf(facts, role)
  const isPh = role === 'ph'
  const mean = meanOf(run.hours, isPh ? ({ ph }) => ph : ({ orpMv }) => orpMv)
  const setPoint = (isPh ? run.newest.phSetPoint : run.newest.orpSetPointMv) ?? 0
  const feedPct = feedShare(run, isPh ? (hour) => hour.phFeedMin : (hour) => hour.sanitizerFeedMin) * 100
  const unit = isPh ? 'pH' : 'mV'
  const causes = ranked({ outputStuck: 6, settingsTooSharp: 1 })
  return finding({
    kind: 'overfeed',
    subject: feeder?.id ?? role,
    severity: 'act',
    sentence: say(
      `${isPh ? 'pH' : 'ORP'} stands at {0}, ${isPh ? 'below' : 'above'} its set point of {1}, and ${nameOf(role, feeder)} is still fed {2} of the time, for {3} now.`,
      quantified(mean, unit),
      quantified(setPoint, unit),
      quantified(feedPct, '%'),
      quantified(run.hours.length, 'h'),
    ),
    value: quantified(mean, unit),
    sinceMs: run.oldest.hourMs,
    evidence: [
      shown(isPh ? 'pH, mean' : 'ORP, mean', mean, unit, run.newest.hourMs, 'controller'),
      shown('Set point', setPoint, unit, run.newest.hourMs, 'controller'),
      shown('Feed', feedPct, '%', run.newest.hourMs, 'controller'),
    ],
    causes,
    bring: toBring(causes),
    advice: [...toldCauses(causes), ...ADVICE[role]],
    cautions: ['localCodeFirst', 'protectiveEquipment', 'neverTogether', 'retestBeforeBathers'],
  })
}

function unaskedFinding(facts: Facts, role: 'primary' | 'ph', { sinceMs, hours, rose, beyond }: Unasked): Finding {
  const feeder = feederOf(facts, role)
  const isPh = role === 'ph'
  const unit = isPh ? 'pH' : 'mV'
  const gap = probeGap(facts)
  const probe = isPh && gap && gap.shownPh < gap.testedPh
  const causes: LikelyCause[] = ranked({ siphoning: probe ? 1 : 4, outputStuck: 2, addedByHand: 1.5 })
  return finding({
    kind: 'overfeed',
    subject: feeder?.id ?? role,
    severity: 'act',
    sentence: say(
      isPh
        ? `pH stands {0} below its set point and does not rise although no ${nameOf(role, feeder)} was fed for {1}: it arrives unasked.`
        : 'ORP stands {0} above its set point and does not fall although no sanitizer was fed for {1}: it arrives unasked.',
      quantified(beyond, unit),
      quantified(hours, 'h'),
    ),
    value: quantified(beyond, unit),
    sinceMs,
    evidence: [
      shown(isPh ? 'pH below its set point' : 'ORP above its set point', beyond, unit, null, 'controller'),
      shown(isPh ? 'Fell meanwhile by' : 'Rose meanwhile by', rose, unit, null, 'controller'),
      shown('Without feed', hours, 'h', null, 'controller'),
    ],
    causes,
    bring: toBring(causes),
    advice: [...toldCauses(causes), ...ADVICE[role]],
    cautions: ['localCodeFirst', 'protectiveEquipment', 'neverTogether', 'retestBeforeBathers'],
  })
}

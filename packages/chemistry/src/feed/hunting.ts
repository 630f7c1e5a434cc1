import type { Finding } from '../finding.ts'
import type { Facts } from '../findings/facts.ts'
import { finding, quantified, say, shown } from '../findings/make.ts'
import { ranked, toBring, toldCauses } from './causes.ts'
import { type History, hourAt, quantileOf } from './history.ts'
import { feederOf, historyFor } from './record.ts'
import { settingsAdvice } from './tuningAdvice.ts'

// Feed in bursts between hours of rest, each throwing the value beyond its set point. Common practice, no source.
const HOURS = 48
const REST_HOURS = 2
const REST_MIN = 0.05
/** … or an hour of feed that is so many times the most of all but the rarest hours before. */
const LARGE_TIMES = 2
/** Within so many hours of its start a burst shows what it did. */
const SHOWS_HOURS = 4
const OVERSHOOT = { mv: 10, ph: 0.07 }
const SWING = { mv: 12, ph: 0.09 }
/** This far beyond, one burst is enough. */
const GROSS = { mv: 20, ph: 0.13 }
const BURSTS = 2
/** Where a feeder that ran a little in most hours now runs in few, smaller overshoots count. */
const FED_MOSTLY = 0.7
const FED_SELDOM = 0.35
const BURSTY_PART = 0.65
/** A burst of its own begins this near to the set point. */
const ASKED = { mv: 15, ph: 0.09 }

/** A feed that gives too much at once: the value overshoots, falls back, and is thrown over again. */
export const feedHunting = (facts: Facts): Finding[] =>
  (['primary', 'ph'] as const).flatMap((role) => {
    const history = historyFor(facts)
    if (!history.reports[role]) return []
    const bursts = overshooting(history, role)
    const gross = role === 'ph' ? GROSS.ph : GROSS.mv
    const far = bursts.filter(({ beyond }) => beyond >= gross)
    return bursts.length >= BURSTS || far.length > 0 ? [huntingFinding(facts, role, bursts)] : []
  })

interface Burst {
  atMs: number
  minutes: number
  beyond: number
  swing: number
}

/** Bursts of the last two days that threw the value beyond its set point. */
function overshooting(history: History, role: 'primary' | 'ph'): Burst[] {
  const isPh = role === 'ph'
  const feed = history.feed[role]
  const beyond = (at: number) =>
    isPh
      ? (history.phSet[at] as number) - (history.ph[at] as number)
      : (history.orp[at] as number) - (history.orpSet[at] as number)
  const usual = Math.max(
    1,
    quantileOf(
      [...feed.subarray(0, Math.max(0, history.count - HOURS))].filter((minutes) => minutes >= 0),
      0.98,
    ),
  )
  const part = burstsNow(feed, history.count) ? BURSTY_PART : 1
  const bursts: Burst[] = []
  for (let at = Math.max(REST_HOURS, history.count - HOURS); at < history.count; at++) {
    if (!((feed[at] as number) > REST_MIN) || !(rested(feed, at) || (feed[at] as number) > LARGE_TIMES * usual))
      continue
    // feed that answers a jump (a calibration, a dose by hand) is no hunting
    if (-Math.min(beyond(at - 1), beyond(at)) > (isPh ? ASKED.ph : ASKED.mv)) continue
    let end = at
    while (end + 1 < history.count && end - at < SHOWS_HOURS && (feed[end + 1] as number) > REST_MIN) end++
    let [peak, minutes] = [Number.NEGATIVE_INFINITY, 0]
    for (let hour = at; hour <= Math.min(history.count - 1, end + SHOWS_HOURS - 1); hour++) {
      if (beyond(hour) > peak) peak = beyond(hour)
      if (hour <= end) minutes += feed[hour] as number
    }
    const swing = peak - beyond(at - 1)
    if (peak >= part * (isPh ? OVERSHOOT.ph : OVERSHOOT.mv) && swing >= part * (isPh ? SWING.ph : SWING.mv)) {
      bursts.push({ atMs: hourAt(history, at), minutes, beyond: peak, swing })
    }
  }
  return bursts
}

/** Whether it fed in most hours before, and feeds in few now. */
function burstsNow(feed: Float64Array, count: number): boolean {
  const fedShare = (from: number, to: number) => {
    let [fed, known] = [0, 0]
    for (let at = Math.max(0, from); at < to; at++) {
      const minutes = feed[at] as number
      if (Number.isNaN(minutes)) continue
      known++
      if (minutes > REST_MIN) fed++
    }
    return known > 0 ? fed / known : Number.NaN
  }
  return fedShare(count - 24, count) <= FED_SELDOM && fedShare(0, count - 2 * HOURS) >= FED_MOSTLY
}

function rested(feed: Float64Array, at: number): boolean {
  for (let before = at - REST_HOURS; before < at; before++) {
    if (!((feed[before] as number) <= REST_MIN)) return false
  }
  return true
}

function huntingFinding(facts: Facts, role: 'primary' | 'ph', bursts: readonly Burst[]): Finding {
  const isPh = role === 'ph'
  const unit = isPh ? 'pH' : 'mV'
  const feeder = feederOf(facts, role)
  const worst = bursts.reduce((far, burst) => (burst.beyond > far.beyond ? burst : far))
  const causes = ranked({ settingsTooSharp: 3, feederTooLarge: 3 })
  return finding({
    kind: 'feedHunting',
    subject: feeder?.id ?? role,
    severity: worst.beyond >= (isPh ? GROSS.ph : GROSS.mv) ? 'act' : 'watch',
    sentence: say(
      `${isPh ? 'pH feed' : 'Sanitizer feed'} comes in bursts: {0} of them in the last 2 days threw ${isPh ? 'pH' : 'ORP'} beyond its set point, by up to {1}.`,
      quantified(bursts.length, 'count'),
      quantified(worst.beyond, unit),
    ),
    value: quantified(worst.beyond, unit),
    sinceMs: (bursts[0] as Burst).atMs,
    evidence: bursts
      .slice(-4)
      .map(({ beyond, atMs }) => shown('Beyond the set point after a burst', beyond, unit, atMs, 'controller')),
    causes,
    bring: toBring(causes),
    advice: [
      ...toldCauses(causes),
      ...settingsAdvice(facts, role),
      say('Change one setting at a time and watch a turnover before the next. Leave the set points and the ORP probe.'),
    ],
    cautions: ['localCodeFirst', 'retestBeforeBathers'],
  })
}

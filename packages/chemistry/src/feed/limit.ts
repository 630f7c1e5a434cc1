import type { Finding } from '../finding.ts'
import type { Facts } from '../findings/facts.ts'
import { finding, quantified, say, shown } from '../findings/make.ts'
import type { FeederFacts } from '../snapshot.ts'
import { ranked, toBring, toldCauses } from './causes.ts'
import { clockOf } from './effort.ts'
import { type History, hourAt, quantileOf } from './history.ts'
import { feederOf, hasPast, historyFor } from './record.ts'

// A feeder that runs all it can for hours, most days, and still falls short, but need not at quiet hours, is too small for
// what is asked. Common practice, no source.
const DAYS = 7
const SHORT_DAYS = 4
const SHORT_HOURS = 3
const SHORT = { mv: 15, ph: 0.12 }
/** Part of the most that it ever ran in an hour. */
const AT_LIMIT = 0.9
const OFF_LIMIT = 0.8
// … or it runs near its limit most of the day and never arrives
const NEAR_LIMIT = 0.6
const NEAR_HOURS = 12
/** The most that a controller lets it run is at least this part of an hour, else the limit is one of its settings. */
const LEAST_LIMIT_MIN = 6

export const feederAtLimit = (facts: Facts): Finding[] =>
  (['primary', 'ph'] as const).flatMap((role) => {
    const history = historyFor(facts)
    if (!hasPast(history) || !history.reports[role]) return []
    const short = shortDays(history, role)
    return short ? [limitFinding(facts, role, short)] : []
  })

interface Short {
  days: number
  hours: number
  limitMin: number
  sinceMs: number
}

function shortDays(history: History, role: 'primary' | 'ph'): Short | null {
  const feed = history.feed[role]
  const limitMin = quantileOf(
    [...feed].filter((minutes) => minutes > 0),
    0.995,
  )
  if (!(limitMin >= LEAST_LIMIT_MIN)) return null
  const isPh = role === 'ph'
  let [days, hours, first] = [0, 0, 0]
  let lasting = 0
  const newest = newestWholeDay(history, feed)
  for (let day = 0; day < DAYS; day++) {
    const to = newest - day * 24
    const from = to - 24
    if (from < 0) break
    let [short, near, quiet] = [0, 0, 0]
    for (let at = from; at < to; at++) {
      const apart = isPh
        ? (history.ph[at] as number) - (history.phSet[at] as number)
        : (history.orpSet[at] as number) - (history.orp[at] as number)
      if (apart > (isPh ? SHORT.ph : SHORT.mv)) {
        if ((feed[at] as number) >= AT_LIMIT * limitMin) short++
        if ((feed[at] as number) >= NEAR_LIMIT * limitMin) near++
      }
      if ((feed[at] as number) < OFF_LIMIT * limitMin) quiet++
    }
    if (short < SHORT_HOURS && near < NEAR_HOURS) continue
    days++
    hours += Math.max(short, near >= NEAR_HOURS ? near : 0)
    first = from
    if (quiet >= SHORT_HOURS || near >= NEAR_HOURS) lasting++
  }
  if (days < SHORT_DAYS || lasting < SHORT_DAYS) return null
  return { days, hours: hours / days, limitMin, sinceMs: hourAt(history, first) }
}

/** Where the newest whole day ends: days are parted at the clock hour in which least is fed, so that a busy evening is never cut in
 * two, and what was said of a day stands until the next one is over. */
function newestWholeDay(history: History, feed: Float64Array): number {
  const byClock = new Float64Array(24)
  feed.forEach((minutes, at) => {
    const clock = clockOf(history, at)
    if (!Number.isNaN(minutes)) byClock[clock] = (byClock[clock] as number) + minutes
  })
  const quietest = byClock.indexOf(Math.min(...byClock))
  const since = (clockOf(history, history.count) - quietest + 24) % 24
  return history.count - since
}

function limitFinding(facts: Facts, role: 'primary' | 'ph', { days, hours, limitMin, sinceMs }: Short): Finding {
  const feeder: FeederFacts | undefined = feederOf(facts, role)
  const value = role === 'ph' ? 'pH' : 'ORP'
  const causes = ranked({
    feederTooSmall: 4,
    demandUp: 1,
    ...(feeder?.kind === 'saltGenerator' ? { cellScaled: 1 } : { productWeak: 1 }),
  })
  return finding({
    kind: 'feederAtLimit',
    subject: feeder?.id ?? role,
    severity: 'watch',
    sentence: say(
      `On {0} of the last 7 days the ${role === 'ph' ? 'pH' : 'sanitizer'} feeder ran all or most of what it is let, {1} an hour, for {2} a day, and ${value} still fell short.`,
      quantified(days, 'count'),
      quantified(limitMin, 'min'),
      quantified(hours, 'h'),
    ),
    value: quantified(hours, 'h'),
    sinceMs,
    evidence: [
      shown('Most that it runs in an hour', limitMin, 'min', null, 'controller'),
      shown('Hours a day at that limit and short', hours, 'h', null, 'controller'),
    ],
    causes,
    bring: toBring(causes),
    advice: [
      ...toldCauses(causes),
      say('Before a larger feeder, see feed tuning: a longer on-time or a shorter wait may be enough.'),
    ],
    cautions: ['localCodeFirst', 'protectiveEquipment'],
  })
}

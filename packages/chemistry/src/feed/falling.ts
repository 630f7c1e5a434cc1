import type { Finding } from '../finding.ts'
import type { Facts } from '../findings/facts.ts'
import { finding, quantified, say, shown } from '../findings/make.ts'
import { ranked, toBring, toldCauses } from './causes.ts'
import { type History, hourAt, meanOver, quantileOf } from './history.ts'
import { hasPast, historyFor } from './record.ts'

// Part of the flow that the body usually has; a filter between two backwashes costs a tenth. Common practice, no source.
const FALLEN = 0.8
const FALLEN_FAR = 0.65
/** A flow cell whose switch drops in so many hours of a day, when it used to drop in few. */
const FLICKERS_HOURS = 4
const FLICKERS_TIMES = 3

/** Flow that sinks over days (strainer, filter, pump), or a flow switch that drops ever oftener (the flow cell's strainer). */
export function flowFalling(facts: Facts): Finding[] {
  const history = historyFor(facts)
  if (!hasPast(history) || facts.flow === 'off') return []
  const fallen = fallenFlow(history)
  if (fallen) return [fallenFinding(fallen)]
  const flickers = flickering(history)
  return flickers ? [flickerFinding(flickers)] : []
}

interface Fallen {
  usualLMin: number
  nowLMin: number
  sinceMs: number
}

function fallenFlow(history: History): Fallen | null {
  const { flow, count } = history
  const usualLMin = quantileOf(
    [...flow].filter((value) => !Number.isNaN(value)),
    0.9,
  )
  const nowLMin = meanOver(flow, count - 6, count)
  if (!(nowLMin < FALLEN * usualLMin)) return null
  let since = count - 1
  while (since > 0 && !((flow[since - 1] as number) > 0.9 * usualLMin)) since--
  return { usualLMin, nowLMin, sinceMs: hourAt(history, since) }
}

function fallenFinding({ usualLMin, nowLMin, sinceMs }: Fallen): Finding {
  const causes = ranked({ strainerClogged: 4, filterLoaded: 3, meterWrong: 1 })
  return finding({
    kind: 'flowFalling',
    severity: nowLMin < FALLEN_FAR * usualLMin ? 'act' : 'watch',
    sentence: say(
      'Flow has fallen to {0}; usual is {1}.',
      quantified(nowLMin, 'L/min'),
      quantified(usualLMin, 'L/min'),
    ),
    value: quantified(nowLMin, 'L/min'),
    sinceMs,
    evidence: [
      shown('Flow, usual', usualLMin, 'L/min', null, 'controller'),
      shown('Flow, now', nowLMin, 'L/min', null, 'controller'),
    ],
    causes,
    bring: toBring(causes),
    advice: [...toldCauses(causes), say('Feeds reach the pool late while it flows slowly: watch for overshoot.')],
    cautions: ['localCodeFirst'],
  })
}

interface Flickers {
  hours: number
  usual: number
  sinceMs: number
}

/** Hours of the last day in which the switch dropped for a while, against the days before. */
function flickering(history: History): Flickers | null {
  const { noFlow, count } = history
  const drops = (from: number, to: number) => {
    let hours = 0
    for (let at = Math.max(0, from); at < to; at++) {
      const minutes = noFlow[at] as number
      if (minutes > 0 && minutes < 40) hours++
    }
    return hours
  }
  const hours = drops(count - 24, count)
  if (hours < FLICKERS_HOURS) return null
  const days: number[] = []
  for (let day = 1; day <= 14 && count - day * 24 > 0; day++) days.push(drops(count - (day + 1) * 24, count - day * 24))
  const usual = quantileOf(days, 0.3)
  if (hours < FLICKERS_TIMES * Math.max(1, usual)) return null
  let since = count - 24
  while (since > 24 && drops(since - 24, since) >= 2) since -= 24
  return { hours, usual, sinceMs: hourAt(history, Math.max(0, since)) }
}

function flickerFinding({ hours, usual, sinceMs }: Flickers): Finding {
  const causes = ranked({ strainerClogged: 5, switchStuckOff: 1 })
  return finding({
    kind: 'flowFalling',
    severity: hours >= 12 ? 'act' : 'watch',
    sentence: say(
      'The flow switch dropped for a while in {0} of the last 24 hours; usual is {1}. The flow cell is starved.',
      quantified(hours, 'count'),
      quantified(usual, 'count'),
    ),
    value: quantified(hours, 'count'),
    sinceMs,
    evidence: [shown('Hours with a drop, last 24', hours, 'count', null, 'controller')],
    causes,
    bring: toBring(causes),
    advice: [
      ...toldCauses(causes),
      say('A starved cell shows late what the water is: take its values with care until then.'),
    ],
    cautions: ['localCodeFirst'],
  })
}

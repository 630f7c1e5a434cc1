import type { Finding, LikelyCause, Phrase } from '../finding.ts'
import { aheadMin, type Facts, isFuture, meterShowsFlow, meterStood, moreThan, standingMin } from '../findings/facts.ts'
import { finding, quantified, say, shown } from '../findings/make.ts'
import { mahcHazard } from '../profiles/citations.ts'
import { conditionFits } from '../profiles/lookup.ts'
import type { HourRecord, LatestSample } from '../snapshot.ts'
import { DAY_MS, MINUTE_MS } from '../time.ts'
import { ranked, toBring, toldCauses } from './causes.ts'
import { hasPast, historyFor, recentOf } from './record.ts'

/** A backwash or strainer takes about this long; a stop up to here is no fault. Common practice, no source. */
const SHORT_STOP_MIN = 15
/** One five-minute sample can catch a flow switch that lags its pump; more than one is real. Common practice, no source. */
const ONE_SAMPLE_MIN = 5

/** The water stands still: recirculation and with it disinfection do not run. */
export function noFlow(facts: Facts): Finding[] {
  const { latest } = facts
  if (!latest || facts.flow !== 'off') return []
  const run = standingRun(facts)
  if (run) {
    // unless it is heard again, the water has stood since
    const provedAtMs = latest.atMs + Math.max(0, SHORT_STOP_MIN - run.minutes) * MINUTE_MS
    facts.changesAt(provedAtMs + 1)
    if (facts.nowMs <= provedAtMs && run.minutes <= SHORT_STOP_MIN) return []
  }
  const causes: LikelyCause[] = meterShowsFlow(facts)
    ? ranked({ switchStuckOff: 4, strainerClogged: 3, meterWrong: 1 })
    : ranked({ flowStopped: 4, strainerClogged: 2, switchStuckOff: 1 })
  return [
    finding({
      kind: 'noFlow',
      severity: 'close',
      sentence: noFlowSentence(facts, latest),
      limit: { side: 'max', value: 0, unit: 'min', citation: stoppedBy(facts) },
      sinceMs: run?.sinceMs ?? latest.atMs,
      evidence: [
        ...(latest.flowLMin === null ? [] : [shown('Flow', latest.flowLMin, 'L/min', latest.atMs, 'controller')]),
        ...(run ? [shown('Without flow', run.minutes, 'min', latest.atMs, 'controller')] : []),
      ],
      causes,
      bring: toBring(causes),
      advice: [
        say('Keep bathers out while the pump is off or nothing flows.'),
        say(
          'Stop all feeds by hand. Look at the pump, its strainer, the valves, the filter’s pressure, then the flow cell’s strainer and its flow switch.',
        ),
        say('If the pool flows and only the flow cell stands, the controller is blind: mend that before feeding.'),
      ],
      cautions: ['localCodeFirst', 'clearBathersBeforeFlow', 'retestBeforeBathers'],
    }),
  ]
}

/** Whose rule closes when filtration and disinfection stand still; where the profile names none, MAHC's. */
const stoppedBy = ({ profile, body }: Facts) =>
  profile.closures.find(({ trigger, when }) => trigger === 'treatmentStopped' && conditionFits(when, body))?.citation ??
  mahcHazard(5)

/** The switch sits at the flow cell, the meter in the main line: when they part, one of them is wrong, or the cell stands. */
function noFlowSentence(facts: Facts, { atMs, flowLMin }: LatestSample): Phrase {
  const meter = meterShowsFlow(facts) && flowLMin !== null ? [quantified(flowLMin, 'L/min')] : []
  const said = meter.length
    ? 'The flow switch shows no flow although the flow meter shows {0}: the flow cell stands or one of them is wrong. Until it is known, it counts as no flow.'
    : 'There is no flow at the controller: filtration and disinfection do not run.'
  if (facts.heard || isFuture(facts, atMs)) return say(said, ...meter)
  return say(`${said} Nothing was heard since, more than {${meter.length}} ago.`, ...meter, moreThan(facts, atMs))
}

/** Minutes without flow up to the newest sample, unbroken, and since which hour; null when the hours do not tell. */
function standingRun(facts: Facts): { minutes: number; sinceMs: number } | null {
  const { hours, body } = facts
  let minutes = 0
  let sinceMs: number | null = null
  for (let index = hours.length - 1; index >= 0; index--) {
    const hour = hours[index] as HourRecord
    const standing = standingMin(hour, body)
    if (standing === null || standing === 0) break
    minutes += Math.max(0, standing - aheadMin(hour, facts))
    sinceMs = hour.hourMs
    if (standing < hour.coveredMin - ONE_SAMPLE_MIN) break
  }
  return sinceMs === null ? null : { minutes, sinceMs }
}

/** A switch that shows flow where there is none lets feeders run into standing water; one that never changes may be such a one. */
export function flowSwitchStuck(facts: Facts): Finding[] {
  const byMeter = switchAgainstMeter(facts)
  return byMeter.length > 0 ? byMeter : neverChanges(facts)
}

function switchAgainstMeter(facts: Facts): Finding[] {
  const { latest, hours } = facts
  if (latest?.flowOn !== true || latest.flowLMin === null || meterShowsFlow(facts)) return []
  const lately = hours[hours.length - 1]
  if (!meterStands(facts, lately)) return []
  const shows = quantified(latest.flowLMin, 'L/min')
  const causes = ranked({ switchStuckOn: 3, meterWrong: 2 })
  return [
    finding({
      kind: 'flowSwitchStuck',
      severity: 'act',
      sentence:
        facts.heard || isFuture(facts, latest.atMs)
          ? say('The flow switch shows flow although the flow meter shows {0}: one of them is wrong.', shows)
          : say(
              'The flow switch showed flow although the flow meter showed {0}, more than {1} ago: one of them is wrong.',
              shows,
              moreThan(facts, latest.atMs),
            ),
      value: shows,
      sinceMs: lately?.hourMs ?? latest.atMs,
      evidence: [shown('Flow', latest.flowLMin, 'L/min', latest.atMs, 'controller')],
      causes,
      bring: toBring(causes),
      advice: [
        say('Look whether water really moves: pump, pressure gauges, inlets.'),
        say(
          'If it stands, stop all feeds by hand and keep bathers out: a switch that sticks lets feeders run without flow.',
        ),
        say('If it moves, clean or mend the meter.'),
        ...toldCauses(causes),
      ],
      cautions: ['localCodeFirst', 'clearBathersBeforeFlow'],
    }),
  ]
}

/** Two samples on end, or an hour; one sample can be a meter that starts. */
function meterStands(facts: Facts, lately: HourRecord | undefined): boolean {
  const before = recentOf(facts).at(-2)
  if (before && facts.latest && facts.latest.atMs - before.atMs <= SHORT_STOP_MIN * MINUTE_MS) {
    return before.flowOn === true && before.flowLMin !== null && !meterShowsFlow({ ...facts, latest: before })
  }
  return !lately?.flowLMin || meterStood(lately, facts.body)
}

// A switch that drops at each backwash and does so no more. Common practice, no source.
const DROPS_LEAST = 4
const SILENCE_TIMES = 3
const SILENCE_LEAST_MS = 3 * DAY_MS

function neverChanges(facts: Facts): Finding[] {
  const history = historyFor(facts)
  if (!hasPast(history) || facts.flow !== 'on') return []
  const drops: number[] = []
  for (let at = 0; at < history.count; at++) {
    if ((history.noFlow[at] as number) > 0) drops.push(history.fromMs + at * 3_600_000)
  }
  const last = drops[drops.length - 1]
  if (last === undefined || drops.length < DROPS_LEAST) return []
  const gaps = drops.slice(1).map((drop, index) => drop - (drops[index] as number))
  const longest = Math.max(...gaps)
  const silence = facts.nowMs - last
  if (silence < Math.max(SILENCE_LEAST_MS, SILENCE_TIMES * longest)) {
    facts.changesAt(last + Math.max(SILENCE_LEAST_MS, SILENCE_TIMES * longest) + 1)
    return []
  }
  const causes = ranked({ switchStuckOn: 1 })
  return [
    finding({
      kind: 'flowSwitchStuck',
      severity: 'watch',
      sentence: say(
        'The flow switch has shown flow without a break for more than {0}, although it used to drop every {1} or sooner.',
        moreThan(facts, last),
        quantified(Math.max(1, Math.round(longest / DAY_MS)), 'd'),
      ),
      sinceMs: last,
      evidence: [shown('Drops before', drops.length, 'count', last, 'controller')],
      causes,
      bring: toBring(causes),
      advice: [
        ...toldCauses(causes),
        say('Ask whether the filter was washed meanwhile: then the switch should have dropped.'),
      ],
      cautions: ['localCodeFirst', 'clearBathersBeforeFlow'],
    }),
  ]
}

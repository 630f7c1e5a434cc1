import type { Finding, Phrase } from '../finding.ts'
import { mahcHazard, noFeedWithoutFlow, practice } from '../profiles/citations.ts'
import { conditionFits } from '../profiles/lookup.ts'
import type { FeederFacts, HourRecord, LatestSample } from '../snapshot.ts'
import { DAY_MS, HOUR_MS, MINUTE_MS } from '../time.ts'
import { aheadMin, type Facts, isFuture, meterShowsFlow, meterStood, moreThan, standingMin } from './facts.ts'
import { finding, quantified, say, shown } from './make.ts'

export const hazardFindings = (facts: Facts): Finding[] => [
  ...noFlow(facts),
  ...flowDoubtful(facts),
  ...feedingFindings(facts),
]

/** What is fed where or when it must not be, whether anybody bathes or not. */
export const feedingFindings = (facts: Facts): Finding[] => [...feedWithoutFlow(facts), ...acidWithHypochlorite(facts)]

/** A backwash or strainer takes about this long; a stop up to here is no fault. Common practice, no source. */
const SHORT_STOP_MIN = 15
/** One five-minute sample can catch a flow switch that lags its pump; more than one is real. Common practice, no source. */
const ONE_SAMPLE_MIN = 5

/** The water stands still: recirculation and with it disinfection do not run. */
function noFlow(facts: Facts): Finding[] {
  const { latest } = facts
  if (!latest || facts.flow !== 'off') return []
  const run = standingRun(facts)
  if (run) {
    // unless it is heard again, the water has stood since
    const provedAtMs = latest.atMs + Math.max(0, SHORT_STOP_MIN - run.minutes) * MINUTE_MS
    facts.changesAt(provedAtMs + 1)
    if (facts.nowMs <= provedAtMs && run.minutes <= SHORT_STOP_MIN) return []
  }
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

/** A switch that sticks lets feeders run into standing water, so a meter that shows none beside it sends a person. */
function flowDoubtful(facts: Facts): Finding[] {
  const { latest, hours, body } = facts
  if (latest?.flowOn !== true || latest.flowLMin === null || meterShowsFlow(facts)) return []
  const lately = hours[hours.length - 1]
  // one sample can be a meter that starts
  if (lately?.flowLMin && !meterStood(lately, body)) return []
  const shows = quantified(latest.flowLMin, 'L/min')
  return [
    finding({
      kind: 'noFlow',
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
      advice: [
        say('Look whether water really moves: pump, pressure gauges, inlets.'),
        say(
          'If it stands, stop all feeds by hand and keep bathers out: a switch that sticks lets feeders run without flow.',
        ),
        say('If it moves, clean or mend the meter.'),
      ],
      cautions: ['localCodeFirst', 'clearBathersBeforeFlow'],
    }),
  ]
}

interface FedHour {
  hourMs: number
  minutes: number
}

/** Hours in which chemical was fed without flow, where hours on end come to more than a switch that lags. */
function fedStanding(facts: Facts): FedHour[] {
  const runs: FedHour[][] = []
  for (const hour of facts.hours) {
    const minutes = fedStandingMin(facts, hour)
    if (minutes <= 0) continue
    const run = runs[runs.length - 1]
    const before = run?.[run.length - 1]
    if (run && before && hour.hourMs - before.hourMs <= HOUR_MS) run.push({ hourMs: hour.hourMs, minutes })
    else runs.push([{ hourMs: hour.hourMs, minutes }])
  }
  return runs.filter((run) => sumOf(run) > ONE_SAMPLE_MIN).flat()
}

const sumOf = (hours: readonly FedHour[]) => hours.reduce((sum, { minutes }) => sum + minutes, 0)

/** Minutes of feed without flow in an hour, by the switch, or by a meter that stood all the hour; the newest sample counts for one only. */
function fedStandingMin(facts: Facts, hour: HourRecord): number {
  const { body, latest } = facts
  if (hour.feedWithoutFlowMin === null) {
    if (hour.noFlowMin !== null || !meterStood(hour, body)) return 0
    return Math.max(hour.sanitizerFeedMin ?? 0, hour.backupFeedMin ?? 0, hour.phFeedMin ?? 0)
  }
  if (latest?.flowOn !== false) return hour.feedWithoutFlowMin
  const feedPct = Math.max(latest.sanitizerFeedPct ?? 0, latest.backupFeedPct ?? 0, latest.phFeedPct ?? 0)
  const notYet = (Math.max(0, aheadMin(hour, facts) - ONE_SAMPLE_MIN) * feedPct) / 100
  return Math.max(0, hour.feedWithoutFlowMin - notYet)
}

const FED_SENTENCE = {
  off: 'Chemical was fed for {0} while nothing flowed: it may lie in the pipe. Get bathers out before flow returns.',
  unknown:
    'Chemical was fed for {0} while nothing flowed, and nobody knows whether it flows now: it may lie in the pipe. Get bathers out.',
  on: 'Chemical was fed for {0} while nothing flowed, and flow has returned: it comes out at the inlets. Get bathers out now.',
  since: 'Chemical was fed for {0} while nothing flowed; flow has returned since.',
} as const

/** Chemical piles up in the pipe and comes out at once when flow returns. */
function feedWithoutFlow(facts: Facts): Finding[] {
  const hours = fedStanding(facts)
  const newest = hours[hours.length - 1]
  if (!newest) return []
  const minutes = sumOf(hours)
  const now = facts.flow === 'on' && facts.nowMs - newest.hourMs > SURGE_MS ? 'since' : facts.flow
  facts.changesAt(newest.hourMs + SURGE_MS + 1)
  for (const { hourMs } of hours) facts.changesAt(hourMs + DAY_MS)
  return [
    finding({
      kind: 'feedWithoutFlow',
      severity: now === 'since' ? 'act' : 'close',
      sentence: say(FED_SENTENCE[now], quantified(minutes, 'min')),
      value: quantified(minutes, 'min'),
      limit: { side: 'max', value: 0, unit: 'min', citation: noFeedWithoutFlow },
      sinceMs: (hours[0] as FedHour).hourMs,
      evidence: hours.map((hour) =>
        shown('Fed without flow in the hour', hour.minutes, 'min', hour.hourMs, 'controller'),
      ),
      advice: [
        ...FED_ADVICE[now],
        say('Mend the interlock before feeding goes back to automatic: no feeder may run without flow.'),
      ],
      cautions: [
        ...(now === 'off' || now === 'unknown' ? (['clearBathersBeforeFlow'] as const) : []),
        'ventilateAndLeave',
        'localCodeFirst',
        'retestBeforeBathers',
      ],
    }),
  ]
}
// the hour itself, and one more in which what came out spreads; common practice, no source
const SURGE_MS = 2 * HOUR_MS

const STANDS = [
  say('Stop all feeds by hand. Clear all bathers before flow returns, and keep them out for a turnover after.'),
  say('Then restore flow, wait, and test sanitizer and pH at the inlets and in the pool.'),
]
const FED_ADVICE: Record<keyof typeof FED_SENTENCE, Phrase[]> = {
  off: STANDS,
  unknown: STANDS,
  on: [
    say('Stop all feeds by hand. Get all bathers out, and keep them out for a turnover.'),
    say('Then test sanitizer and pH at the inlets and in the pool.'),
  ],
  since: [say('Stop all feeds by hand, and test sanitizer and pH at the inlets and in the pool.')],
}

const ACIDS = ['hydrochloricAcid', 'sulfuricAcid', 'sodiumBisulfate']
const CHLORINES = ['sodiumHypochlorite', 'calciumHypochlorite', 'trichlor']

/** A pH feeder doses acid unless it is carbon dioxide; what its drum holds is not always written down. */
const dosesAcid = ({ kind, drum }: FeederFacts) => kind !== 'co2' && (drum === null || ACIDS.includes(drum.content))
/** Pumps and erosion feeders dose a chlorine product; a salt generator has none in a pipe to meet the acid. */
const dosesChlorine = ({ kind, drum }: FeederFacts) =>
  (kind === 'pump' || kind === 'erosion') && (drum === null || CHLORINES.includes(drum.content))

/** What the pH feed and the two sanitizer feeds dose; a feed that the controller reports and nobody entered counts as the usual. */
function dosing({ snapshot: { feeders }, body }: Facts) {
  const of = (role: FeederFacts['role']) => feeders.filter((feeder) => feeder.role === role)
  const unentered = !feeders.some(({ role }) => role !== 'ph') && body.sanitizerSystem !== 'saltGenerator'
  return {
    acid: of('ph').some(dosesAcid) || of('ph').length === 0,
    primary: of('primary').some(dosesChlorine) || unentered,
    backup: of('backup').some(dosesChlorine),
    entered: of('ph').length > 0 && !unentered,
  }
}

/** Acid and hypochlorite in one pipe make chlorine gas. A salt generator may run beside acid, carbon dioxide beside anything. */
function acidWithHypochlorite(facts: Facts): Finding[] {
  const { acid, primary, backup, entered } = dosing(facts)
  if (facts.body.sanitizerSystem === 'bromine' || !acid || (!primary && !backup)) return []
  const together = facts.hours.flatMap((hour) => {
    const minutes = primary ? (hour.bothFeedsMin ?? 0) : backupTogether(hour)
    return minutes > ONE_SAMPLE_MIN ? [{ hourMs: hour.hourMs, minutes }] : []
  })
  const [first] = together
  if (!first) return []
  for (const { hourMs } of together) facts.changesAt(hourMs + DAY_MS)
  const minutes = together.reduce((sum, hour) => sum + hour.minutes, 0)
  return [
    finding({
      kind: 'acidWithHypochlorite',
      severity: 'act',
      sentence: say(
        entered
          ? 'Acid and a chlorine product were fed at the same time for at least {0}: together they make chlorine gas.'
          : 'pH and sanitizer were fed at the same time for at least {0}, and what the feeders hold is not entered: acid and a chlorine product together make chlorine gas.',
        quantified(minutes, 'min'),
      ),
      value: quantified(minutes, 'min'),
      limit: { side: 'max', value: 0, unit: 'min', citation: practice },
      sinceMs: first.hourMs,
      evidence: together.map((hour) => shown('Both fed in the hour', hour.minutes, 'min', hour.hourMs, 'controller')),
      advice: [
        ...(entered ? [] : [say('Enter the feeders and what their drums hold, so that this can be judged.')]),
        say('Set the controller so that one feed waits for the other, and prove it at the feeders.'),
        say('See that the two injectors are well apart and that nothing siphons.'),
        say('Before anyone opens a fitting: feeds off, flow on, room ventilated.'),
      ],
      cautions: ['neverTogether', 'ventilateAndLeave', 'protectiveEquipment', 'localCodeFirst'],
    }),
  ]
}

/** The controller's minutes count any sanitizer: beside a salt generator only what the backup must have shared is sure. */
function backupTogether(hour: HourRecord): number {
  const { backupFeedMin, phFeedMin, bothFeedsMin, sanitizerFeedMin, coveredMin } = hour
  if (!backupFeedMin || !phFeedMin || !bothFeedsMin) return 0
  // with the generator off, every minute of both is the backup's
  if (!sanitizerFeedMin) return bothFeedsMin
  return Math.max(0, backupFeedMin + phFeedMin - coveredMin)
}

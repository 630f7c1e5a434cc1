import type { Finding, Phrase } from '../finding.ts'
import { mahcHazard } from '../profiles/citations.ts'
import type { FeederFacts, HourRecord, LatestSample } from '../snapshot.ts'
import { DAY_MS, HOUR_MS, MINUTE_MS } from '../time.ts'
import { type Facts, meterShowsFlow, moreThan, standingMin } from './facts.ts'
import { finding, quantified, say, shown } from './make.ts'

export const hazardFindings = (facts: Facts): Finding[] => [
  ...noFlow(facts),
  ...feedWithoutFlow(facts),
  ...acidWithHypochlorite(facts),
]

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
      limit: { side: 'max', value: 0, unit: 'min', citation: mahcHazard(5) },
      sinceMs: run?.sinceMs ?? latest.atMs,
      evidence: [
        ...(latest.flowLMin === null ? [] : [shown('Flow', latest.flowLMin, 'L/min', latest.atMs, 'controller')]),
        ...(run ? [shown('Without flow', run.minutes, 'min', latest.atMs, 'controller')] : []),
      ],
      advice: [
        say('Keep bathers out while the pump is off or nothing flows.'),
        say(
          'Look at the pump, its strainer, the valves, the filter’s pressure, then the flow cell’s strainer and its flow switch.',
        ),
        say('If the pool flows and only the flow cell stands, the controller is blind: mend that before feeding.'),
      ],
      cautions: ['localCodeFirst', 'clearBathersBeforeFlow', 'retestBeforeBathers'],
    }),
  ]
}

/** The switch sits at the flow cell, the meter in the main line: when they part, one of them is wrong, or the cell stands. */
function noFlowSentence(facts: Facts, { atMs, flowLMin }: LatestSample): Phrase {
  const meter = meterShowsFlow(facts) && flowLMin !== null ? [quantified(flowLMin, 'L/min')] : []
  const said = meter.length
    ? 'The flow switch shows no flow although the flow meter shows {0}: the flow cell stands or one of them is wrong. Until it is known, it counts as no flow.'
    : 'There is no flow at the controller: filtration and disinfection do not run.'
  if (facts.heard) return say(said, ...meter)
  return say(`${said} Nothing was heard since, more than {${meter.length}} ago.`, ...meter, moreThan(facts, atMs))
}

/** Minutes without flow up to now, unbroken, and since which hour; null when the hours do not tell. */
function standingRun({ hours, body }: Facts): { minutes: number; sinceMs: number } | null {
  let minutes = 0
  let sinceMs: number | null = null
  for (let index = hours.length - 1; index >= 0; index--) {
    const hour = hours[index] as HourRecord
    const standing = standingMin(hour, body)
    if (standing === null || standing === 0) break
    minutes += standing
    sinceMs = hour.hourMs
    if (standing < hour.coveredMin - ONE_SAMPLE_MIN) break
  }
  return sinceMs === null ? null : { minutes, sinceMs }
}

/** Chemical piles up in the pipe and comes out at once when flow returns. */
function feedWithoutFlow(facts: Facts): Finding[] {
  const hours = facts.hours.filter(({ feedWithoutFlowMin }) => (feedWithoutFlowMin ?? 0) > ONE_SAMPLE_MIN)
  const newest = hours[hours.length - 1]
  if (!newest) return []
  const minutes = hours.reduce((sum, hour) => sum + (hour.feedWithoutFlowMin ?? 0), 0)
  const surge = facts.flow === 'off' || facts.nowMs - newest.hourMs <= SURGE_MS
  facts.changesAt(newest.hourMs + SURGE_MS + 1)
  for (const { hourMs } of hours) facts.changesAt(hourMs + DAY_MS)
  return [
    finding({
      kind: 'feedWithoutFlow',
      severity: surge ? 'close' : 'act',
      sentence: say(
        surge
          ? 'Chemical was fed for {0} while nothing flowed: it may lie in the pipe. Get bathers out before flow returns.'
          : 'Chemical was fed for {0} while nothing flowed; flow has returned since.',
        quantified(minutes, 'min'),
      ),
      value: quantified(minutes, 'min'),
      sinceMs: (hours[0] as HourRecord).hourMs,
      evidence: hours.map((hour) =>
        shown('Fed without flow in the hour', hour.feedWithoutFlowMin ?? 0, 'min', hour.hourMs, 'controller'),
      ),
      advice: [
        say('Stop all feeds by hand. Clear all bathers before flow returns, and keep them out for a turnover after.'),
        say('Then restore flow, wait, and test sanitizer and pH at the inlets and in the pool.'),
        say('Mend the interlock before feeding goes back to automatic: no feeder may run without flow.'),
      ],
      cautions: ['clearBathersBeforeFlow', 'ventilateAndLeave', 'localCodeFirst', 'retestBeforeBathers'],
    }),
  ]
}
// the hour itself, and one more in which what came out spreads; common practice, no source
const SURGE_MS = 2 * HOUR_MS

const ACIDS = ['hydrochloricAcid', 'sulfuricAcid', 'sodiumBisulfate']
const CHLORINES = ['sodiumHypochlorite', 'calciumHypochlorite', 'trichlor']

/** A pH feeder doses acid unless it is carbon dioxide; what its drum holds is not always written down. */
const dosesAcid = ({ role, kind, drum }: FeederFacts) =>
  role === 'ph' && kind !== 'co2' && (drum === null || ACIDS.includes(drum.content))
/** Pumps and erosion feeders dose a chlorine product; a salt generator has none in a pipe to meet the acid. */
const dosesChlorine = ({ role, kind, drum }: FeederFacts) =>
  role !== 'ph' && (kind === 'pump' || kind === 'erosion') && (drum === null || CHLORINES.includes(drum.content))

/** Acid and hypochlorite in one pipe make chlorine gas. A salt generator may run beside acid, carbon dioxide beside anything. */
function acidWithHypochlorite(facts: Facts): Finding[] {
  const { feeders } = facts.snapshot
  if (facts.body.sanitizerSystem === 'bromine' || !feeders.some(dosesAcid)) return []
  const primary = feeders.some((feeder) => feeder.role === 'primary' && dosesChlorine(feeder))
  const backup = feeders.some((feeder) => feeder.role === 'backup' && dosesChlorine(feeder))
  if (!primary && !backup) return []
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
        'Acid and a chlorine product were fed at the same time for up to {0}: together they make chlorine gas.',
        quantified(minutes, 'min'),
      ),
      value: quantified(minutes, 'min'),
      sinceMs: first.hourMs,
      evidence: together.map((hour) => shown('Both fed in the hour', hour.minutes, 'min', hour.hourMs, 'controller')),
      advice: [
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

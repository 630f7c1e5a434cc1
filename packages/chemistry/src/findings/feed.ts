import type { CautionKey, EvidenceLine, Finding, Phrase } from '../finding.ts'
import type { DrumFacts, FeederFacts, HourRecord, Spread } from '../snapshot.ts'
import { DAY_MS, HOUR_MS } from '../time.ts'
import type { FeederRole } from '../vocabulary.ts'
import { type Facts, standingMin } from './facts.ts'
import { finding, quantified, say, shown } from './make.ts'
import { probeGap } from './probe.ts'

export const feedFindings = (facts: Facts): Finding[] => [...phNotHeld(facts), ...orpNotHeld(facts)]

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
// the primary feeder leaves the work to its backup
const BACKUP_HOURS = 6
const BACKUP_ORP_APART_MV = 5

// feeders take turns in cycles of up to an hour: the hour under way says nothing of shares until half of it is covered
const HOUR_COUNTS_MIN = 30

interface Run {
  hours: HourRecord[]
  newest: HourRecord
  oldest: HourRecord
}

/** The unbroken run of hours up to the newest that fit; a missing hour in between is bridged, more breaks it. */
function runOf(facts: Facts, fits: (hour: HourRecord) => boolean, atLeast: number): Run | null {
  const run: HourRecord[] = []
  const underWay = (facts.hours[facts.hours.length - 1]?.coveredMin ?? 0) < HOUR_COUNTS_MIN ? 1 : 0
  for (let index = facts.hours.length - 1 - underWay; index >= 0; index--) {
    const hour = facts.hours[index] as HourRecord
    const after = run[0]
    if (!fits(hour) || (after && after.hourMs - hour.hourMs > 2 * HOUR_MS)) break
    run.unshift(hour)
  }
  const [oldest] = run
  const newest = run[run.length - 1]
  if (!oldest || !newest || run.length < atLeast) return null
  // the hours are a day's window: without news the run grows shorter from its start
  facts.changesAt(oldest.hourMs + DAY_MS)
  return { hours: run, newest, oldest }
}

const flowing = (facts: Facts, hour: HourRecord) => (standingMin(hour, facts.body) ?? 0) < hour.coveredMin / 2
const share = (minutes: number | null, hour: HourRecord) =>
  minutes === null || hour.coveredMin <= 0 ? null : minutes / hour.coveredMin
const meanOf = (hours: HourRecord[], of: (hour: HourRecord) => Spread | null) =>
  hours.reduce((sum, hour) => sum + (of(hour)?.mean ?? 0), 0) / hours.length

const CAUTIONS: CautionKey[] = ['localCodeFirst', 'protectiveEquipment', 'neverTogether', 'retestBeforeBathers']

function phNotHeld(facts: Facts): Finding[] {
  const acid = facts.snapshot.feeders.find(({ role }) => role === 'ph')
  // a probe that the test kit found too high: by so much the water stands lower than it shows
  const gap = probeGap(facts)
  const tooHigh = gap && gap.shownPh > gap.testedPh ? gap.apart : 0
  const above = (hour: HourRecord, apart: number) => {
    const setPoint = hour.phSetPoint ?? facts.latest?.phSetPoint ?? null
    return hour.ph !== null && setPoint !== null && flowing(facts, hour) && hour.ph.mean - tooHigh > setPoint + apart
  }
  const fed = runOf(
    facts,
    (hour) => above(hour, PH_APART) && (share(hour.phFeedMin, hour) ?? 0) >= FEEDING_SHARE,
    HOURS_TO_SEE,
  )
  if (fed && !phReturns(fed)) return [phFinding(facts, fed, acid, 'fed')]
  if (!acid) return []
  const unfed = runOf(
    facts,
    (hour) => above(hour, UNREPORTED_PH_APART) && (share(hour.phFeedMin, hour) ?? 0) < FEEDING_SHARE,
    UNREPORTED_HOURS,
  )
  if (!unfed || phReturns(unfed)) return []
  return [
    phFinding(facts, unfed, acid, unfed.hours.every(({ phFeedMin }) => phFeedMin === null) ? 'unreported' : 'unfed'),
  ]
}

const phReturns = ({ oldest, newest }: Run) => (oldest.ph?.mean ?? 0) - (newest.ph?.mean ?? 0) >= PH_RETURNS

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
    advice:
      how === 'unfed'
        ? [
            say(`See why the controller does not feed ${fed}: switched to off, a feed limit or alarm, a lockout.`),
            say('Test pH by hand. Leave the set point; if display and test kit part, calibrate the probe.'),
          ]
        : [
            ...(gas ? GAS_CAUSES : usualCauses('the acid drum')),
            say('Test pH by hand. Leave the set point; if display and test kit part, calibrate the probe.'),
          ],
    cautions: gas ? CAUTIONS : [...CAUTIONS, 'acidIntoWater'],
  })
}

const usualCauses = (supply: string): Phrase[] => [
  say(`Suspect ${supply} first: empty, or its suction above the liquid.`),
  say('Then the pump: lost prime, worn tube, blocked injector, or running without moving liquid.'),
]
const GAS_CAUSES: Phrase[] = [
  say('Suspect the carbon dioxide first: cylinder empty or its valve shut. Then the regulator and the diffuser.'),
  say('Ventilate before you go in: carbon dioxide gathers low in a closed room and chokes unseen.'),
]

const feedShare = (run: Run, of: (hour: HourRecord) => number | null) => {
  const covered = run.hours.reduce((sum, hour) => sum + hour.coveredMin, 0)
  return covered > 0 ? run.hours.reduce((sum, hour) => sum + (of(hour) ?? 0), 0) / covered : 0
}

const drumLine = (drum: DrumFacts | null | undefined): EvidenceLine[] => {
  const level = drum?.levels[drum.levels.length - 1]
  return drum && level ? [shown(`Level in ${drum.name}`, level.levelL, 'L', level.atMs, 'test')] : []
}

function orpNotHeld(facts: Facts): Finding[] {
  const under = (hour: HourRecord, apart: number) => {
    const setPoint = hour.orpSetPointMv ?? facts.latest?.orpSetPointMv ?? null
    return hour.orpMv !== null && setPoint !== null && flowing(facts, hour) && hour.orpMv.mean < setPoint - apart
  }
  const run = runOf(
    facts,
    (hour) => under(hour, ORP_APART_MV) && (share(hour.sanitizerFeedMin, hour) ?? 0) >= FEEDING_SHARE,
    HOURS_TO_SEE,
  )
  if (run && !orpReturns(run)) return [orpFinding(facts, run, 'primary')]
  const byBackup = (hour: HourRecord) => (share(hour.backupFeedMin, hour) ?? 0) >= FEEDING_SHARE
  const carried = facts.snapshot.feeders.some(({ role }) => role === 'backup')
    ? runOf(facts, (hour) => under(hour, BACKUP_ORP_APART_MV) && byBackup(hour), BACKUP_HOURS)
    : null
  if (carried) return [orpFinding(facts, carried, 'backup')]
  const unfed = runOf(
    facts,
    (hour) =>
      under(hour, UNREPORTED_ORP_APART_MV) &&
      (share(hour.sanitizerFeedMin, hour) ?? 0) < FEEDING_SHARE &&
      !byBackup(hour),
    UNREPORTED_HOURS,
  )
  return unfed && !orpReturns(unfed) ? [orpUnfed(facts, unfed)] : []
}

/** The controller asks for sanitizer and hardly feeds any: switched off, locked out, or its feed is not reported. */
function orpUnfed(facts: Facts, run: Run): Finding {
  const mean = meanOf(run.hours, ({ orpMv }) => orpMv)
  const setPoint = run.newest.orpSetPointMv ?? facts.latest?.orpSetPointMv ?? 0
  const unreported = run.hours.every(({ sanitizerFeedMin }) => sanitizerFeedMin === null)
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
    advice: [
      say('Test sanitizer by hand. Low: mend the feed first. At its target: clean the probe, then move the set point.'),
      say('See why the controller does not feed: switched to off, a feed limit or alarm, a lockout, an empty drum.'),
      say('Never adjust the ORP probe to agree.'),
    ],
    cautions: CAUTIONS,
  })
}

const orpReturns = ({ oldest, newest }: Run) => (newest.orpMv?.mean ?? 0) - (oldest.orpMv?.mean ?? 0) >= ORP_RETURNS_MV

function orpFinding(facts: Facts, run: Run, role: Exclude<FeederRole, 'ph'>): Finding {
  const mean = meanOf(run.hours, ({ orpMv }) => orpMv)
  const setPoint = run.newest.orpSetPointMv ?? facts.latest?.orpSetPointMv ?? 0
  const feedPct =
    feedShare(run, role === 'primary' ? (hour) => hour.sanitizerFeedMin : (hour) => hour.backupFeedMin) * 100
  const primary = facts.snapshot.feeders.find((feeder) => feeder.role === 'primary')
  const backup = facts.snapshot.feeders.find((feeder) => feeder.role === 'backup')
  const words =
    role === 'primary'
      ? 'ORP has stood at {0}, below its set point of {1}, for {2} although sanitizer was fed {3} of the time.'
      : 'For {2} the backup feeder has carried the load, {3} of the time, with ORP at {0} below its set point of {1}: the primary sanitizer does not hold it.'
  return finding({
    kind: 'orpNotHeld',
    severity: run.hours.length >= HOURS_TO_ACT ? 'act' : 'watch',
    sentence: say(
      words,
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
      shown(role === 'primary' ? 'Sanitizer feed' : 'Backup feed', feedPct, '%', run.newest.hourMs, 'controller'),
      ...drumLine(primary?.drum),
      ...drumLine(backup?.drum),
    ],
    advice: [
      ...(primary?.kind === 'saltGenerator'
        ? [say('Look at the generator: cell scaled or worn, salt too low, water too cold, flow through the cell.')]
        : primary?.kind === 'erosion'
          ? [say('Look at the erosion feeder: empty, tablets bridged, or too little flow through it.')]
          : usualCauses('the sanitizer drum')),
      say(
        'Test sanitizer by hand. If it is at its target, the set point no longer fits: move the set point, never the probe.',
      ),
      say('A crowd of bathers or strong sun can ask for more than the feeder gives: compare with the hours before.'),
    ],
    cautions: CAUTIONS,
  })
}

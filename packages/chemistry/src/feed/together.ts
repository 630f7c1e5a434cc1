import type { Finding } from '../finding.ts'
import type { Facts } from '../findings/facts.ts'
import { finding, quantified, say, shown } from '../findings/make.ts'
import { practice } from '../profiles/citations.ts'
import type { FeederFacts, HourRecord } from '../snapshot.ts'
import { DAY_MS } from '../time.ts'
import { ranked, toBring } from './causes.ts'

/** One five-minute sample can catch one feed that ends as the other begins. Common practice, no source. */
const ONE_SAMPLE_MIN = 5

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
export function acidWithHypochlorite(facts: Facts): Finding[] {
  const doses = dosing(facts)
  const { acid, primary, backup } = doses
  if (facts.body.sanitizerSystem === 'bromine' || !acid || (!primary && !backup)) return []
  const together = facts.hours.flatMap((hour) => {
    const minutes = primary ? (hour.bothFeedsMin ?? 0) : backupTogether(hour)
    return minutes > ONE_SAMPLE_MIN ? [{ hourMs: hour.hourMs, minutes }] : []
  })
  if (together.length > 0) return [provenFinding(facts, doses, together)]
  // a salt generator feeds all the time and may
  const lost = primary ? turnsLost(facts) : []
  return lost.length > 0 ? [turnsFinding(facts, doses, lost)] : []
}

type Doses = ReturnType<typeof dosing>
interface Together {
  hourMs: number
  minutes: number
}

function provenFinding(facts: Facts, { entered }: Doses, together: Together[]): Finding {
  for (const { hourMs } of together) facts.changesAt(hourMs + DAY_MS)
  const minutes = together.reduce((sum, hour) => sum + hour.minutes, 0)
  return togetherFinding(entered, {
    sentence: say(
      entered
        ? 'Acid and a chlorine product were fed at the same time for at least {0}: together they make chlorine gas.'
        : 'pH and sanitizer were fed at the same time for at least {0}, and what the feeders hold is not entered: acid and a chlorine product together make chlorine gas.',
      quantified(minutes, 'min'),
    ),
    value: quantified(minutes, 'min'),
    limit: { side: 'max', value: 0, unit: 'min', citation: practice },
    sinceMs: (together[0] as Together).hourMs,
    evidence: together.map((hour) => shown('Both fed in the hour', hour.minutes, 'min', hour.hourMs, 'controller')),
  })
}

function turnsFinding(facts: Facts, { entered }: Doses, lost: readonly Shared[]): Finding {
  for (const { hourMs } of lost) facts.changesAt(hourMs + DAY_MS)
  const count = quantified(
    lost.reduce((sum, hour) => sum + hour.samples, 0),
    'count',
  )
  return togetherFinding(entered, {
    sentence: say(
      entered
        ? 'Acid and a chlorine product no longer take turns: {0} of the last day’s samples hold both, which this controller kept apart before. Together they make chlorine gas.'
        : 'pH and sanitizer feed no longer take turns: {0} of the last day’s samples hold both, which this controller kept apart before. What they hold is not entered: acid and a chlorine product together make chlorine gas.',
      count,
    ),
    value: count,
    sinceMs: (lost[0] as Shared).hourMs,
    evidence: lost
      .slice(-4)
      .map(({ hourMs, samples }) =>
        shown('Samples of the hour with both feeds', samples, 'count', hourMs, 'controller'),
      ),
  })
}

type Told = Pick<Parameters<typeof finding>[0], 'sentence' | 'value' | 'limit' | 'sinceMs' | 'evidence'>

function togetherFinding(entered: boolean, told: Told): Finding {
  const causes = ranked({ turnsNotKept: 1 })
  return finding({
    kind: 'acidWithHypochlorite',
    severity: 'act',
    ...told,
    causes,
    bring: toBring(causes),
    advice: [
      ...(entered ? [] : [say('Enter the feeders and what their drums hold, so that this can be judged.')]),
      say('Set the controller so that one feed waits for the other, and prove it at the feeders.'),
      say('See that the two injectors are well apart and that nothing siphons.'),
      say('Before anyone opens a fitting: feeds off, flow on, room ventilated.'),
    ],
    cautions: ['neverTogether', 'ventilateAndLeave', 'protectiveEquipment', 'localCodeFirst'],
  })
}

// Shares of the time do not prove that two feeds met, unless they took turns for days: then hardly any of the samples that
// would hold both by chance holds both. Common practice, no source.
const FEWEST_SAMPLES = 288
const FEWEST_BY_CHANCE = 8
const KEPT_PART = 0.02

interface Shared {
  hourMs: number
  samples: number
}

/** Hours of the last day with samples that hold both feeds, at a controller that had kept them in turns until then. */
function turnsLost({ snapshot, nowMs }: Facts): Shared[] {
  let [samples, byChance, both] = [0, 0, 0]
  const lost: Shared[] = []
  for (const hour of snapshot.controller?.hours ?? []) {
    const { hourMs, sanitizerSamples, phSamples, bothSamples } = hour
    if (sanitizerSamples == null || phSamples == null || bothSamples == null || hourMs > nowMs) continue
    const kept = samples >= FEWEST_SAMPLES && byChance >= FEWEST_BY_CHANCE && both <= KEPT_PART * byChance
    if (kept && bothSamples > 0) {
      if (hourMs > nowMs - DAY_MS) lost.push({ hourMs, samples: bothSamples })
      // what breaks the habit is no part of it
      continue
    }
    samples += hour.samples
    byChance += (sanitizerSamples * phSamples) / hour.samples
    both += bothSamples
  }
  return lost
}

/** The controller's minutes count any sanitizer: beside a salt generator only what the backup must have shared is sure. */
function backupTogether(hour: HourRecord): number {
  const { backupFeedMin, phFeedMin, bothFeedsMin, sanitizerFeedMin, coveredMin } = hour
  if (!backupFeedMin || !phFeedMin || !bothFeedsMin) return 0
  // with the generator off, every minute of both is the backup's
  if (!sanitizerFeedMin) return bothFeedsMin
  return Math.max(0, backupFeedMin + phFeedMin - coveredMin)
}

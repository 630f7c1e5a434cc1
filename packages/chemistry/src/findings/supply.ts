import { drawingOf } from '../feed/record.ts'
import type { Finding } from '../finding.ts'
import { practice } from '../profiles/citations.ts'
import type { DrumFacts, FeederFacts } from '../snapshot.ts'
import { drumForecast } from '../supply/forecast.ts'
import { DAY_MS, HOUR_MS } from '../time.ts'
import type { FindingSeverity } from '../vocabulary.ts'
import { type Facts, moreThan } from './facts.ts'
import { finding, quantified, say, shown } from './make.ts'

/** A drum should last to the next visit, and visits come about weekly. Common practice, no source. */
const LASTS_DAYS = 7
const URGENT_DAYS = 2
/** Without a known use, a drum this empty needs a look. Common practice, no source. */
const LOW_SHARE = 0.1
/** A level older than this tells more of missing entries than of the drum. Common practice, no source. */
const STALE_DAYS = 7

export function supplyFindings(facts: Facts): Finding[] {
  const drums = new Map<string, FeederFacts>()
  for (const feeder of facts.snapshot.feeders) if (feeder.drum) drums.set(feeder.drum.id, feeder)
  return [...drums.values()].flatMap((feeder) => drumLow(facts, feeder))
}

function drumLow(facts: Facts, feeder: FeederFacts): Finding[] {
  const drum = feeder.drum as DrumFacts
  const last = drum.levels[drum.levels.length - 1]
  if (!last) return []
  const forecast = drumForecast(drum, facts.nowMs, drawingOf(facts, feeder)?.run)
  const days = forecast?.daysLeft.typical ?? null
  if (!forecast || days === null) return last.levelL <= LOW_SHARE * drum.capacityL ? [readsLow(drum, last)] : []
  const emptyAtMs =
    forecast.from === 'levels'
      ? last.atMs + (last.levelL / forecast.useLPerDay.typical) * DAY_MS
      : facts.nowMs + days * DAY_MS
  for (const before of [LASTS_DAYS, URGENT_DAYS, 0]) facts.changesAt(Math.ceil(emptyAtMs - before * DAY_MS) + 1)
  // what was heard of its run grows old by itself
  if (forecast.from === 'runTime') facts.changesAt(facts.nowMs + HOUR_MS)
  if (days >= LASTS_DAYS) return []

  const stale = facts.nowMs - last.atMs > STALE_DAYS * DAY_MS
  if (days < URGENT_DAYS) facts.changesAt(last.atMs + STALE_DAYS * DAY_MS + 1)
  const range = [forecast.daysLeft.low, forecast.daysLeft.high] as const
  return [
    finding({
      kind: 'drumLow',
      subject: drum.id,
      severity: severityOf(days, stale),
      sentence: sentenceOf(facts, drum, last.atMs, days, range),
      value: quantified(days, 'd'),
      limit: { side: 'min', value: LASTS_DAYS, unit: 'd', citation: practice },
      sinceMs: last.atMs,
      evidence: [
        shown('Last level read', last.levelL, 'L', last.atMs, 'test'),
        shown('Level now, by its use', forecast.levelL, 'L', null, 'derived'),
        shown('Use per day', forecast.useLPerDay.typical, 'L', null, 'derived'),
      ],
      advice: [
        say(`Bring ${contentWords(drum)} and read the level; write down what was filled in.`),
        ...(days === 0
          ? [say('If it is empty, prime the pump again after filling and see that it moves liquid.')]
          : []),
      ],
      cautions: ['protectiveEquipment', 'neverTogether', 'localCodeFirst'],
    }),
  ]
}

// what should be empty by an old level has probably been filled without a note: look, but no alarm
const severityOf = (days: number, stale: boolean): FindingSeverity => (days < URGENT_DAYS && !stale ? 'act' : 'watch')

function sentenceOf(
  facts: Facts,
  drum: DrumFacts,
  lastAtMs: number,
  days: number,
  [low, high]: readonly [number | null, number | null],
) {
  if (days === 0) {
    return say(
      `${drum.name} should be empty by now, going by its use; its level was last read more than {0} ago.`,
      moreThan(facts, lastAtMs),
    )
  }
  // told in half days, so that the sentence does not change with every look
  const half = (value: number) => Math.floor(value * 2) / 2
  facts.changesAt(Math.ceil(facts.nowMs + (days - half(days)) * DAY_MS) + 1)
  if (half(days) === 0) {
    return say(`${drum.name} lasts less than half a day more; it should last {0}.`, quantified(LASTS_DAYS, 'd'))
  }
  return say(
    `${drum.name} lasts about {0} more, between {1} and {2}; it should last {3}.`,
    quantified(half(days), 'd'),
    quantified(half(low ?? days), 'd'),
    quantified(half(high ?? days), 'd'),
    quantified(LASTS_DAYS, 'd'),
  )
}

const readsLow = (drum: DrumFacts, last: { atMs: number; levelL: number }): Finding =>
  finding({
    kind: 'drumLow',
    subject: drum.id,
    severity: last.levelL <= 0 ? 'act' : 'watch',
    sentence: say(
      `${drum.name} was read at {0} of {1}, and its use is not known.`,
      quantified(last.levelL, 'L'),
      quantified(drum.capacityL, 'L'),
    ),
    value: quantified(last.levelL, 'L'),
    limit: { side: 'min', value: LOW_SHARE * drum.capacityL, unit: 'L', citation: practice },
    sinceMs: last.atMs,
    evidence: [shown('Last level read', last.levelL, 'L', last.atMs, 'test')],
    advice: [say(`Bring ${contentWords(drum)} and read the level; two readings tell the use per day.`)],
    cautions: ['protectiveEquipment', 'neverTogether', 'localCodeFirst'],
  })

const CONTENT_WORDS: Record<DrumFacts['content'], string> = {
  sodiumHypochlorite: 'sodium hypochlorite',
  calciumHypochlorite: 'calcium hypochlorite',
  trichlor: 'trichlor tablets',
  bromineTablets: 'bromine tablets',
  hydrochloricAcid: 'hydrochloric acid',
  sulfuricAcid: 'sulfuric acid',
  sodiumBisulfate: 'sodium bisulfate',
  carbonDioxide: 'carbon dioxide',
}
const contentWords = (drum: DrumFacts) => CONTENT_WORDS[drum.content]

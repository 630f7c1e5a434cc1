import { drawingOf } from '../feed/record.ts'
import type { EvidenceLine, Finding, Phrase } from '../finding.ts'
import { practice } from '../profiles/citations.ts'
import type { DrumFacts, FeederFacts } from '../snapshot.ts'
import { drumsOf } from '../supply/drums.ts'
import { isReadEmpty } from '../supply/falls.ts'
import { type DrumForecast, drumForecast } from '../supply/forecast.ts'
import { type SupplyPlan, supplyPlan } from '../supply/plan.ts'
import { DRUM_CONTENT_WORDS } from '../supply/words.ts'
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

export const supplyFindings = (facts: Facts): Finding[] =>
  drumsOf(facts.snapshot).flatMap(({ drum, feeders }) => drumLow(facts, drum, feeders[0] as FeederFacts))

function drumLow(facts: Facts, drum: DrumFacts, feeder: FeederFacts): Finding[] {
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
  const plan = supplyPlan(drum, forecast, facts.nowMs, fillingMs(forecast, facts.nowMs))
  return [
    finding({
      kind: 'drumLow',
      subject: drum.id,
      severity: severityOf(days, stale),
      sentence: isReadEmpty(drum, last)
        ? say(`${drum.name} was read empty more than {0} ago.`, moreThan(facts, last.atMs))
        : sentenceOf(facts, drum, last.atMs, days, forecast.daysLeft),
      value: quantified(days, 'd'),
      limit: { side: 'min', value: LASTS_DAYS, unit: 'd', citation: practice },
      sinceMs: last.atMs,
      evidence: evidenceOf(forecast),
      bring: [bringOf(drum, plan)],
      advice: [
        isReadEmpty(drum, last) ? FILL_NOW : latestOf(plan, facts.nowMs),
        ...doubtOf(forecast),
        ...(days === 0
          ? [say('If it is empty, prime the pump again after filling and see that it moves liquid.')]
          : []),
      ],
      cautions: ['protectiveEquipment', 'neverTogether', 'localCodeFirst'],
    }),
  ]
}

/** The next round is not known here: it is filled when it must be, so that the amount stays the same from look to look. */
const fillingMs = ({ daysLeft }: DrumForecast, nowMs: number) => nowMs + Math.max(0, (daysLeft.low ?? 0) - 1) * DAY_MS

function bringOf(drum: DrumFacts, { fillL, fillKg }: SupplyPlan): Phrase {
  const content = DRUM_CONTENT_WORDS[drum.content]
  return fillKg
    ? say(
        `${content}: about {0}, {1} at most`,
        quantified(fillKg.typical * 1000, 'g'),
        quantified(fillKg.high * 1000, 'g'),
      )
    : say(`${content}: about {0}, {1} at most`, quantified(fillL.typical, 'L'), quantified(fillL.high, 'L'))
}

const FILL_NOW = say('Fill it now, read the level, and write down what was filled in.')

function latestOf({ latestMs }: SupplyPlan, nowMs: number): Phrase {
  const told = half(((latestMs ?? nowMs) - nowMs) / DAY_MS)
  if ((latestMs ?? nowMs) <= nowMs) return FILL_NOW
  if (told === 0) return say('Fill it today, read the level, and write down what was filled in.')
  return say(
    'Fill it within {0}: a day is left then, should it go fast. Read the level and write down what was filled in.',
    quantified(told, 'd'),
  )
}

/** What makes the last reading doubtful, and how to find out. */
function doubtOf({ doubt }: DrumForecast): Phrase[] {
  if (doubt === 'rose')
    return [
      say(
        'The last level is above the one before with nothing noted as filled in: read it again, note what was filled.',
      ),
    ]
  if (doubt === 'fell')
    return [
      say(
        'The level fell far more than ever: read it again. If it is right, look for a leak or a siphon, and keep bathers out until sanitizer and pH are tested.',
      ),
    ]
  return []
}

function evidenceOf(forecast: DrumForecast): EvidenceLine[] {
  const { useLPerDay, run, lastLevelL, lastLevelAtMs, levelL } = forecast
  return [
    shown('Last level read', lastLevelL, 'L', lastLevelAtMs, 'test'),
    shown('Level now, by its use', levelL, 'L', null, 'derived'),
    shown('Use per day', useLPerDay.typical, 'L', null, 'derived'),
    shown('Use on a slow day', useLPerDay.low, 'L', null, 'derived'),
    shown('Use on a fast day', useLPerDay.high, 'L', null, 'derived'),
    ...(run
      ? [
          shown('Run time a day', run.minutesPerDay.typical, 'min', null, 'controller'),
          shown('Litres for an hour of run', run.litresPerHour.typical, 'L', null, 'derived'),
        ]
      : []),
  ]
}

// what should be empty by an old level has probably been filled without a note: look, but no alarm
const severityOf = (days: number, stale: boolean): FindingSeverity => (days < URGENT_DAYS && !stale ? 'act' : 'watch')

function sentenceOf(
  facts: Facts,
  drum: DrumFacts,
  lastAtMs: number,
  days: number,
  { low, high }: DrumForecast['daysLeft'],
) {
  if (days === 0) {
    return say(
      `${drum.name} should be empty by now, going by its use; its level was last read more than {0} ago.`,
      moreThan(facts, lastAtMs),
    )
  }
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

/** Told in half days, so that the sentence does not change with every look. */
const half = (days: number) => Math.floor(days * 2) / 2

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
    advice: [say(`Bring ${DRUM_CONTENT_WORDS[drum.content]} and read the level; two readings tell the use per day.`)],
    cautions: ['protectiveEquipment', 'neverTogether', 'localCodeFirst'],
  })

import type { EvidenceLine, Phrase } from '../finding.ts'
import { factsOf } from '../findings/facts.ts'
import { feedFindings } from '../findings/feed.ts'
import { quantified, say, shown } from '../findings/make.ts'
import { outOfUseNow } from '../outOfUse.ts'
import type { CodeProfile } from '../profile.ts'
import type { DrumFacts, DrumLevel, FeederFacts, Snapshot } from '../snapshot.ts'
import { type DrumSupply, suppliesOf } from '../supply/drums.ts'
import { isReadEmpty } from '../supply/falls.ts'
import type { DrumForecast } from '../supply/forecast.ts'
import type { SupplyPlan } from '../supply/plan.ts'
import type { PumpWear } from '../supply/use.ts'
import { DAY_MS } from '../time.ts'
import { FEEDER_ROLES, type FeederRole, type FindingKind } from '../vocabulary.ts'
import { type TuningView, tuningViews } from './tuningView.ts'

/** Feed, drums and feed settings of one body, ready to be drawn and read. Times are ms. */
export interface FeedView {
  atMs: number
  /** What is missing, and how to get it. */
  missing: Phrase[]
  /** One entry for each day of the facility's clock, oldest first. */
  days: HeardDay[]
  effort: RoleEffort[]
  drums: DrumView[]
  tuning: TuningView[]
}

/** One day of the roll-up, by the facility's clock. */
export interface FeedDay {
  fromMs: number
  /** Minutes that samples cover. */
  heardMin: number
  /** Minutes of feed in these; null where that feed is not reported. */
  feedMin: Record<FeederRole, number | null>
}

export type HeardDay = Pick<FeedDay, 'fromMs' | 'heardMin'>

/** How long the feeders of one role ran each day. */
export interface RoleEffort {
  role: FeederRole
  feeders: Pick<FeederFacts, 'id' | 'name' | 'kind'>[]
  /** Minutes in 24 hours, one for each of `days`; null where less than half of the day was heard, or that feed is not reported. */
  minPerDay: (number | null)[]
  /** Median of the last seven days that were heard; null with fewer than three. */
  usualMinPerDay: number | null
}

export interface DrumView {
  drum: Pick<DrumFacts, 'id' | 'name' | 'content' | 'capacityL'>
  feeders: string[]
  levels: DrumLevel[]
  /** The newest reading found nothing in it. */
  readEmpty: boolean
  forecast: DrumForecast | null
  /** The level from now on until it is empty: by its fastest, usual and slowest use. */
  course: CoursePoint[]
  plan: SupplyPlan | null
  wear: PumpWear | null
  /** What there is to say, the weightiest first. */
  told: Phrase[]
  evidence: EvidenceLine[]
}

export interface CoursePoint {
  atMs: number
  low: number
  typical: number
  high: number
}

interface Given {
  snapshot: Snapshot
  profile: CodeProfile
  days: readonly FeedDay[]
  /** mV for ten times the acid by this body's own relation; null: the usual. */
  slopeMv: number | null
  /** As logged, where the controller does not report it. */
  orpSetPointMv: number | null
  nowMs: number
}

/** Visits come about weekly. Common practice, no source. */
const NEXT_ROUND_DAYS = 7

export function feedView({ snapshot, profile, days, slopeMv, orpSetPointMv, nowMs }: Given): FeedView {
  const effort = effortOf(snapshot, days)
  const supplies = suppliesOf(snapshot, nowMs, nowMs + NEXT_ROUND_DAYS * DAY_MS)
  return {
    atMs: nowMs,
    missing: missingOf(snapshot, effort, supplies),
    days: days.map(({ fromMs, heardMin }) => ({ fromMs, heardMin })),
    effort,
    drums: supplies.map((supply) => drumView(supply, nowMs)),
    // nobody holds a set point in water that nobody uses
    tuning: outOfUseNow(snapshot, nowMs)
      ? []
      : tuningViews(snapshot, profile, {
          effort,
          slopeMv,
          orpSetPointMv,
          nowMs,
          unsound: unsoundOf(snapshot, profile, nowMs),
        }),
  }
}

const FAULTS: readonly FindingKind[] = ['feederWeak', 'overfeed', 'feederAtLimit']

/** Feeders whose run is a fault's. */
function unsoundOf(snapshot: Snapshot, profile: CodeProfile, nowMs: number): (feeder: FeederFacts) => boolean {
  const found = feedFindings(factsOf(snapshot, profile, nowMs)).filter(({ kind }) => FAULTS.includes(kind))
  const subjects = new Set(found.map(({ subject }) => subject))
  return ({ id, role }) => subjects.has(id) || subjects.has(role)
}

/** Where nothing can be worked out, with why. */
export const noFeedView = (nowMs: number, ...missing: Phrase[]): FeedView => ({
  atMs: nowMs,
  missing,
  days: [],
  effort: [],
  drums: [],
  tuning: [],
})

function missingOf(
  { controller, feeders }: Snapshot,
  effort: readonly RoleEffort[],
  supplies: readonly DrumSupply[],
): Phrase[] {
  const told = effort.some(({ minPerDay }) => minPerDay.some((minutes) => minutes !== null))
  return [
    ...(feeders.length > 0
      ? []
      : [say('No feeder is entered: add pumps, generator and their drums to the plant to see what they do.')]),
    ...(controller ? [] : [say('No controller is entered: without one nobody sees how long the feeders run.')]),
    ...(controller && !told
      ? [
          say(
            'The controller has not reported any feed: give it channels for the feeds, or load an export that holds them.',
          ),
        ]
      : []),
    ...(feeders.length > 0 && supplies.length === 0
      ? [say('No drum is entered: add the drums that the feeders draw from, and read their levels.')]
      : []),
  ]
}

const LEAST_HEARD_MIN = 720
const DAY_MIN = 1440
const USUAL_DAYS = 7
const LEAST_USUAL_DAYS = 3

function effortOf({ feeders }: Snapshot, days: readonly FeedDay[]): RoleEffort[] {
  return FEEDER_ROLES.flatMap((role) => {
    const own = feeders.filter((feeder) => feeder.role === role)
    const minPerDay = days.map(({ heardMin, feedMin }) => {
      const minutes = feedMin[role]
      return minutes === null || heardMin < LEAST_HEARD_MIN ? null : (minutes * DAY_MIN) / heardMin
    })
    if (own.length === 0 && minPerDay.every((minutes) => minutes === null)) return []
    const lately = minPerDay.slice(-USUAL_DAYS).flatMap((minutes) => minutes ?? [])
    return [
      {
        role,
        feeders: own.map(({ id, name, kind }) => ({ id, name, kind })),
        minPerDay,
        usualMinPerDay: lately.length < LEAST_USUAL_DAYS ? null : middleOf(lately),
      },
    ]
  })
}

const middleOf = (values: readonly number[]) =>
  [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)] as number

function drumView({ drum, feeders, forecast, plan, wear }: DrumSupply, nowMs: number): DrumView {
  const { id, name, content, capacityL, levels } = drum
  const last = levels[levels.length - 1]
  return {
    drum: { id, name, content, capacityL },
    feeders: feeders.map((feeder) => feeder.name),
    levels: [...levels],
    readEmpty: !!last && isReadEmpty(drum, last),
    forecast,
    course: forecast ? courseOf(forecast, nowMs) : [],
    plan,
    wear,
    told: [...wearTold(wear), ...usedTold(drum, forecast), ...fillTold(plan)],
    evidence: forecast ? evidenceOf(forecast) : [],
  }
}

/** What lasts longer than this is not drawn to its end. */
const MOST_DAYS = 45

function courseOf({ levelL, useLPerDay, daysLeft }: DrumForecast, nowMs: number): CoursePoint[] {
  const ends = [daysLeft.low, daysLeft.typical, daysLeft.high].map((days) => Math.min(MOST_DAYS, days ?? MOST_DAYS))
  const turns = [...new Set([0, ...ends])].sort((a, b) => a - b)
  // each way ends where the forecast says that it does, whatever the level it begins at
  const down = (end: number | null, lPerDay: number) => (days: number) =>
    end === null ? levelL : Math.max(0, Math.min(levelL, lPerDay * (end - days)))
  const fast = down(daysLeft.low, useLPerDay.high)
  const usual = down(daysLeft.typical, useLPerDay.typical)
  const slow = down(daysLeft.high, useLPerDay.low)
  return turns.map((days) => ({
    atMs: Math.round(nowMs + days * DAY_MS),
    low: Math.min(fast(days), usual(days)),
    typical: usual(days),
    high: Math.max(slow(days), usual(days)),
  }))
}

function usedTold({ levels }: DrumFacts, forecast: DrumForecast | null): Phrase[] {
  if (!forecast) {
    return [
      levels.length === 0
        ? say('Its level was not read in the last month: read it, twice with a day between tells what is used.')
        : say('One reading tells no use: read the level again in a day or more, and note what is filled in.'),
    ]
  }
  const { useLPerDay, from, doubt } = forecast
  const use = say(
    from === 'runTime'
      ? 'It uses about {0} a day, between {1} and {2}: by the run of its feeder.'
      : 'It uses about {0} a day, between {1} and {2}: by the levels alone.',
    quantified(useLPerDay.typical, 'L'),
    quantified(useLPerDay.low, 'L'),
    quantified(useLPerDay.high, 'L'),
  )
  if (doubt === 'rose')
    return [say('The last level is above the one before and nothing is noted as filled in: read it again.'), use]
  if (doubt === 'fell')
    return [say('The level fell far more than ever: read it again, and look for a leak or a siphon.'), use]
  return [use]
}

const LASTS_WORDS: Record<SupplyPlan['lasts'], string | null> = {
  sure: 'It lasts to a round in {0}, even with its fastest use.',
  unsure: 'It lasts to a round in {0} with its usual use, not with its fastest.',
  no: 'It does not last to a round in {0}.',
  unknown: null,
}

/** Amounts this much alike are told as one. */
const ALIKE_SHARE = 0.05

function fillTold(plan: SupplyPlan | null): Phrase[] {
  if (!plan) return []
  const words = LASTS_WORDS[plan.lasts]
  const round = quantified(NEXT_ROUND_DAYS, 'd')
  const range = plan.fillKg
    ? [plan.fillKg.typical, plan.fillKg.low, plan.fillKg.high].map((kg) => quantified(kg * 1000, 'g'))
    : [plan.fillL.typical, plan.fillL.low, plan.fillL.high].map((litres) => quantified(litres, 'L'))
  return [
    ...(words ? [say(words, round)] : []),
    plan.fillL.high - plan.fillL.low > ALIKE_SHARE * plan.fillL.typical
      ? say('At a round in {0} about {1} fill it up, between {2} and {3}.', round, ...range)
      : say('At a round in {0} about {1} fill it up.', round, ...range.slice(0, 1)),
  ]
}

const wearTold = (wear: PumpWear | null): Phrase[] =>
  wear
    ? [
        say(
          'Its pump moves {0} where it moved {1}: look at tube, valves and injector.',
          quantified(wear.nowLH, 'L/h'),
          quantified(wear.beforeLH, 'L/h'),
        ),
      ]
    : []

const evidenceOf = ({ lastLevelL, lastLevelAtMs, levelL, run }: DrumForecast): EvidenceLine[] => [
  shown('Last level read', lastLevelL, 'L', lastLevelAtMs, 'test'),
  shown('Level now, by its use', levelL, 'L', null, 'derived'),
  ...(run
    ? [
        shown('Run time a day', run.minutesPerDay.typical, 'min', null, 'controller'),
        shown('For each hour of run', run.litresPerHour.typical, 'L', null, 'derived'),
      ]
    : []),
]

import {
  FEED_WORK_KINDS,
  type FeedWork,
  type HourRecord,
  type LatestSample,
  type PastTest,
  QUANTITIES,
  type Spread,
} from '@sightglass/chemistry'
import type pg from 'pg'
import type { Queryable } from '../../platform/database.ts'
import { columnOf } from '../../platform/sql.ts'
import { copyOut, placesOf, timeText } from './copyOut.ts'
import { AHEAD_MS, HOUR_LAYOUT, MS } from './queries.ts'

const DAY_MS = 86_400_000
/** What a feeder does is judged against what it did in the weeks before. */
export const PAST_DAYS = 21
/** Single samples in which hazards show at once; the roll-up has what was before. */
const RECENT_HOURS = 3

/** What came in over the last weeks, by the place of the body among those asked for. */
export interface Past {
  hours: HourRecord[][]
  recent: LatestSample[][]
  tests: PastTest[][]
  work: FeedWork[][]
}

export async function pastFor(client: pg.ClientBase, bodyIds: readonly string[], now: Date): Promise<Past> {
  const since = new Date(+now - PAST_DAYS * DAY_MS)
  return {
    hours: await copyHours(client, bodyIds, since, now),
    recent: await copyRecent(client, bodyIds, new Date(+now - RECENT_HOURS * 3_600_000), now),
    tests: await selectPastTests(client, bodyIds, since, now),
    work: await selectFeedWork(client, bodyIds, since, now),
  }
}

const { spreads, single } = HOUR_LAYOUT
const HOUR_COLUMNS = [
  'samples',
  'covered_min',
  ...spreads.flatMap((key) => ['min', 'mean', 'max'].map((part) => `${columnOf(key)}_${part}`)),
  ...single.map(columnOf),
  'sanitizer_samples',
  'ph_samples',
  'both_samples',
]

/** The hours of each body that began after the one time and not after the other, oldest first. */
export async function copyHours(client: pg.ClientBase, bodyIds: readonly string[], after: Date, until: Date) {
  const hours = bodyIds.map((): HourRecord[] => [])
  await copyOut(
    client,
    `SELECT b.place, ${MS('h.hour')}, ${HOUR_COLUMNS.map((column) => `h.${column}::real`).join(', ')}
    FROM ${placesOf(bodyIds)} CROSS JOIN LATERAL (
      SELECT * FROM sample_hour
      WHERE body_id = b.id AND hour > ${timeText(after)} AND hour <= ${timeText(until)} ORDER BY hour
    ) h`,
    HOUR_COLUMNS.length,
    (place, hourMs, values) => hours[place]?.push(hourOf(hourMs, values)),
  )
  return hours
}

const orNull = (value: number | undefined) => (value === undefined || Number.isNaN(value) ? null : value)

function hourOf(hourMs: number, values: Float64Array): HourRecord {
  const spread = (index: number): Spread | null => {
    const from = 2 + 3 * index
    const [min, mean, max] = [values[from] as number, values[from + 1] as number, values[from + 2] as number]
    return Number.isNaN(mean) ? null : { min, mean, max }
  }
  const one = (index: number) => orNull(values[2 + 3 * spreads.length + index])
  return {
    hourMs,
    samples: values[0] as number,
    coveredMin: values[1] as number,
    ph: spread(0),
    orpMv: spread(1),
    freeChlorineMgL: spread(2),
    tempC: spread(3),
    flowLMin: spread(4),
    phSetPoint: one(0),
    orpSetPointMv: one(1),
    sanitizerFeedMin: one(2),
    backupFeedMin: one(3),
    phFeedMin: one(4),
    noFlowMin: one(5),
    feedWithoutFlowMin: one(6),
    bothFeedsMin: one(7),
    sanitizerSamples: one(8),
    phSamples: one(9),
    bothSamples: one(10),
  }
}

/** Single samples of each body after the one time and up to the other, oldest first. */
async function copyRecent(client: pg.ClientBase, bodyIds: readonly string[], after: Date, until: Date) {
  const samples = bodyIds.map((): LatestSample[] => [])
  const columns = QUANTITIES.map((key) => (key === 'flowOn' ? 's.flow_on::int::real' : `s.${columnOf(key)}`))
  await copyOut(
    client,
    `SELECT b.place, ${MS('s.at')}, ${columns.join(', ')}
    FROM ${placesOf(bodyIds)} CROSS JOIN LATERAL (
      SELECT * FROM sample
      WHERE body_id = b.id AND at > ${timeText(after)} AND at <= ${timeText(until)} ORDER BY at
    ) s`,
    columns.length,
    (place, atMs, values) => samples[place]?.push(sampleOf(atMs, values)),
  )
  return samples
}

function sampleOf(atMs: number, values: Float64Array): LatestSample {
  const known = Object.fromEntries(QUANTITIES.map((key, index) => [key, orNull(values[index])]))
  return { ...known, atMs, flowOn: known.flowOn === null ? null : known.flowOn === 1 } as LatestSample
}

type Placed<Thing> = Thing & { place: number }

/** Rows by the place of their body. */
export function byPlace<Thing extends object>(bodies: number, rows: readonly Placed<Thing>[]): Thing[][] {
  const groups = Array.from({ length: bodies }, (): Thing[] => [])
  for (const { place, ...thing } of rows) groups[place]?.push(thing as unknown as Thing)
  return groups
}

/** Bodies as a set with their places, of the parameter $1. */
export const PLACES =
  '(SELECT id, (place - 1)::int AS place FROM unnest($1::uuid[]) WITH ORDINALITY AS u (id, place)) b'

const SELECT_PAST_TESTS = `
SELECT b.place, ${MS('r.at')} AS "atMs",
  CASE WHEN y.sanitizer_system = 'bromine' THEN r.bromine_mg_l ELSE r.free_chlorine_mg_l END AS "sanitizerMgL",
  r.ph, r.salt_mg_l AS "saltMgL"
FROM ${PLACES} JOIN body y ON y.id = b.id
JOIN reading r ON r.body_id = b.id AND r.replaced_at IS NULL AND r.at > $2 AND r.at <= $3
ORDER BY b.place, r.at, r.id`

async function selectPastTests(client: Queryable, bodyIds: readonly string[], after: Date, now: Date) {
  const until = new Date(+now + AHEAD_MS)
  const { rows } = await client.query<Placed<PastTest>>(SELECT_PAST_TESTS, [bodyIds, after, until])
  return byPlace<PastTest>(bodyIds.length, rows)
}

const SELECT_FEED_WORK = `
SELECT b.place, w.kind, ${MS('w.at')} AS "atMs", coalesce(w.feeder_id::text, '') AS "feederId"
FROM ${PLACES}
JOIN work w ON w.body_id = b.id AND w.replaced_at IS NULL AND w.done AND w.at > $2 AND w.at <= $3 AND w.kind = ANY ($4)
ORDER BY b.place, w.at, w.id`

async function selectFeedWork(client: Queryable, bodyIds: readonly string[], after: Date, now: Date) {
  const until = new Date(+now + AHEAD_MS)
  const { rows } = await client.query<Placed<FeedWork>>(SELECT_FEED_WORK, [bodyIds, after, until, FEED_WORK_KINDS])
  return byPlace<FeedWork>(bodyIds.length, rows)
}

import { QUANTITIES, type Quantity } from '@sightglass/chemistry'
import type { Queryable } from '../../platform/database.ts'
import { columnOf } from '../../platform/sql.ts'

export interface BodyInUse {
  id: string
  name: string
  /** The body or its facility. */
  retired: boolean
  /** Quantities that an active channel carries. */
  quantities: Quantity[]
}

/** Bodies with what they hear from controllers in use. */
export const selectBodiesInUse = async (client: Queryable, bodyIds: readonly string[]) =>
  (
    await client.query<BodyInUse>(
      `SELECT b.id, b.name, b.retired_at IS NOT NULL OR f.retired_at IS NOT NULL AS retired,
        coalesce((SELECT array_agg(c.quantity) FROM channel c WHERE c.body_id = b.id AND c.retired_at IS NULL), '{}') AS quantities
      FROM body b JOIN facility f ON f.id = b.facility_id WHERE b.id = ANY ($1)`,
      [bodyIds],
    )
  ).rows

/** Inputs that speak of one body follow each other: the hours of both must be seen by the second. 1,024 keys for all
 *  bodies keep the lock table small; they are taken in one order, so that nobody waits in a circle. */
export const lockBodies = (client: Queryable, bodyIds: readonly string[]) =>
  client.query(
    `SELECT pg_advisory_xact_lock(hashtext('sample'), key)
    FROM (SELECT DISTINCT hashtext(id) & 1023 AS key FROM unnest($1::text[]) AS b (id) ORDER BY key) keys`,
    [bodyIds],
  )

export const setLocal = (client: Queryable, name: string, value: string) =>
  client.query('SELECT set_config($1, $2, true)', [name, value])

/** Run outside the transaction that needs the partitions. @param months any time in each month */
export const ensurePartitions = (client: Queryable, months: readonly Date[]) =>
  client.query('SELECT ensure_sample_partitions(at, at) FROM unnest($1::timestamptz[]) AS m (at)', [months])

/** A body's time from … to, both included. */
export interface Span {
  bodyId: string
  fromMs: number
  toMs: number
}

const spanColumns = (spans: readonly Span[]) => [
  spans.map(({ bodyId }) => bodyId),
  spans.map(({ fromMs }) => new Date(fromMs)),
  spans.map(({ toMs }) => new Date(toMs)),
]
const SPANS = 'unnest($1::uuid[], $2::timestamptz[], $3::timestamptz[]) AS span (body_id, from_at, to_at)'

// Statements with a name are planned once for a connection: with many months, planning costs more than looking.

/** Whether anything is stored in these spans. The order by key keeps the planner from reading a month to find nothing. */
export async function isOccupied(client: Queryable, table: string, spans: readonly Span[]): Promise<boolean> {
  const { rows } = await client.query<{ occupied: boolean }>({
    name: `occupied ${table}`,
    text: `SELECT EXISTS (SELECT FROM ${SPANS} CROSS JOIN LATERAL (
      SELECT FROM ${table} s WHERE s.body_id = span.body_id AND s.at BETWEEN span.from_at AND span.to_at
      ORDER BY s.body_id, s.at LIMIT 1
    ) there) AS occupied`,
    values: spanColumns(spans),
  })
  return rows[0]?.occupied ?? false
}

/** What the check writes to instead of `sample`; of the session, empty at the end of each transaction. */
export const CHECKED = 'sample_checked'
export const createChecked = (client: Queryable) =>
  client.query(`CREATE TEMPORARY TABLE IF NOT EXISTS ${CHECKED} (LIKE sample INCLUDING INDEXES) ON COMMIT DELETE ROWS`)

/** Where rows wait that meet others; of the session, empty at the end of each transaction. */
export const STAGED = 'sample_staged'
export async function createStaged(client: Queryable) {
  await client.query(`CREATE TEMPORARY TABLE IF NOT EXISTS ${STAGED} (LIKE sample) ON COMMIT DELETE ROWS`)
  await client.query(`TRUNCATE ${STAGED}`)
}

/** Brings what is stored beside the staged rows into the table of the check. */
export const bringStored = (client: Queryable) =>
  client.query(`INSERT INTO ${CHECKED}
    SELECT o.* FROM ${STAGED} n CROSS JOIN LATERAL (
      SELECT * FROM sample o WHERE o.body_id = n.body_id AND o.at = n.at OFFSET 0
    ) o ON CONFLICT DO NOTHING`)

export interface MergedBody {
  bodyId: string
  stored: number
  same: number
  differing: number
  /** Hours since 1970 in which something was stored. */
  hours: number[]
}

const CHANNELS = QUANTITIES.map(columnOf)
const anyChannel = (rule: (column: string) => string) => CHANNELS.map(rule).join(' OR ')

// OFFSET 0 keeps the planner at one look-up by key for each row, however large `sample` has grown
const merge = (table: string) => `
WITH compared AS MATERIALIZED (
  SELECT n.*,
    CASE WHEN o.body_id IS NULL THEN true ELSE ${anyChannel((c) => `(n.${c} IS NOT NULL AND o.${c} IS NULL)`)} END AS brings,
    coalesce(${anyChannel((c) => `coalesce(n.${c} <> o.${c}, false)`)}, false) AS differs
  FROM ${STAGED} n LEFT JOIN LATERAL (
    SELECT * FROM ${table} o WHERE o.body_id = n.body_id AND o.at = n.at OFFSET 0
  ) o ON true
), stored AS (
  INSERT INTO ${table} AS s (body_id, at, ${CHANNELS.join(', ')})
  SELECT body_id, at, ${CHANNELS.join(', ')} FROM compared WHERE brings
  ON CONFLICT (body_id, at) DO UPDATE SET ${CHANNELS.map((c) => `${c} = coalesce(s.${c}, excluded.${c})`).join(', ')}
)
SELECT body_id AS "bodyId",
  count(*) FILTER (WHERE brings) AS stored,
  count(*) FILTER (WHERE NOT brings AND NOT differs) AS same,
  count(*) FILTER (WHERE differs) AS differing,
  coalesce(array_agg(DISTINCT floor(date_part('epoch', at) / 3600)::int) FILTER (WHERE brings), '{}') AS hours
FROM compared GROUP BY body_id`

/** Merges the staged rows: what is stored stays, empty channels are filled. */
export const mergeStaged = async (client: Queryable, table: string) =>
  (await client.query<MergedBody>({ name: `merge ${table}`, text: merge(table) })).rows

const SPREADS = (['ph', 'orpMv', 'freeChlorineMgL', 'tempC', 'flowLMin'] as const).map(columnOf)
// rows come in order of time already, so that this order costs nothing from PostgreSQL 16 on
const last = (c: string) => `array_agg(${c} ORDER BY at) FILTER (WHERE ${c} IS NOT NULL)`
const lastOf = (list: string) => `${list}[cardinality(${list})]`

const SET_POINTS = ['ph_set_point', 'orp_set_point_mv']

/** What an hour is made of; every minute is one that a sample covers. */
const HOUR: Record<string, string> = {
  samples: 'count(*)',
  covered_min: 'sum(minutes)',
  ...Object.fromEntries(
    SPREADS.flatMap((c) => [
      [`${c}_min`, `min(${c})`],
      [`${c}_mean`, `sum(${c} * minutes) / sum(minutes) FILTER (WHERE ${c} IS NOT NULL)`],
      [`${c}_max`, `max(${c})`],
    ]),
  ),
  ...Object.fromEntries(SET_POINTS.map((c) => [c, last(c)])),
  sanitizer_feed_min: 'sum(sanitizer_feed_pct * minutes) / 100',
  backup_feed_min: 'sum(backup_feed_pct * minutes) / 100',
  ph_feed_min: 'sum(ph_feed_pct * minutes) / 100',
  no_flow_min: 'sum(CASE WHEN flow_on THEN 0 WHEN NOT flow_on THEN minutes END)',
  feed_without_flow_min: `sum(CASE WHEN any_feed_pct IS NULL THEN NULL WHEN flow_on THEN 0
      WHEN NOT flow_on THEN any_feed_pct * minutes / 100 END)`,
  // two feeds that take turns never fill more than the whole time: what is over it must have been at once
  both_feeds_min: `sum(CASE WHEN ph_feed_pct IS NOT NULL AND sanitizers_pct IS NOT NULL
      THEN greatest(ph_feed_pct + sanitizers_pct - 100, 0) * minutes / 100 END)`,
  sanitizer_samples: 'sum((sanitizers_pct > 0)::int)',
  ph_samples: 'sum((ph_feed_pct > 0)::int)',
  both_samples: `sum(CASE WHEN ph_feed_pct IS NOT NULL AND sanitizers_pct IS NOT NULL
      THEN (ph_feed_pct > 0 AND sanitizers_pct > 0)::int END)`,
}
const HOUR_COLUMNS = Object.keys(HOUR)

// greatest() leaves nulls out, least() too: unknown is kept unknown by CASE
const ROLL_UP = `
WITH piece AS (
  SELECT s.*, date_bin('1 hour', s.at, '2000-01-01Z') AS hour
  FROM ${SPANS} CROSS JOIN LATERAL (
    SELECT * FROM sample s WHERE s.body_id = span.body_id AND s.at BETWEEN span.from_at AND span.to_at OFFSET 0
  ) s
), timed AS (
  SELECT *, least(15, date_part('epoch', lead(at, 1, hour + interval '1 hour') OVER in_hour - at) / 60) AS minutes,
    greatest(sanitizer_feed_pct, backup_feed_pct) AS sanitizers_pct,
    greatest(sanitizer_feed_pct, backup_feed_pct, ph_feed_pct) AS any_feed_pct
  FROM piece WINDOW in_hour AS (PARTITION BY body_id, hour ORDER BY at)
)
INSERT INTO sample_hour (body_id, hour, ${HOUR_COLUMNS.join(', ')})
SELECT body_id, hour, ${HOUR_COLUMNS.map((c) => (SET_POINTS.includes(c) ? lastOf(c) : c)).join(', ')}
FROM (
  SELECT body_id, hour, ${Object.entries(HOUR)
    .map(([column, expression]) => `${expression} AS ${column}`)
    .join(',\n    ')}
  FROM timed GROUP BY body_id, hour
) rolled
ON CONFLICT (body_id, hour) DO UPDATE SET ${HOUR_COLUMNS.map((c) => `${c} = excluded.${c}`).join(', ')}`

/** Rolls the hours of these spans up anew from all their samples. A span begins and ends with whole hours. */
export const rollUp = (client: Queryable, spans: readonly Span[]) =>
  client.query({ name: 'roll up', text: ROLL_UP, values: spanColumns(spans) })

import type { FeedDay, FindingKind, RedoxJudgement, SetPointChange } from '@sightglass/chemistry'
import type { Queryable } from '../../platform/database.ts'
import { AHEAD_MS, MS } from './queries.ts'

const DAYS = 90

interface DayRow {
  fromMs: number
  heardMin: number
  primary: number | null
  backup: number | null
  ph: number | null
}

// days of the facility's clock from the first that was heard, those without an hour too
const SELECT_FEED_DAYS = `
SELECT ${MS('g.day AT TIME ZONE f.time_zone')} AS "fromMs", coalesce(sum(h.covered_min), 0)::float8 AS "heardMin",
  sum(h.sanitizer_feed_min)::float8 AS "primary", sum(h.backup_feed_min)::float8 AS backup, sum(h.ph_feed_min)::float8 AS ph
FROM body b
JOIN facility f ON f.id = b.facility_id
CROSS JOIN LATERAL (
  SELECT date_trunc('day', $2::timestamptz AT TIME ZONE f.time_zone) AS today,
    (SELECT min(hour) FROM sample_hour
      WHERE body_id = b.id AND hour > $2::timestamptz - interval '${DAYS} days' AND hour <= $2) AS first
) t
CROSS JOIN LATERAL generate_series(
  greatest(date_trunc('day', t.first AT TIME ZONE f.time_zone), t.today - interval '${DAYS - 1} days'), t.today, '1 day'
) AS g (day)
LEFT JOIN sample_hour h ON h.body_id = b.id AND h.hour <= $2
  AND h.hour >= g.day AT TIME ZONE f.time_zone AND h.hour < (g.day + interval '1 day') AT TIME ZONE f.time_zone
WHERE b.id = $1 AND t.first IS NOT NULL GROUP BY g.day, f.time_zone ORDER BY g.day`

/** Minutes of feed by day of the facility's clock, 90 at most, from the hourly roll-up. */
export async function selectFeedDays(client: Queryable, bodyId: string, now: Date): Promise<FeedDay[]> {
  const { rows } = await client.query<DayRow>(SELECT_FEED_DAYS, [bodyId, now])
  return rows.map(({ fromMs, heardMin, primary, backup, ph }) => ({
    fromMs,
    heardMin,
    feedMin: { primary, backup, ph },
  }))
}

const SELECT_LOGGED = `
SELECT ${MS('at')} AS "atMs", orp_set_point_mv AS "orpMv" FROM work
WHERE body_id = $1 AND kind = 'orpSetPointMoved' AND replaced_at IS NULL AND done
  AND at > $2::timestamptz - interval '${DAYS} days' AND at <= $3
ORDER BY at, id`

/** Moves of the ORP set point that somebody logged, whatever the controller reports. */
export const selectLoggedSetPoints = async (client: Queryable, bodyId: string, now: Date): Promise<SetPointChange[]> =>
  (await client.query<SetPointChange>(SELECT_LOGGED, [bodyId, now, new Date(+now + AHEAD_MS)])).rows

/** The kinds of what is found of a body now. */
export async function selectOpenKinds(client: Queryable, bodyId: string): Promise<FindingKind[]> {
  const { rows } = await client.query<{ kind: FindingKind }>(
    'SELECT DISTINCT kind FROM finding WHERE body_id = $1 AND closed_at IS NULL ORDER BY kind',
    [bodyId],
  )
  return rows.map(({ kind }) => kind)
}

/** What ORP meant when these bodies were last judged; none where it never was. */
export async function selectJudgedRedox(client: Queryable, bodyIds: readonly string[]) {
  const { rows } = await client.query<{ bodyId: string; judgement: RedoxJudgement }>(
    'SELECT body_id AS "bodyId", judgement FROM redox WHERE body_id = ANY ($1)',
    [bodyIds],
  )
  return new Map(rows.map(({ bodyId, judgement }) => [bodyId, judgement]))
}

import {
  type BodyFacts,
  type FeederFacts,
  FINDING_KINDS,
  type Finding,
  type FindingKind,
  type IncidentFacts,
  isOfEquipment,
  type LatestSample,
  type Measured,
  type OutOfUse,
  PARAMETERS,
  type Parameter,
  QUANTITIES,
  type Quantity,
  type ScorePart,
  type Severity,
} from '@sightglass/chemistry'
import type { TriageView } from '@sightglass/contract'
import type { Queryable } from '../../platform/database.ts'
import { columnOf } from '../../platform/sql.ts'

export interface BodyRow extends BodyFacts {
  id: string
  profileKey: string
  /** A controller is fitted: a channel is in use, or samples came although no channel was ever entered. */
  fitted: boolean
  channels: Quantity[]
  outOfUse: OutOfUse | null
}

// date_part is float8; extract would be numeric, and slow over many rows
export const MS = (expression: string) => `round(date_part('epoch', ${expression}) * 1000)`

const SELECT_BODIES = `
SELECT b.id, b.use_class AS "useClass", b.setting, b.sanitizer_system AS "sanitizerSystem",
  b.cyanuric_acid_used AS "cyanuricAcidUsed", b.volume_l AS "volumeL", b.flow_l_min AS "flowLMin",
  f.profile_key AS "profileKey",
  CASE WHEN c.body_id IS NULL THEN EXISTS (SELECT FROM sample_hour h WHERE h.body_id = b.id) ELSE cardinality(c.channels) > 0 END AS fitted,
  coalesce(c.channels, '{}') AS channels, u.period AS "outOfUse"
FROM body b
JOIN facility f ON f.id = b.facility_id
LEFT JOIN (
  SELECT body_id, coalesce(array_agg(quantity) FILTER (WHERE retired_at IS NULL), '{}') AS channels
  FROM channel WHERE body_id = ANY ($1) GROUP BY body_id
) c ON c.body_id = b.id
LEFT JOIN LATERAL (
  SELECT json_build_object('fromMs', ${MS('from_at')}, 'toMs', ${MS('to_at')}, 'reason', reason) AS period
  FROM out_of_use WHERE body_id = b.id AND coalesce(to_at, 'infinity') > greatest(from_at, $2) ORDER BY from_at LIMIT 1
) u ON true
WHERE b.id = ANY ($1) AND b.retired_at IS NULL AND f.retired_at IS NULL`

export const selectBodies = async (client: Queryable, bodyIds: readonly string[], now: Date) =>
  (await client.query<BodyRow>(SELECT_BODIES, [bodyIds, now])).rows

/** The code profile that judges each of these bodies, retired ones too. */
export async function selectProfileKeys(client: Queryable, bodyIds: readonly string[]): Promise<Map<string, string>> {
  const { rows } = await client.query<{ id: string; profileKey: string }>(
    'SELECT b.id, f.profile_key AS "profileKey" FROM body b JOIN facility f ON f.id = b.facility_id WHERE b.id = ANY ($1)',
    [bodyIds],
  )
  return new Map(rows.map(({ id, profileKey }) => [id, profileKey]))
}

export interface TestRow {
  bodyId: string
  parameter: Parameter
  value: number
  atMs: number
}

// one index look-up for each body and parameter, however long the history is
const SELECT_TESTS = `
SELECT b.id AS "bodyId", t.parameter, t.value, ${MS('t.at')} AS "atMs"
FROM unnest($1::uuid[]) AS b (id)
CROSS JOIN LATERAL (
  ${PARAMETERS.map(
    (parameter) => `(SELECT '${parameter}' AS parameter, ${columnOf(parameter)} AS value, at FROM reading
    WHERE body_id = b.id AND replaced_at IS NULL AND ${columnOf(parameter)} IS NOT NULL AND at <= $2
    ORDER BY at DESC LIMIT 1)`,
  ).join('\n  UNION ALL\n  ')}
) t`

export const selectTests = async (client: Queryable, bodyIds: readonly string[], now: Date) =>
  (await client.query<TestRow>(SELECT_TESTS, [bodyIds, new Date(+now + AHEAD_MS)])).rows

/** What people entered may lie this much ahead of the server's clock. */
export const AHEAD_MS = 10 * 60_000

export interface CombinedRow {
  bodyId: string
  values: Measured[]
}

// one vial is one row: the difference of two tests is no combined chlorine
const SELECT_COMBINED = `
SELECT b.id AS "bodyId", c.values
FROM unnest($1::uuid[]) AS b (id)
CROSS JOIN LATERAL (
  SELECT json_agg(json_build_object('value', greatest(0, total_chlorine_mg_l - free_chlorine_mg_l), 'atMs', ${MS('at')})
    ORDER BY at, id) AS values
  FROM reading
  WHERE body_id = b.id AND replaced_at IS NULL AND total_chlorine_mg_l IS NOT NULL AND free_chlorine_mg_l IS NOT NULL
    AND at > $2::timestamptz - interval '72 hours' AND at <= $2
) c
WHERE c.values IS NOT NULL`

/** Combined chlorine of the last three days, for limits that count only once they have been passed for long. */
export const selectCombined = async (client: Queryable, bodyIds: readonly string[], now: Date) =>
  (await client.query<CombinedRow>(SELECT_COMBINED, [bodyIds, new Date(+now + AHEAD_MS)])).rows

export type LatestRow = LatestSample & { bodyId: string }

// The hourly roll-up knows the newest hour, so that only that month's partition is opened. Channels may report in turn:
// each value counts for 15 minutes, as in the roll-up.
const SELECT_LATEST = `
SELECT b.id AS "bodyId", ${MS('coalesce(last.at, newest.hour)')} AS "atMs",
  ${QUANTITIES.map((key) => `v.${columnOf(key)} AS "${key}"`).join(', ')}
FROM unnest($1::uuid[]) AS b (id)
CROSS JOIN LATERAL (SELECT hour FROM sample_hour WHERE body_id = b.id ORDER BY hour DESC LIMIT 1) newest
LEFT JOIN LATERAL (
  SELECT at FROM sample
  WHERE body_id = b.id AND at >= newest.hour AND at < newest.hour + interval '1 hour' ORDER BY at DESC LIMIT 1
) last ON true
LEFT JOIN LATERAL (
  SELECT ${QUANTITIES.map((key) => `(array_agg(${columnOf(key)} ORDER BY at DESC) FILTER (WHERE ${columnOf(key)} IS NOT NULL))[1] AS ${columnOf(key)}`).join(',\n    ')}
  FROM sample WHERE body_id = b.id AND at > last.at - interval '15 minutes' AND at <= last.at
) v ON true`

export const selectLatest = async (client: Queryable, bodyIds: readonly string[]) =>
  (await client.query<LatestRow>(SELECT_LATEST, [bodyIds])).rows

const SPREADS = ['ph', 'orpMv', 'freeChlorineMgL', 'tempC', 'flowLMin'] as const
const HOURLY = [
  'phSetPoint',
  'orpSetPointMv',
  'sanitizerFeedMin',
  'backupFeedMin',
  'phFeedMin',
  'noFlowMin',
  'feedWithoutFlowMin',
  'bothFeedsMin',
] as const
/** One hour as it comes from the database: body, hour, samples, covered minutes, three values for each spread, the rest. */
export type HourRow = [bodyId: string, hourMs: number, samples: number, coveredMin: number, ...(number | null)[]]
export const HOUR_LAYOUT = { spreads: SPREADS, spreadsFrom: 4, single: HOURLY, singleFrom: 4 + 3 * SPREADS.length }

const SELECT_HOURS = `
SELECT body_id, ${MS('hour')}, samples, covered_min::float8,
  ${SPREADS.flatMap((key) => ['min', 'mean', 'max'].map((part) => `${columnOf(key)}_${part}`)).join(', ')},
  ${HOURLY.map(columnOf).join(', ')}
FROM sample_hour WHERE body_id = ANY ($1) AND hour > $2::timestamptz - interval '24 hours' AND hour <= $2
ORDER BY body_id, hour`

/** Rows as arrays: this is the largest answer of an assessment. */
export async function selectHours(client: Queryable, bodyIds: readonly string[], now: Date): Promise<HourRow[]> {
  const answer = await client.query<HourRow>({ text: SELECT_HOURS, values: [bodyIds, now], rowMode: 'array' })
  return answer.rows
}

export type FeederRow = FeederFacts & { bodyId: string }

const SELECT_FEEDERS = `
SELECT f.body_id AS "bodyId", f.id, f.name, f.role, f.kind, f.rate_l_h AS "rateLH",
  CASE WHEN num_nulls(f.on_time_min, f.wait_min, f.band) = 0
    THEN json_build_object('onTimeMin', f.on_time_min, 'waitMin', f.wait_min, 'band', f.band) END AS settings,
  CASE WHEN d.id IS NOT NULL THEN json_build_object('id', d.id, 'name', d.name, 'content', d.content,
    'capacityL', d.capacity_l, 'strengthPct', d.strength_pct, 'levels', coalesce(l.levels, '[]'), 'sharedElsewhere', EXISTS (
      SELECT FROM feeder o WHERE o.drum_id = d.id AND o.body_id <> f.body_id AND o.retired_at IS NULL
    )) END AS drum
FROM feeder f
LEFT JOIN drum d ON d.id = f.drum_id AND d.retired_at IS NULL
LEFT JOIN LATERAL (
  SELECT json_agg(json_build_object('atMs', ${MS('at')}, 'levelL', level_l, 'deliveredL', delivered_l) ORDER BY at, id) AS levels
  FROM drum_level WHERE drum_id = d.id AND at > $2::timestamptz - interval '30 days'
) l ON true
WHERE f.body_id = ANY ($1) AND f.retired_at IS NULL
ORDER BY f.body_id, f.role, f.id`

export const selectFeeders = async (client: Queryable, bodyIds: readonly string[], now: Date) =>
  (await client.query<FeederRow>(SELECT_FEEDERS, [bodyIds, now])).rows

export type IncidentRow = IncidentFacts & { bodyId: string }

// what is closed no longer bears on a judgement
const SELECT_INCIDENTS = `
SELECT i.body_id AS "bodyId", i.id, v.kind, ${MS('v.happened_at')} AS "atMs",
  CASE WHEN v.instructed_by IS NOT NULL THEN json_build_object('freeChlorineMgL', v.instructed_free_chlorine_mg_l,
    'holdMin', v.instructed_hold_min, 'phMax', v.instructed_ph_max, 'by', v.instructed_by) END AS instruction,
  coalesce(r.readings, '[]') AS readings
FROM incident i
JOIN incident_version v ON v.body_id = i.body_id AND v.incident_id = i.id AND v.replaced_at IS NULL
LEFT JOIN LATERAL (
  SELECT json_agg(json_build_object('atMs', ${MS('at')}, 'freeChlorineMgL', free_chlorine_mg_l, 'ph', ph, 'tempC', temp_c)
    ORDER BY at, id) AS readings
  FROM reading
  WHERE body_id = i.body_id AND replaced_at IS NULL AND free_chlorine_mg_l IS NOT NULL AND at >= v.happened_at AND at <= $2
) r ON true
WHERE i.body_id = ANY ($1) AND i.closed_at IS NULL AND v.happened_at <= $2
ORDER BY i.body_id, v.happened_at, i.id`

export const selectIncidents = async (client: Queryable, bodyIds: readonly string[], now: Date) =>
  (await client.query<IncidentRow>(SELECT_INCIDENTS, [bodyIds, new Date(+now + AHEAD_MS)])).rows

/** A step of the trace, minutes: 42 of them are seven days. */
export const TRACE_STEP_MIN = 240
export const TRACE_STEPS = 42

export interface TraceRow {
  bodyId: string
  steps: [step: number, ph: number | null, orpMv: number | null][]
}

/** A mean over the hours of a step, by the minutes that were heard; null where nothing was. */
const weighted = (key: string, scale: number) =>
  `round(sum(${key} * covered_min) / nullif(sum(covered_min) FILTER (WHERE ${key} IS NOT NULL), 0) * ${scale}) / ${scale}`

const SELECT_TRACES = `
SELECT body_id AS "bodyId",
  json_agg(json_build_array(date_part('epoch', at - $2::timestamptz) / ${60 * TRACE_STEP_MIN}, ph, orp_mv)) AS steps
FROM (
  SELECT body_id, date_bin('${TRACE_STEP_MIN} minutes', hour, $2::timestamptz) AS at,
    ${weighted('ph_mean', 100)} AS ph, ${weighted('orp_mv_mean', 1)} AS orp_mv
  FROM sample_hour
  WHERE body_id = ANY ($1) AND hour >= $2 AND hour < $2::timestamptz + interval '${TRACE_STEPS * TRACE_STEP_MIN} minutes'
  GROUP BY 1, 2
) s GROUP BY body_id`

export const selectTraces = async (client: Queryable, bodyIds: readonly string[], startAt: Date) =>
  (await client.query<TraceRow>(SELECT_TRACES, [bodyIds, startAt])).rows

/** Locks the standings of these bodies, so that two assessments of one body follow each other. In one order: no deadlock. */
export const lockStandings = async (client: Queryable, bodyIds: readonly string[]) =>
  bodyIdsOf(
    await client.query<{ id: string }>(
      'SELECT body_id AS id FROM standing WHERE body_id = ANY ($1) ORDER BY body_id FOR UPDATE',
      [bodyIds],
    ),
  )

/** Locks the standings that are due and that nobody else is assessing. */
export const lockDueStandings = async (client: Queryable, now: Date, limit: number) =>
  bodyIdsOf(
    await client.query<{ id: string }>(
      'SELECT body_id AS id FROM standing WHERE due_at <= $1 ORDER BY due_at LIMIT $2 FOR UPDATE SKIP LOCKED',
      [now, limit],
    ),
  )

const bodyIdsOf = ({ rows }: { rows: { id: string }[] }) => rows.map(({ id }) => id)

/** A body that was never assessed is unheard, not fine. */
const MARK_DUE = `
INSERT INTO standing (body_id, severity, severity_rank, due_at)
SELECT id, 'unheard', $3, $2 FROM body WHERE id = ANY ($1) ORDER BY id
ON CONFLICT (body_id) DO UPDATE SET due_at = excluded.due_at`

export const markStandings = (client: Queryable, bodyIds: readonly string[], at: Date, unheardRank: number) =>
  client.query(MARK_DUE, [bodyIds, at, unheardRank])

export interface OpenFinding {
  bodyId: string
  id: string
  kind: FindingKind
  subject: string
}

export const selectOpenFindings = async (client: Queryable, bodyIds: readonly string[]) =>
  (
    await client.query<OpenFinding>(
      'SELECT body_id AS "bodyId", id, kind, subject FROM finding WHERE body_id = ANY ($1) AND closed_at IS NULL',
      [bodyIds],
    )
  ).rows

const EQUIPMENT_KINDS = (Object.keys(FINDING_KINDS) as FindingKind[]).filter(isOfEquipment)

/** What is open of feeders, flow, drums and probes. */
export const selectEquipment = async (client: Queryable, bodyIds: readonly string[]) =>
  (
    await client.query<{ bodyId: string; found: Finding }>(
      `SELECT body_id AS "bodyId", found FROM finding
      WHERE body_id = ANY ($1) AND closed_at IS NULL AND kind = ANY ($2) ORDER BY id`,
      [bodyIds, EQUIPMENT_KINDS],
    )
  ).rows

export interface FindingWrite {
  body_id: string
  id: string
  found: Finding
}

export const insertFindings = (client: Queryable, findings: readonly FindingWrite[], now: Date) =>
  client.query(
    `INSERT INTO finding (body_id, id, kind, subject, severity, found, opened_at, seen_at)
    SELECT body_id, id, found ->> 'kind', found ->> 'subject', found ->> 'severity', found, $2, $2
    FROM jsonb_to_recordset($1::jsonb) AS f (body_id uuid, id uuid, found jsonb)`,
    [JSON.stringify(findings), now],
  )

export const updateFindings = (client: Queryable, findings: readonly FindingWrite[], now: Date) =>
  client.query(
    `UPDATE finding SET severity = f.found ->> 'severity', found = f.found, seen_at = $2
    FROM jsonb_to_recordset($1::jsonb) AS f (body_id uuid, id uuid, found jsonb)
    WHERE finding.body_id = f.body_id AND finding.id = f.id`,
    [JSON.stringify(findings), now],
  )

export const closeFindings = (client: Queryable, findings: readonly { bodyId: string; id: string }[], now: Date) =>
  client.query(
    `UPDATE finding SET closed_at = $3 FROM unnest($1::uuid[], $2::uuid[]) AS f (body_id, id)
    WHERE finding.body_id = f.body_id AND finding.id = f.id`,
    [findings.map(({ bodyId }) => bodyId), findings.map(({ id }) => id), now],
  )

export interface StandingWrite {
  body_id: string
  severity: Severity
  severity_rank: number
  score: number | null
  parts: ScorePart[]
  kinds: FindingKind[]
  days_left: number | null
  heard_at: Date | null
  view: TriageView | null
  due_at: Date | null
}

const UPDATE_STANDINGS = `
UPDATE standing SET severity = s.severity, severity_rank = s.severity_rank, score = s.score, parts = s.parts,
  kinds = s.kinds, days_left = s.days_left, heard_at = s.heard_at, view = s.view, assessed_at = $2, due_at = s.due_at
FROM jsonb_to_recordset($1::jsonb) AS s (body_id uuid, severity text, severity_rank smallint, score real, parts jsonb,
  kinds text[], days_left real, heard_at timestamptz, view jsonb, due_at timestamptz)
WHERE standing.body_id = s.body_id`

export const updateStandings = (client: Queryable, standings: readonly StandingWrite[], now: Date) =>
  client.query(UPDATE_STANDINGS, [JSON.stringify(standings), now])

/** Retired bodies are not assessed any more; they keep the standing that they had last. */
export const forgetStandings = (client: Queryable, bodyIds: readonly string[]) =>
  client.query('UPDATE standing SET due_at = NULL WHERE body_id = ANY ($1)', [bodyIds])

export interface FindingRow {
  id: string
  found: Finding
  openedAt: Date
  seenAt: Date
  closedAt: Date | null
}

const FINDING_COLUMNS = 'id, found, opened_at AS "openedAt", seen_at AS "seenAt", closed_at AS "closedAt"'

/** A page of a body's findings, newest first. */
export const selectFindings = async (client: Queryable, bodyId: string, page: { limit: number; offset: number }) =>
  (
    await client.query<FindingRow>(
      `SELECT ${FINDING_COLUMNS} FROM finding WHERE body_id = $1 ORDER BY opened_at DESC, id DESC LIMIT $2 OFFSET $3`,
      [bodyId, page.limit, page.offset],
    )
  ).rows

export async function countFindings(client: Queryable, bodyId: string) {
  const { rows } = await client.query<{ there: boolean; total: number }>(
    `SELECT EXISTS (SELECT FROM body WHERE id = $1) AS there,
      (SELECT count(*) FROM finding WHERE body_id = $1) AS total`,
    [bodyId],
  )
  return rows[0] ?? { there: false, total: 0 }
}

/** All open findings of a body, worst first, and the newest closed ones. */
export const selectLastFindings = async (client: Queryable, bodyId: string, closed: number) =>
  (
    await client.query<FindingRow>(
      `(SELECT ${FINDING_COLUMNS} FROM finding WHERE body_id = $1 AND closed_at IS NULL)
      UNION ALL
      (SELECT ${FINDING_COLUMNS} FROM finding WHERE body_id = $1 AND closed_at IS NOT NULL
        ORDER BY closed_at DESC, id DESC LIMIT $2)`,
      [bodyId, closed],
    )
  ).rows

import { SEVERITIES } from '@sightglass/chemistry'
import type { triageQuery } from '@sightglass/contract'
import type { z } from 'zod'
import type { Queryable } from '../../platform/database.ts'

export type TriageFilter = Omit<z.output<typeof triageQuery>, 'q'> & { pattern: string | null; at: Date }

/** What nobody uses needs nobody, whatever it was last heard or scored. */
const OUT_LAST = "severity = 'outOfUse'"

const ORDERS: Record<TriageFilter['sort'], string> = {
  worst: 'severity_rank, score NULLS FIRST, facility_key, body_key',
  facility: 'facility_key, body_key',
  score: `${OUT_LAST}, score NULLS FIRST, severity_rank, facility_key, body_key`,
  daysLeft: `${OUT_LAST}, days_left NULLS LAST, severity_rank, facility_key, body_key`,
  heard: `${OUT_LAST}, heard_at NULLS FIRST, severity_rank, facility_key, body_key`,
}

/** One number for rank and score, the most needed lowest; no score comes first, as in the order `worst`. */
const NEED = 'severity_rank * 1000 + coalesce(score, -1)'

/** The bodies that fit, in the order asked for; on request facility by facility, the one with the worst body first. */
const ordered = ({ sort, byFacility }: Pick<TriageFilter, 'sort' | 'byFacility'>) =>
  byFacility
    ? `SELECT body_id FROM fitting
    JOIN (SELECT facility_id, min(${NEED}) AS need FROM fitting GROUP BY facility_id) f USING (facility_id)
    ORDER BY need, facility_key, facility_id, ${ORDERS[sort]}, body_id`
    : `SELECT body_id FROM fitting ORDER BY ${ORDERS[sort]}, body_id`

/** The whole answer as JSON text, made by one query from what is already assessed. */
export async function selectTriage(client: Queryable, filter: TriageFilter): Promise<string> {
  const { rows } = await client.query<{ answer: string }>(triageSql(filter), triageValues(filter))
  return rows[0]?.answer ?? ''
}

export const triageValues = (f: TriageFilter) => [
  f.facilityId ?? null,
  f.pattern,
  f.severity ?? null,
  f.kind ?? null,
  f.area ?? null,
  f.sanitizerSystem ?? null,
  f.limit,
  f.offset,
  f.at,
]

export const triageSql = (filter: Pick<TriageFilter, 'sort' | 'byFacility'>) => `
WITH listed AS MATERIALIZED (
  SELECT s.body_id, s.severity, s.severity_rank, s.score, s.kinds, s.days_left, s.heard_at, b.facility_id, f.area,
    b.sanitizer_system, lower(f.name) AS facility_key, lower(b.name) AS body_key,
    ($3::text[] IS NULL OR s.severity = ANY ($3)) AS severity_fits,
    ($4::text[] IS NULL OR s.kinds && $4) AS kind_fits,
    ($5::text[] IS NULL OR f.area = ANY ($5)) AS area_fits,
    ($6::text[] IS NULL OR b.sanitizer_system = ANY ($6)) AS system_fits
  FROM standing s
  JOIN body b ON b.id = s.body_id AND b.retired_at IS NULL
  JOIN facility f ON f.id = b.facility_id AND f.retired_at IS NULL
  WHERE ($1::uuid IS NULL OR b.facility_id = $1)
    AND ($2::text IS NULL OR f.name ILIKE $2 OR b.name ILIKE $2 OR f.area ILIKE $2)
), tally AS MATERIALIZED (
  SELECT severity, kinds, area, sanitizer_system, severity_fits, kind_fits, area_fits, system_fits, count(*) AS bodies
  FROM listed GROUP BY 1, 2, 3, 4, 5, 6, 7, 8
), fitting AS (
  SELECT * FROM listed WHERE severity_fits AND kind_fits AND area_fits AND system_fits
), page AS (
  SELECT body_id, row_number() OVER () AS place FROM (${ordered(filter)} LIMIT $7 OFFSET $8) o
)
SELECT json_build_object(
  'rows', coalesce((
    SELECT json_agg(json_build_object(
      'bodyId', b.id, 'bodyName', b.name, 'facilityId', f.id, 'facilityName', f.name, 'area', f.area,
      'timeZone', f.time_zone, 'useClass', b.use_class, 'setting', b.setting, 'sanitizerSystem', b.sanitizer_system,
      'severity', s.severity, 'score', s.score, 'kinds', s.kinds, 'daysLeft', s.days_left, 'heardAt', s.heard_at,
      'assessedAt', s.assessed_at, 'view', s.view) ORDER BY p.place)
    FROM page p JOIN standing s USING (body_id) JOIN body b ON b.id = p.body_id JOIN facility f ON f.id = b.facility_id
  ), '[]'),
  'total', (
    SELECT coalesce(sum(bodies), 0) FROM tally WHERE severity_fits AND kind_fits AND area_fits AND system_fits),
  'counts', (
    SELECT json_object_agg(word, (
      SELECT coalesce(sum(bodies), 0) FROM tally WHERE severity = word AND kind_fits AND area_fits AND system_fits))
    FROM unnest(ARRAY[${SEVERITIES.map((word) => `'${word}'`).join(', ')}]) AS word),
  'choices', json_build_object(
    'kinds', coalesce((
      SELECT json_agg(c ORDER BY bodies DESC, kind) FROM (
        SELECT kind, sum(bodies) AS bodies FROM tally, unnest(kinds) AS kind
        WHERE severity_fits AND area_fits AND system_fits GROUP BY kind) c), '[]'),
    'areas', coalesce((
      SELECT json_agg(c ORDER BY area) FROM (
        SELECT area, sum(bodies) AS bodies FROM tally
        WHERE severity_fits AND kind_fits AND system_fits GROUP BY area) c), '[]'),
    'sanitizerSystems', coalesce((
      SELECT json_agg(c ORDER BY "sanitizerSystem") FROM (
        SELECT sanitizer_system AS "sanitizerSystem", sum(bodies) AS bodies FROM tally
        WHERE severity_fits AND kind_fits AND area_fits GROUP BY sanitizer_system) c), '[]')),
  'at', $9::timestamptz
)::text AS answer`

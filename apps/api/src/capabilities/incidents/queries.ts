import type { IncidentKind, Instruction } from '@sightglass/chemistry'
import type { Incident } from '@sightglass/contract'
import type { Queryable } from '../../platform/database.ts'

/** What is known of an incident; `id` is the version's own. */
export interface NewVersion {
  id: string
  kind: IncidentKind
  at: Date
  person: string
  note: string
  instruction: Instruction | null
  reason: string | null
}
export type VersionRow = NewVersion & { replacedAt: Date | null; createdAt: Date }

type Closing = NonNullable<Incident['closing']>
/** What stands in the `closing` column: all of it but who and when. */
export type ClosingKept = Omit<Closing, 'at' | 'person'>

export interface IncidentRow extends Omit<VersionRow, 'reason' | 'replacedAt'> {
  bodyId: string
  bodyName: string
  facilityId: string
  facilityName: string
  timeZone: string
  reportedBy: string
  closedAt: Date | null
  closedBy: string | null
  closing: ClosingKept | null
}

const VERSION = `v.kind, v.happened_at AS at, v.person, v.note,
  CASE WHEN v.instructed_by IS NOT NULL THEN json_build_object('freeChlorineMgL', v.instructed_free_chlorine_mg_l,
    'holdMin', v.instructed_hold_min, 'phMax', v.instructed_ph_max, 'by', v.instructed_by) END AS instruction`

export const insertIncident = (client: Queryable, bodyId: string, id: string, now: Date) =>
  client.query('INSERT INTO incident (body_id, id, created_at) VALUES ($1, $2, $3)', [bodyId, id, now])

/** Puts a version in the place of the current one, if there is one. */
export async function insertVersion(
  client: Queryable,
  bodyId: string,
  incidentId: string,
  { id, kind, at, person, note, instruction, reason }: NewVersion,
  now: Date,
) {
  await client.query(
    'UPDATE incident_version SET replaced_at = $3 WHERE body_id = $1 AND incident_id = $2 AND replaced_at IS NULL',
    [bodyId, incidentId, now],
  )
  await client.query(
    `INSERT INTO incident_version (body_id, incident_id, id, kind, happened_at, person, note,
      instructed_free_chlorine_mg_l, instructed_hold_min, instructed_ph_max, instructed_by, reason, created_at)
    VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13)`,
    [
      bodyId,
      incidentId,
      id,
      kind,
      at,
      person,
      note,
      instruction?.freeChlorineMgL ?? null,
      instruction?.holdMin ?? null,
      instruction?.phMax ?? null,
      instruction?.by ?? null,
      reason,
      now,
    ],
  )
}

/** All versions of an incident, newest first; empty when there is no such incident. */
export const selectVersions = async (client: Queryable, bodyId: string, incidentId: string) =>
  (
    await client.query<VersionRow>(
      `SELECT v.id, ${VERSION}, v.reason, v.replaced_at AS "replacedAt", v.created_at AS "createdAt"
      FROM incident_version v WHERE v.body_id = $1 AND v.incident_id = $2
      ORDER BY v.replaced_at DESC NULLS FIRST, v.created_at DESC`,
      [bodyId, incidentId],
    )
  ).rows

export interface Wanted {
  incidentId?: string | undefined
  bodyId?: string | undefined
  facilityId?: string | undefined
  open?: boolean | undefined
}
const WANTED = `($1::uuid IS NULL OR i.id = $1) AND ($2::uuid IS NULL OR i.body_id = $2)
  AND ($3::uuid IS NULL OR b.facility_id = $3) AND ($4::boolean IS NULL OR (i.closed_at IS NULL) = $4)`
const placesOf = ({ incidentId, bodyId, facilityId, open }: Wanted) =>
  [incidentId, bodyId, facilityId, open].map((value) => value ?? null)

/** Incidents as they are known now, the newest first. */
export const selectIncidents = async (client: Queryable, wanted: Wanted, page: { limit: number; offset: number }) =>
  (
    await client.query<IncidentRow>(
      `SELECT i.id, i.body_id AS "bodyId", b.name AS "bodyName", f.id AS "facilityId", f.name AS "facilityName",
        f.time_zone AS "timeZone", ${VERSION}, first.person AS "reportedBy", i.created_at AS "createdAt",
        i.closed_at AS "closedAt", i.closed_by AS "closedBy", i.closing
      FROM incident i
      JOIN body b ON b.id = i.body_id
      JOIN facility f ON f.id = b.facility_id
      JOIN incident_version v ON v.body_id = i.body_id AND v.incident_id = i.id AND v.replaced_at IS NULL
      JOIN incident_version first ON first.body_id = i.body_id AND first.incident_id = i.id AND first.id = i.id
      WHERE ${WANTED} ORDER BY v.happened_at DESC, i.id DESC LIMIT $5 OFFSET $6`,
      [...placesOf(wanted), page.limit, page.offset],
    )
  ).rows

export const countIncidents = async (client: Queryable, wanted: Wanted) =>
  (
    await client.query<{ total: number }>(
      `SELECT count(*) AS total FROM incident i JOIN body b ON b.id = i.body_id WHERE ${WANTED}`,
      placesOf(wanted),
    )
  ).rows[0]?.total ?? 0

export const updateClosed = (
  client: Queryable,
  bodyId: string,
  incidentId: string,
  closed: { at: Date; person: string; closing: ClosingKept },
) =>
  client.query('UPDATE incident SET closed_at = $3, closed_by = $4, closing = $5 WHERE body_id = $1 AND id = $2', [
    bodyId,
    incidentId,
    closed.at,
    closed.person,
    JSON.stringify(closed.closing),
  ])

import { createReadStream } from 'node:fs'
import { pipeline } from 'node:stream/promises'
import type { Detection, importCounts, Layout, Reject } from '@sightglass/contract'
import type pg from 'pg'
import { from as copyFrom } from 'pg-copy-streams'
import type { z } from 'zod'
import type { Queryable } from '../../platform/database.ts'
import type { KnownLayout } from './detect/index.ts'
import type { Heard } from './layout.ts'

export type Counts = z.output<typeof importCounts>
type State = 'uploaded' | 'checking' | 'checked' | 'running' | 'done' | 'failed'

export interface ImportRow {
  id: string
  facilityId: string
  facilityName: string
  fileName: string
  bytes: number
  sha256: string
  state: State
  person: string
  detection: Detection | null
  layout: Layout | null
  layoutName: string | null
  counts: Counts | null
  failure: string | null
  createdAt: Date
  finishedAt: Date | null
}

const COLUMNS = `i.id, i.facility_id AS "facilityId", f.name AS "facilityName", i.file_name AS "fileName", i.bytes, i.sha256,
  i.state, i.person, i.layout_name AS "layoutName", i.counts, i.failure, i.created_at AS "createdAt",
  i.finished_at AS "finishedAt"`
const FROM = 'FROM import i JOIN facility f ON f.id = i.facility_id'

export const selectImport = async (client: Queryable, id: string) =>
  (
    await client.query<ImportRow>(
      `SELECT ${COLUMNS}, i.detection, i.layout ${FROM} WHERE i.id = $1 AND i.discarded_at IS NULL`,
      [id],
    )
  ).rows[0]

export async function selectImports(
  client: Queryable,
  { facilityId, limit, offset }: { facilityId?: string | undefined; limit: number; offset: number },
) {
  const where = 'WHERE i.discarded_at IS NULL AND ($1::uuid IS NULL OR i.facility_id = $1)'
  const [{ rows: items }, { rows: counted }] = await Promise.all([
    client.query<ImportRow>(
      `SELECT ${COLUMNS}, NULL AS detection, NULL AS layout ${FROM} ${where}
      ORDER BY i.created_at DESC, i.id DESC LIMIT $2 OFFSET $3`,
      [facilityId ?? null, limit, offset],
    ),
    client.query<{ total: number }>(`SELECT count(*) AS total FROM import i ${where}`, [facilityId ?? null]),
  ])
  return { items, total: counted[0]?.total ?? 0 }
}

export const insertImport = (
  client: Queryable,
  given: Pick<ImportRow, 'id' | 'facilityId' | 'fileName' | 'bytes' | 'sha256' | 'person' | 'layoutName'> & {
    detection: Detection
    at: Date
  },
) =>
  client.query(
    `INSERT INTO import (id, facility_id, file_name, bytes, sha256, state, person, layout_name, detection, created_at)
    VALUES ($1, $2, $3, $4, $5, 'uploaded', $6, $7, $8, $9)`,
    [
      given.id,
      given.facilityId,
      given.fileName,
      given.bytes,
      given.sha256,
      given.person,
      given.layoutName,
      JSON.stringify(given.detection),
      given.at,
    ],
  )

/** Puts another detection in the place of the first; false when the import is not in a state for it. */
export const renewDetection = async (client: Queryable, id: string, detection: Detection) =>
  (
    await client.query(
      `UPDATE import SET state = 'uploaded', detection = $2, layout = NULL, layout_name = $3, counts = NULL, failure = NULL,
        finished_at = NULL
      WHERE id = $1 AND discarded_at IS NULL AND state IN ('uploaded', 'checked', 'failed')`,
      [id, JSON.stringify(detection), detection.knownLayout?.name ?? null],
    )
  ).rowCount === 1

/** Begins a check; false when the import is not in a state for it. */
export const beginCheck = async (client: Queryable, id: string, layout: Layout) =>
  (
    await client.query(
      `UPDATE import SET state = 'checking', layout = $2, counts = NULL, failure = NULL, finished_at = NULL
      WHERE id = $1 AND discarded_at IS NULL AND state IN ('uploaded', 'checked', 'failed')`,
      [id, JSON.stringify(layout)],
    )
  ).rowCount === 1

/** Begins a run of what a check has passed, also once more after a run that failed. */
export const beginRun = async (client: Queryable, id: string) =>
  (
    await client.query(
      `UPDATE import SET state = 'running', failure = NULL, finished_at = NULL
      WHERE id = $1 AND discarded_at IS NULL AND counts IS NOT NULL AND state IN ('checked', 'failed')`,
      [id],
    )
  ).rowCount === 1

export const discard = async (client: Queryable, id: string, at: Date) =>
  (
    await client.query(
      `UPDATE import SET discarded_at = $2
      WHERE id = $1 AND discarded_at IS NULL AND state IN ('uploaded', 'checked', 'failed')`,
      [id, at],
    )
  ).rowCount === 1

/** Ends a check or a run that is under way. */
export const endWork = (
  client: Queryable,
  id: string,
  { state, counts, failure, at }: { state: State; counts?: Counts; failure?: string; at: Date },
) =>
  client.query(
    `UPDATE import SET state = $2, counts = coalesce($3::jsonb, counts), failure = $4, finished_at = $5
    WHERE id = $1 AND state IN ('checking', 'running')`,
    [id, state, counts ? JSON.stringify(counts) : null, failure ?? null, at],
  )

/** What a process left behind that ended in the middle of its work. */
export const endInterrupted = (
  client: Queryable,
  { at, failures, except }: { at: Date; failures: { check: string; run: string }; except: readonly string[] },
) =>
  client.query(
    `UPDATE import SET state = 'failed', finished_at = $1, failure = CASE state WHEN 'running' THEN $3 ELSE $2 END
    WHERE state IN ('checking', 'running') AND id <> ALL ($4)`,
    [at, failures.check, failures.run, except],
  )

export interface FacilityRow {
  id: string
  name: string
  timeZone: string
  retired: boolean
}

export const selectFacility = async (client: Queryable, id: string) =>
  (
    await client.query<FacilityRow>(
      'SELECT id, name, time_zone AS "timeZone", retired_at IS NOT NULL AS retired FROM facility WHERE id = $1',
      [id],
    )
  ).rows[0]

/** The bodies of a facility that are in use, with what their channels in use carry. */
export const selectHeard = async (client: Queryable, facilityId: string) =>
  (
    await client.query<Heard & { quantities: Heard['quantities'][number][] }>(
      `SELECT b.id, b.name, coalesce(array_agg(c.quantity ORDER BY c.quantity) FILTER (WHERE c.id IS NOT NULL), '{}') AS quantities
      FROM body b LEFT JOIN channel c ON c.body_id = b.id AND c.retired_at IS NULL
      WHERE b.facility_id = $1 AND b.retired_at IS NULL GROUP BY b.id ORDER BY lower(b.name)`,
      [facilityId],
    )
  ).rows

export const selectLayout = async (client: Queryable, facilityId: string, fingerprint: string) =>
  (
    await client.query<KnownLayout>(
      'SELECT id, name, layout FROM import_layout WHERE facility_id = $1 AND fingerprint = $2',
      [facilityId, fingerprint],
    )
  ).rows[0] ?? null

/** Remembers a layout; a file like it had another before, and the newer one counts. */
export const rememberLayout = (
  client: Queryable,
  given: { id: string; name: string; facilityId: string; fingerprint: string; layout: Layout; at: Date },
) =>
  client.query(
    `INSERT INTO import_layout (id, name, facility_id, fingerprint, layout, created_at, used_at)
    VALUES ($1, $2, $3, $4, $5, $6, $6)
    ON CONFLICT (facility_id, fingerprint) DO UPDATE SET name = excluded.name, layout = excluded.layout, used_at = excluded.used_at`,
    [given.id, given.name, given.facilityId, given.fingerprint, JSON.stringify(given.layout), given.at],
  )

export const nameLayout = (client: Queryable, importId: string, name: string) =>
  client.query('UPDATE import SET layout_name = $2 WHERE id = $1', [importId, name])

/** @param path of a file in PostgreSQL's copy text format: import id, line, column, value, reason */
export async function replaceRejects(client: pg.ClientBase, importId: string, path: string) {
  await client.query('DELETE FROM import_reject WHERE import_id = $1', [importId])
  await pipeline(
    createReadStream(path),
    client.query(copyFrom('COPY import_reject (import_id, line, column_name, value, reason) FROM STDIN')),
  )
}

const REJECTS = `SELECT line, column_name AS "column", value, reason FROM import_reject WHERE import_id = $1`

export const selectRejects = async (
  client: Queryable,
  id: string,
  { limit, offset }: { limit: number; offset: number },
) => (await client.query<Reject>(`${REJECTS} ORDER BY line LIMIT $2 OFFSET $3`, [id, limit, offset])).rows

export const selectRejectsAfter = async (client: Queryable, id: string, line: number, limit: number) =>
  (await client.query<Reject>(`${REJECTS} AND line > $2 ORDER BY line LIMIT $3`, [id, line, limit])).rows

export async function countRejects(client: Queryable, id: string): Promise<number> {
  const { rows } = await client.query<{ total: number }>(
    'SELECT count(*) AS total FROM import_reject WHERE import_id = $1',
    [id],
  )
  return rows[0]?.total ?? 0
}

import { PARAMETERS, type Parameter } from '@sightglass/chemistry'
import type { Method } from '@sightglass/contract'
import type { Queryable } from '../../platform/database.ts'
import { columnOf } from '../../platform/sql.ts'

/** A manual test as stored, its times still dates. */
export interface ReadingRow {
  id: string
  bodyId: string
  at: Date
  person: string
  method: Method
  values: Partial<Record<Parameter, number>>
  displayPh: number | null
  displayOrpMv: number | null
  note: string
  replacesId: string | null
  reason: string | null
  replacedAt: Date | null
  createdAt: Date
}
export type NewReading = Omit<ReadingRow, 'replacedAt' | 'createdAt'>

const PLAIN = ['at', 'person', 'method', 'displayPh', 'displayOrpMv', 'note', 'replacesId', 'reason'] as const
const KEPT = [...PLAIN, 'id', 'bodyId', 'replacedAt', 'createdAt'] as const
const COLUMNS = `${KEPT.map((key) => `r.${columnOf(key)} AS "${key}"`).join(', ')},
  json_strip_nulls(json_build_object(${PARAMETERS.map((key) => `'${key}', r.${columnOf(key)}`).join(', ')})) AS "values"`

export const selectReadings = async (client: Queryable, keys: readonly { bodyId: string; id: string }[]) =>
  (
    await client.query<ReadingRow>(
      `SELECT ${COLUMNS} FROM unnest($1::uuid[], $2::uuid[]) AS k (body_id, id)
      JOIN reading r ON r.body_id = k.body_id AND r.id = k.id`,
      [keys.map(({ bodyId }) => bodyId), keys.map(({ id }) => id)],
    )
  ).rows

const INSERTED = [
  'body_id uuid',
  'id uuid',
  'at timestamptz',
  'person text',
  'method text',
  'display_ph float8',
  'display_orp_mv float8',
  'note text',
  'replaces_id uuid',
  'reason text',
  ...PARAMETERS.map((key) => `${columnOf(key)} float8`),
]
const INSERTED_NAMES = INSERTED.map((column) => column.split(' ')[0]).join(', ')

export async function insertReadings(client: Queryable, readings: readonly NewReading[], now: Date) {
  const rows = readings.map(({ values, bodyId, displayPh, displayOrpMv, replacesId, ...same }) => ({
    ...same,
    body_id: bodyId,
    display_ph: displayPh,
    display_orp_mv: displayOrpMv,
    replaces_id: replacesId,
    ...Object.fromEntries(Object.entries(values).map(([key, value]) => [columnOf(key), value])),
  }))
  await client.query(
    `INSERT INTO reading (${INSERTED_NAMES}, created_at)
    SELECT ${INSERTED_NAMES}, $2 FROM jsonb_to_recordset($1::jsonb) AS n (${INSERTED.join(', ')})`,
    [JSON.stringify(rows), now],
  )
}

export const markReplaced = (client: Queryable, bodyId: string, id: string, now: Date) =>
  client.query('UPDATE reading SET replaced_at = $3 WHERE body_id = $1 AND id = $2', [bodyId, id, now])

/** All versions of a test, newest first, whichever of them is named. */
export const selectVersions = async (client: Queryable, bodyId: string, id: string) =>
  (
    await client.query<ReadingRow>(
      `WITH RECURSIVE older AS (
        SELECT id, replaces_id, 0 AS age FROM reading WHERE body_id = $1 AND id = $2
        UNION ALL
        SELECT r.id, r.replaces_id, o.age + 1 FROM older o JOIN reading r ON r.body_id = $1 AND r.id = o.replaces_id
      ), newer AS (
        SELECT id, 0 AS age FROM reading WHERE body_id = $1 AND id = $2
        UNION ALL
        SELECT r.id, n.age - 1 FROM newer n JOIN reading r ON r.body_id = $1 AND r.replaces_id = n.id
      )
      SELECT ${COLUMNS} FROM (SELECT id, age FROM older UNION SELECT id, age FROM newer) v
      JOIN reading r ON r.body_id = $1 AND r.id = v.id ORDER BY v.age`,
      [bodyId, id],
    )
  ).rows

/** A page of a body's tests, newest first; replaced versions only when asked for. */
export const selectPage = async (
  client: Queryable,
  bodyId: string,
  { replaced, limit, offset }: { replaced: boolean; limit: number; offset: number },
) =>
  (
    await client.query<ReadingRow>(
      `SELECT ${COLUMNS} FROM reading r WHERE body_id = $1 ${replaced ? '' : 'AND replaced_at IS NULL'}
      ORDER BY at DESC, created_at DESC, id DESC LIMIT $2 OFFSET $3`,
      [bodyId, limit, offset],
    )
  ).rows

export async function countReadings(client: Queryable, bodyId: string, replaced: boolean) {
  const { rows } = await client.query<{ there: boolean; total: number }>(
    `SELECT EXISTS (SELECT FROM body WHERE id = $1) AS there,
      (SELECT count(*) FROM reading WHERE body_id = $1 AND ($2 OR replaced_at IS NULL)) AS total`,
    [bodyId, replaced],
  )
  return rows[0] ?? { there: false, total: 0 }
}

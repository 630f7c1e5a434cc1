import type { WorkKind } from '@sightglass/contract'
import type { Queryable } from '../../platform/database.ts'
import { columnOf } from '../../platform/sql.ts'

/** Work as stored, its times still dates. */
export interface WorkRow {
  id: string
  bodyId: string
  kind: WorkKind
  at: Date
  person: string
  feederId: string | null
  feederName: string | null
  orpSetPointMv: number | null
  phSetPoint: number | null
  slopePct: number | null
  done: boolean
  note: string
  replacesId: string | null
  reason: string | null
  replacedAt: Date | null
  createdAt: Date
}
export type NewWork = Omit<WorkRow, 'feederName' | 'replacedAt' | 'createdAt'>

const INSERTED = {
  id: 'uuid',
  bodyId: 'uuid',
  kind: 'text',
  at: 'timestamptz',
  person: 'text',
  feederId: 'uuid',
  orpSetPointMv: 'float8',
  phSetPoint: 'float8',
  slopePct: 'float8',
  done: 'boolean',
  note: 'text',
  replacesId: 'uuid',
  reason: 'text',
} as const satisfies Record<keyof NewWork, string>
const KEYS = Object.keys(INSERTED) as (keyof NewWork)[]
const COLUMNS = `${[...KEYS, 'replacedAt', 'createdAt'].map((key) => `w.${columnOf(key)} AS "${key}"`).join(', ')},
  (SELECT name FROM feeder WHERE id = w.feeder_id) AS "feederName"`

/** Holds the bodies until the transaction ends, so that the same work sent twice at once is stored once. */
export const lockBodies = async (client: Queryable, bodyIds: readonly string[]) =>
  (
    await client.query<{ id: string; retired: boolean }>(
      'SELECT id, retired_at IS NOT NULL AS retired FROM body WHERE id = ANY ($1) ORDER BY id FOR NO KEY UPDATE',
      [bodyIds],
    )
  ).rows

/** The bodies that these feeders feed, or fed. */
export async function selectFedBodies(client: Queryable, feederIds: readonly string[]): Promise<Map<string, string>> {
  if (feederIds.length === 0) return new Map()
  const { rows } = await client.query<{ id: string; bodyId: string }>(
    'SELECT id, body_id AS "bodyId" FROM feeder WHERE id = ANY ($1)',
    [feederIds],
  )
  return new Map(rows.map(({ id, bodyId }) => [id, bodyId]))
}

export const selectWork = async (client: Queryable, keys: readonly { bodyId: string; id: string }[]) =>
  (
    await client.query<WorkRow>(
      `SELECT ${COLUMNS} FROM unnest($1::uuid[], $2::uuid[]) AS k (body_id, id)
      JOIN work w ON w.body_id = k.body_id AND w.id = k.id`,
      [keys.map(({ bodyId }) => bodyId), keys.map(({ id }) => id)],
    )
  ).rows

export const insertWork = (client: Queryable, work: readonly NewWork[], now: Date) =>
  client.query(
    `INSERT INTO work (${KEYS.map(columnOf).join(', ')}, created_at)
    SELECT ${KEYS.map((key) => `n."${key}"`).join(', ')}, $2
    FROM jsonb_to_recordset($1::jsonb) AS n (${KEYS.map((key) => `"${key}" ${INSERTED[key]}`).join(', ')})`,
    [JSON.stringify(work), now],
  )

export const markReplaced = (client: Queryable, bodyId: string, id: string, now: Date) =>
  client.query('UPDATE work SET replaced_at = $3 WHERE body_id = $1 AND id = $2', [bodyId, id, now])

/** All versions of an entry, newest first, whichever of them is named. */
export const selectVersions = async (client: Queryable, bodyId: string, id: string) =>
  (
    await client.query<WorkRow>(
      `WITH RECURSIVE older AS (
        SELECT id, replaces_id, 0 AS age FROM work WHERE body_id = $1 AND id = $2
        UNION ALL
        SELECT w.id, w.replaces_id, o.age + 1 FROM older o JOIN work w ON w.body_id = $1 AND w.id = o.replaces_id
      ), newer AS (
        SELECT id, 0 AS age FROM work WHERE body_id = $1 AND id = $2
        UNION ALL
        SELECT w.id, n.age - 1 FROM newer n JOIN work w ON w.body_id = $1 AND w.replaces_id = n.id
      )
      SELECT ${COLUMNS} FROM (SELECT id, age FROM older UNION SELECT id, age FROM newer) v
      JOIN work w ON w.body_id = $1 AND w.id = v.id ORDER BY v.age`,
      [bodyId, id],
    )
  ).rows

/** What counts; replaced versions, and what was never done, only when asked for. */
const COUNTS = '($2 OR (replaced_at IS NULL AND done))'

export const selectPage = async (
  client: Queryable,
  bodyId: string,
  { replaced, limit, offset }: { replaced: boolean; limit: number; offset: number },
) =>
  (
    await client.query<WorkRow>(
      `SELECT ${COLUMNS} FROM work w WHERE body_id = $1 AND ${COUNTS}
      ORDER BY at DESC, created_at DESC, id DESC LIMIT $3 OFFSET $4`,
      [bodyId, replaced, limit, offset],
    )
  ).rows

export async function countWork(client: Queryable, bodyId: string, replaced: boolean) {
  const { rows } = await client.query<{ there: boolean; total: number }>(
    `SELECT EXISTS (SELECT FROM body WHERE id = $1) AS there,
      (SELECT count(*) FROM work WHERE body_id = $1 AND ${COUNTS}) AS total`,
    [bodyId, replaced],
  )
  return rows[0] ?? { there: false, total: 0 }
}

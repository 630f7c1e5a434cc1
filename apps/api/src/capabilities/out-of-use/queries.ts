import type { Queryable } from '../../platform/database.ts'

export interface PeriodRow {
  id: string
  from: Date
  to: Date | null
  reason: string
  person: string
  endedBy: string | null
}

const COLUMNS = 'id, from_at AS "from", to_at AS "to", reason, person, ended_by AS "endedBy"'

export const selectPeriod = async (client: Queryable, bodyId: string, id: string) =>
  (await client.query<PeriodRow>(`SELECT ${COLUMNS} FROM out_of_use WHERE body_id = $1 AND id = $2`, [bodyId, id]))
    .rows[0]

/** The first period that shares a moment with this one. */
export const selectOverlap = async (client: Queryable, bodyId: string, from: Date, to: Date | null) =>
  (
    await client.query<PeriodRow>(
      `SELECT ${COLUMNS} FROM out_of_use
      WHERE body_id = $1 AND from_at IS DISTINCT FROM to_at AND from_at < coalesce($3::timestamptz, 'infinity') AND coalesce(to_at, 'infinity') > $2
      ORDER BY from_at LIMIT 1`,
      [bodyId, from, to],
    )
  ).rows[0]

/** The period that runs at this time, or the next one. One that was called off before it began has no length. */
export const selectCurrent = async (client: Queryable, bodyId: string, at: Date) =>
  (
    await client.query<PeriodRow>(
      `SELECT ${COLUMNS} FROM out_of_use WHERE body_id = $1 AND coalesce(to_at, 'infinity') > greatest(from_at, $2) ORDER BY from_at LIMIT 1`,
      [bodyId, at],
    )
  ).rows[0]

export const insertPeriod = (
  client: Queryable,
  bodyId: string,
  { id, from, to, reason, person }: PeriodRow,
  now: Date,
) =>
  client.query(
    'INSERT INTO out_of_use (body_id, id, from_at, to_at, reason, person, created_at) VALUES ($1, $2, $3, $4, $5, $6, $7)',
    [bodyId, id, from, to, reason, person, now],
  )

export const endPeriod = (client: Queryable, bodyId: string, id: string, to: Date, endedBy: string) =>
  client.query('UPDATE out_of_use SET to_at = $3, ended_by = $4 WHERE body_id = $1 AND id = $2', [
    bodyId,
    id,
    to,
    endedBy,
  ])

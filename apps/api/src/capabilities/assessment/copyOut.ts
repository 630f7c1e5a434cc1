import pg from 'pg'
import { to as copyTo } from 'pg-copy-streams'

// PostgreSQL's binary copy format spares both sides text: https://www.postgresql.org/docs/18/sql-copy.html, "Binary Format"
const HEAD_BYTES = 11 + 8
const NONE_LEFT = -1

/** Of one row: the place of its body among those asked for, its time, and the other columns; NaN where null. Used anew for each row. */
type Take = (place: number, atMs: number, values: Float64Array) => void

/**
 * Reads many rows of `real` columns. A copy takes no parameters: the query's own values are written into it.
 * @param query gives an int4, a float8 and then `columns` times a float4
 */
export async function copyOut(client: pg.ClientBase, query: string, columns: number, take: Take): Promise<void> {
  const values = new Float64Array(columns)
  let left: Buffer = Buffer.alloc(0)
  let start = HEAD_BYTES
  for await (const chunk of client.query(copyTo(`COPY (${query}) TO STDOUT (FORMAT binary)`))) {
    const bytes: Buffer = left.length > 0 ? Buffer.concat([left, chunk as Buffer]) : (chunk as Buffer)
    let at = start
    for (let end = rowEnd(bytes, at); end > 0; end = rowEnd(bytes, at)) {
      readRow(bytes, at + 2, values, take)
      at = end
    }
    start = Math.max(0, at - bytes.length)
    left = bytes.subarray(Math.min(at, bytes.length))
  }
}

/** Where the row ends that starts here; 0 when it is not whole yet, or when there is none. */
function rowEnd(bytes: Buffer, start: number): number {
  if (start + 2 > bytes.length) return 0
  const fields = bytes.readInt16BE(start)
  if (fields === NONE_LEFT) return 0
  let at = start + 2
  for (let field = 0; field < fields; field++) {
    if (at + 4 > bytes.length) return 0
    at += 4 + Math.max(0, bytes.readInt32BE(at))
  }
  return at <= bytes.length ? at : 0
}

function readRow(bytes: Buffer, start: number, values: Float64Array, take: Take): void {
  const place = bytes.readInt32BE(start + 4)
  const atMs = bytes.readDoubleBE(start + 12)
  let at = start + 20
  for (let column = 0; column < values.length; column++) {
    const isNull = bytes.readInt32BE(at) < 0
    values[column] = isNull ? Number.NaN : short(bytes.readFloatBE(at + 4))
    at += isNull ? 4 : 8
  }
  take(place, atMs, values)
}

/** A `real` holds 7.4 as 7.400000095: back to the number that was meant, so that it is no further than a limit of 7.4. */
function short(value: number): number {
  const size = Math.abs(value)
  const scale = size < 1024 ? 10_000 : size < 16_384 ? 1000 : 100
  return Math.round(value * scale) / scale
}

/** Bodies as a set within the text of a query: `id` and `place`, which counts from 0. */
export const placesOf = (bodyIds: readonly string[]) =>
  `(SELECT id, (place - 1)::int AS place FROM unnest(${pg.escapeLiteral(`{${bodyIds.join(',')}}`)}::uuid[]) WITH ORDINALITY AS u (id, place)) AS b`

export const timeText = (at: Date) => `${pg.escapeLiteral(at.toISOString())}::timestamptz`

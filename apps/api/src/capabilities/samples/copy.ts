import { once } from 'node:events'
import { QUANTITIES } from '@sightglass/chemistry'
import type pg from 'pg'
import { from as copyFrom } from 'pg-copy-streams'
import { columnOf } from '../../platform/sql.ts'
import type { SampleStretch } from './stretch.ts'

/** The columns of `sample` and of every table like it, in the order in which rows are written. */
export const SAMPLE_COLUMNS = ['body_id', 'at', ...QUANTITIES.map(columnOf)]

// PostgreSQL's binary copy format spares it reading text: https://www.postgresql.org/docs/18/sql-copy.html, "Binary Format"
const HEAD = Buffer.concat([Buffer.from('PGCOPY\n\xff\r\n\0', 'latin1'), Buffer.alloc(8)])
const TAIL = Buffer.from([0xff, 0xff])
const ROWS_AT_ONCE = 4096
const LONGEST_ROW = 2 + (4 + 16) + (4 + 8) + QUANTITIES.length * 8
/** PostgreSQL counts microseconds from 2000-01-01 UTC. */
const EPOCH_MS = 946_684_800_000
const TWO_32 = 4_294_967_296

/** Writes stretches into a table that looks like `sample`. */
export async function copySamples(client: pg.ClientBase, table: string, stretches: Iterable<SampleStretch>) {
  const copy = client.query(copyFrom(`COPY ${table} (${SAMPLE_COLUMNS.join(', ')}) FROM STDIN (FORMAT binary)`))
  const failed = once(copy, 'finish')
  failed.catch(() => undefined)
  copy.write(HEAD)
  for (const stretch of stretches)
    for (let from = 0; from < stretch.count; from += ROWS_AT_ONCE)
      if (!copy.write(encode(stretch, from, Math.min(stretch.count, from + ROWS_AT_ONCE))))
        await Promise.race([once(copy, 'drain'), failed])
  copy.end(TAIL)
  await failed
}

function encode({ bodyId, atMs, columns }: SampleStretch, from: number, to: number): Buffer {
  const buffer = Buffer.allocUnsafe((to - from) * LONGEST_ROW)
  const view = new DataView(buffer.buffer, buffer.byteOffset, buffer.byteLength)
  const id = Buffer.from(bodyId.replaceAll('-', ''), 'hex')
  const places = QUANTITIES.map((quantity) => ({ column: columns[quantity], isSwitch: quantity === 'flowOn' }))
  let end = 0
  for (let at = from; at < to; at++) {
    view.setInt16(end, 2 + places.length)
    view.setInt32(end + 2, 16)
    buffer.set(id, end + 6)
    view.setInt32(end + 22, 8)
    const microseconds = ((atMs[at] as number) - EPOCH_MS) * 1000
    const high = Math.floor(microseconds / TWO_32)
    view.setInt32(end + 26, high)
    view.setUint32(end + 30, microseconds - high * TWO_32)
    end += 34
    for (const { column, isSwitch } of places) {
      const value = column === undefined ? Number.NaN : (column[at] as number)
      if (Number.isNaN(value)) {
        view.setInt32(end, -1)
        end += 4
      } else if (isSwitch) {
        view.setInt32(end, 1)
        buffer[end + 4] = value === 0 ? 0 : 1
        end += 5
      } else {
        view.setInt32(end, 4)
        view.setFloat32(end + 4, value)
        end += 8
      }
    }
  }
  return buffer.subarray(0, end)
}

import { finished } from 'node:stream/promises'
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
const BUFFER_BYTES = 256 * 1024
const LONGEST_ROW = 2 + (4 + 16) + (4 + 8) + QUANTITIES.length * 8
/** PostgreSQL counts microseconds from 2000-01-01 UTC. */
const EPOCH_MS = 946_684_800_000
const TWO_32 = 4_294_967_296

/** Writes stretches into a table that looks like `sample`. */
export async function copySamples(client: pg.ClientBase, table: string, stretches: Iterable<SampleStretch>) {
  const copy = client.query(copyFrom(`COPY ${table} (${SAMPLE_COLUMNS.join(', ')}) FROM STDIN (FORMAT binary)`))
  const ended = finished(copy)
  const send = (bytes: Buffer) => {
    const sent = new Promise<void>((resolve, reject) =>
      copy.write(bytes, (error) => (error ? reject(error) : resolve())),
    )
    return Promise.race([sent, ended])
  }
  try {
    await send(HEAD)
    // a write of this size is done only when the socket has let go of everything before: two buffers take turns
    const buffers = [Buffer.allocUnsafe(BUFFER_BYTES), Buffer.allocUnsafe(BUFFER_BYTES)] as [Buffer, Buffer]
    let end = 0
    for (const stretch of stretches)
      for (let from = 0; from < stretch.count; ) {
        const to = Math.min(stretch.count, from + Math.floor((BUFFER_BYTES - end) / LONGEST_ROW))
        end = encode(buffers[0], end, stretch, from, to)
        from = to
        if (BUFFER_BYTES - end >= LONGEST_ROW) continue
        await send(buffers[0].subarray(0, end))
        buffers.reverse()
        end = 0
      }
    await send(buffers[0].subarray(0, end))
    copy.end(TAIL)
  } catch (error) {
    copy.destroy(error as Error)
  }
  await ended
}

/** Writes rows into the buffer, which must have the room. Gives where they end. */
function encode(
  buffer: Buffer,
  start: number,
  { bodyId, atMs, columns }: SampleStretch,
  from: number,
  to: number,
): number {
  const view = new DataView(buffer.buffer, buffer.byteOffset, buffer.byteLength)
  const id = Buffer.from(bodyId.replaceAll('-', ''), 'hex')
  const places = QUANTITIES.map((quantity) => ({ column: columns[quantity], isSwitch: quantity === 'flowOn' }))
  let end = start
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
  return end
}

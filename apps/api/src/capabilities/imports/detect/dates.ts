import type { Detection } from '@sightglass/contract'
import { readClock, readDate } from '../read/times.ts'

type Order = NonNullable<Detection['dateOrder']>
export type TimeKind = 'dateTime' | 'date' | 'time' | 'epochS' | 'epochMs'

const WRITTEN_ORDERS = ['ymd', 'dmy', 'mdy'] as const

/** What part of a time a cell may be; null when it is none. */
export function timeKind(cell: string): TimeKind | null {
  if (cell.length < 4 || cell.length > 40 || !/\d/.test(cell)) return null
  // from 2000 to 2100
  if (/^\d{9,10}(\.\d+)?$/.test(cell))
    return Number(cell) >= 946_684_800 && Number(cell) < 4_102_444_800 ? 'epochS' : null
  if (/^\d{12,13}$/.test(cell) && Number(cell) >= 946_684_800_000 && Number(cell) < 4_102_444_800_000) return 'epochMs'
  if (cell.includes(':') && typeof readClock(cell) !== 'string') return 'time'
  for (const order of WRITTEN_ORDERS) {
    const read = readDate(cell, order)
    if (typeof read === 'string') continue
    if (read.rest === undefined) return /^\d{8}$/.test(cell) && !plausibleCompact(cell) ? null : 'date'
    if (typeof readClock(read.rest) !== 'string') return 'dateTime'
  }
  return null
}

const plausibleCompact = (cell: string) => cell.startsWith('20')

export interface TimeColumns {
  dateColumn: number
  timeColumn: number | null
  kind: TimeKind
}

const WORD = /date|time|when|stamp|datum|zeit|heure|fecha|hora/i

/** The column, or the two, that say when. */
export function detectTimeColumns(names: readonly string[], rows: readonly string[][]): TimeColumns | null {
  const kinds = names.map((name, column) => ({ column, named: WORD.test(name), kind: kindOf(rows, column) }))
  const first = (...wanted: TimeKind[]) => {
    const fit = kinds.filter(({ kind }) => kind !== null && wanted.includes(kind))
    return fit.find(({ named }) => named) ?? fit[0]
  }
  const whole = first('dateTime')
  if (whole) return { dateColumn: whole.column, timeColumn: null, kind: 'dateTime' }
  const date = first('date')
  const time = first('time')
  if (date && time) return { dateColumn: date.column, timeColumn: time.column, kind: 'date' }
  const epoch = first('epochS', 'epochMs')
  return epoch ? { dateColumn: epoch.column, timeColumn: null, kind: epoch.kind as TimeKind } : null
}

/** The kind that most cells of a column have; a damaged cell here and there changes nothing. */
function kindOf(rows: readonly string[][], column: number): TimeKind | null {
  const counts = new Map<TimeKind, number>()
  let filled = 0
  for (const cells of rows.slice(0, 500)) {
    const cell = cells[column] ?? ''
    if (cell === '') continue
    filled++
    const kind = timeKind(cell)
    if (kind) counts.set(kind, (counts.get(kind) ?? 0) + 1)
  }
  const [kind, count] = [...counts].sort((a, b) => b[1] - a[1])[0] ?? [null, 0]
  return count > filled * 0.6 ? kind : null
}

/** Which orders the rows seen allow: all days and months exist, and none lies in the future. */
export function possibleOrders(cells: readonly string[], now: Date): Order[] {
  const latest = +now + 2 * 86_400_000
  const fits = cells.map((cell) =>
    WRITTEN_ORDERS.map((order) => {
      const read = readDate(cell, order)
      return typeof read !== 'string' && read.dayMs <= latest && read.dayMs >= Date.UTC(2000, 0, 1)
    }),
  )
  // a damaged row must not rule an order out
  const dates = fits.filter((fit) => fit.some((one) => one))
  return WRITTEN_ORDERS.filter((_, index) => {
    const count = dates.filter((fit) => fit[index]).length
    return count > 0 && count >= dates.length * 0.95
  })
}

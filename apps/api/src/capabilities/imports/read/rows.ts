import type { Quantity } from '@sightglass/chemistry'
import type { Layout, Reject } from '@sightglass/contract'
import { type SampleStretch, unlikelySampleTime } from '../../samples/index.ts'
import { cellsOf } from './cells.ts'
import type { Block } from './lines.ts'
import { RecordJoiner } from './records.ts'
import { TimeReader } from './times.ts'
import { isBlank, type ReadValue, valueReader } from './values.ts'

/** Samples that are handed on at once. */
const HANDED_ON = 16_000
const LONGEST_SHOWN = 80
const MOST_WORDS = 200

interface Target {
  column: number
  name: string
  body: BodyColumns
  place: number
  read: ReadValue
}

/** Columns of numbers of one length. */
interface Sheet {
  atMs: Float64Array
  columns: Float64Array[]
}

/** The samples of one body that wait to be handed on. Sheets that come back are used again: the same few, all file long. */
class BodyColumns {
  count = 0
  readonly quantities: Quantity[] = []
  #sheet: Sheet = { atMs: new Float64Array(256), columns: [] }
  readonly #spare: Sheet[] = []
  constructor(readonly bodyId: string) {}

  get atMs() {
    return this.#sheet.atMs
  }
  get columns() {
    return this.#sheet.columns
  }

  placeOf(quantity: Quantity): number {
    const known = this.quantities.indexOf(quantity)
    if (known >= 0) return known
    this.columns.push(new Float64Array(this.atMs.length).fill(Number.NaN))
    return this.quantities.push(quantity) - 1
  }

  /** A new sample; its values are to be filled in. */
  push(at: number): number {
    if (this.count === this.atMs.length) this.#grow()
    this.atMs[this.count] = at
    return this.count++
  }

  #grow() {
    const larger = (column: Float64Array) => {
      const next = new Float64Array(column.length * 2).fill(Number.NaN)
      next.set(column)
      return next
    }
    this.#sheet = { atMs: larger(this.atMs), columns: this.columns.map(larger) }
  }

  take(): SampleStretch {
    const { bodyId, count, quantities } = this
    const taken = this.#sheet
    this.count = 0
    this.#sheet = this.#spare.pop() ?? {
      atMs: new Float64Array(taken.atMs.length),
      columns: taken.columns.map(({ length }) => new Float64Array(length).fill(Number.NaN)),
    }
    return {
      bodyId,
      count,
      atMs: taken.atMs,
      columns: Object.fromEntries(
        quantities.map((quantity, place) => [quantity, taken.columns[place] as Float64Array]),
      ),
      release: () => {
        for (const column of taken.columns) column.fill(Number.NaN, 0, count)
        this.#spare.push(taken)
      },
    }
  }
}

/** Turns the lines of a file into samples by its layout. A row that cannot be read in full is left out in full. */
export class RowReader {
  /** Rows of data, good and bad; header lines and empty lines are none. */
  rows = 0
  readonly #layout: Layout
  readonly #nowMs: number
  readonly #reject: (reject: Reject) => void
  readonly #times: TimeReader
  readonly #records: RecordJoiner
  readonly #bodies = new Map<string, BodyColumns>()
  readonly #targets = new Map<string | null, Target[]>()
  readonly #header: string
  readonly #width: number
  readonly #scratch: Float64Array
  readonly #strangers = new Map<string, { line: number; rows: number }>()
  readonly #ready: SampleStretch[] = []
  #waiting = 0
  #lastAt = Number.NaN

  constructor(layout: Layout, now: Date, reject: (reject: Reject) => void) {
    this.#layout = layout
    this.#nowMs = +now
    this.#reject = reject
    this.#times = new TimeReader(layout.time)
    this.#records = new RecordJoiner(layout.delimiter)
    for (const target of layout.columns) this.#add(target)
    this.#header = headerOf(layout.columnNames)
    const needed = [layout.time.dateColumn, layout.time.timeColumn ?? 0, layout.keyColumn ?? 0]
    this.#width = layout.columnNames.length || Math.max(...needed, ...layout.columns.map(({ column }) => column)) + 1
    this.#scratch = new Float64Array(layout.columns.length)
  }

  #add(target: Layout['columns'][number]) {
    const body = this.#bodies.get(target.bodyId) ?? new BodyColumns(target.bodyId)
    this.#bodies.set(target.bodyId, body)
    const key = target.key === null ? null : wordOf(target.key)
    const list = this.#targets.get(key) ?? []
    list.push({
      column: target.column,
      name: this.#nameOf(target.column),
      body,
      place: body.placeOf(target.quantity),
      read: valueReader(target, this.#layout.decimal),
    })
    this.#targets.set(key, list)
  }

  /** Reads a block; gives samples when enough have come together. */
  read(block: Block): SampleStretch[] {
    this.#read(this.#records.add(block))
    return this.#ready.splice(0)
  }

  #read(block: Block) {
    const rows = cellsOf(block, this.#layout.delimiter)
    for (let at = 0; at < rows.length; at++) {
      const line = block.firstLine + at
      if (this.#layout.headerLine !== null && line <= this.#layout.headerLine) {
        if (line === this.#layout.headerLine) this.#refuseOtherHeader(rows[at] ?? null)
        continue
      }
      this.#row(line, block.lines[at] as string, rows[at] ?? null)
    }
  }

  /** What is left at the end of the file. */
  end(): SampleStretch[] {
    this.#read(this.#records.end())
    for (const [word, { line, rows }] of this.#strangers)
      this.#reject({
        line,
        column: this.#nameOf(this.#layout.keyColumn ?? 0),
        value: shown(word),
        reason: `The layout sends rows of this word nowhere: ${rows} ${rows === 1 ? 'row was' : 'rows were'} left out, this is the first.`,
      })
    return [...this.#ready.splice(0), ...this.#handOn()]
  }

  #handOn(): SampleStretch[] {
    this.#waiting = 0
    return [...this.#bodies.values()].filter(({ count }) => count > 0).map((body) => body.take())
  }

  #row(line: number, text: string, cells: string[] | null) {
    if (text === '') return
    if (cells === null) {
      this.rows++
      return this.#refuse(line, null, text, 'A quotation mark is opened and not closed.')
    }
    const { time, keyColumn } = this.#layout
    const dateText = cells[time.dateColumn] ?? ''
    const at = this.#times.read(dateText, time.timeColumn === null ? null : (cells[time.timeColumn] ?? ''))
    if (typeof at === 'string') return this.#unreadableTime(line, text, cells, at)
    this.rows++
    if (cells.length !== this.#width && !this.#fits(cells))
      return this.#refuse(line, null, text, this.#wrongWidth(cells.length))
    const unlikely = at > this.#nowMs || at < YEAR_2000 ? unlikelySampleTime(at, this.#nowMs) : null
    if (unlikely) return this.#refuse(line, this.#nameOf(time.dateColumn), this.#timeText(cells), `clock: ${unlikely}`)
    const key = keyColumn === null ? null : wordOf(cells[keyColumn] ?? '')
    const targets = this.#targets.get(key)
    if (!targets) return this.#stranger(line, cells[keyColumn ?? 0] ?? '')
    this.#store(line, at, targets, cells)
  }

  #store(line: number, at: number, targets: readonly Target[], cells: readonly string[]) {
    const scratch = this.#scratch
    for (let index = 0; index < targets.length; index++) {
      const target = targets[index] as Target
      const cell = cells[target.column] ?? ''
      const value = target.read(cell)
      if (typeof value === 'string') return this.#refuse(line, target.name, cell, value)
      scratch[index] = value
    }
    // samples of one time are handed on together: then each counts once
    if (this.#waiting >= HANDED_ON && at !== this.#lastAt) this.#ready.push(...this.#handOn())
    for (let index = 0; index < targets.length; index++) {
      const value = scratch[index] as number
      if (Number.isNaN(value)) continue
      const { body, place } = targets[index] as Target
      let last = body.count - 1
      const slot = body.columns[place] as Float64Array
      if (last < 0 || body.atMs[last] !== at || !Number.isNaN(slot[last] as number)) {
        last = body.push(at)
        this.#waiting++
      }
      ;(body.columns[place] as Float64Array)[last] = value
    }
    this.#lastAt = at
  }

  #unreadableTime(line: number, text: string, cells: readonly string[], reason: string) {
    if (cells.every((cell) => cell.trim() === '')) return
    if (this.#header !== '' && headerOf(cells) === this.#header) return
    this.rows++
    const { dateColumn, timeColumn } = this.#layout.time
    if (text.includes('\0'))
      return this.#refuse(line, null, text.replaceAll('\0', '·'), 'The line is not text, or it is longer than 64 KiB.')
    if (cells.length < this.#width && (timeColumn ?? dateColumn) >= cells.length)
      return this.#refuse(line, null, text, this.#wrongWidth(cells.length))
    if (isBlank(cells[dateColumn] ?? '')) reason = 'There is no time.'
    this.#refuse(line, this.#nameOf(dateColumn), this.#timeText(cells), reason)
  }

  /** Empty cells after the last column do no harm. */
  #fits = (cells: readonly string[]) =>
    cells.length > this.#width && cells.slice(this.#width).every((cell) => cell.trim() === '')

  #wrongWidth = (found: number) =>
    found < this.#width
      ? `The row has ${found} of ${this.#width} cells: it is cut off.`
      : `The row has ${found} cells for ${this.#width} columns: a separator stands inside of a value.`

  #stranger(line: number, cell: string) {
    const word = cell.trim()
    if (word === '')
      return this.#refuse(
        line,
        this.#nameOf(this.#layout.keyColumn ?? 0),
        '',
        'The row does not say of what it speaks.',
      )
    const known = this.#strangers.get(word)
    if (known) known.rows++
    else if (this.#strangers.size < MOST_WORDS) this.#strangers.set(word, { line, rows: 1 })
    else
      this.#refuse(line, this.#nameOf(this.#layout.keyColumn ?? 0), word, 'The layout sends rows of this word nowhere.')
  }

  #refuseOtherHeader(cells: string[] | null) {
    if (headerOf(cells ?? []) !== this.#header) throw new OtherLayout(this.#layout.headerLine ?? 0)
  }

  #timeText(cells: readonly string[]) {
    const { dateColumn, timeColumn } = this.#layout.time
    return timeColumn === null ? (cells[dateColumn] ?? '') : `${cells[dateColumn] ?? ''} ${cells[timeColumn] ?? ''}`
  }

  #nameOf = (column: number) => this.#layout.columnNames[column]?.trim() || `column ${column + 1}`

  #refuse = (line: number, column: string | null, value: string, reason: string) =>
    this.#reject({ line, column, value: shown(value), reason })
}

const YEAR_2000 = Date.UTC(2000, 0, 1)

/** The file's columns are not those of the layout. */
export class OtherLayout extends Error {
  constructor(readonly headerLine: number) {
    super(`line ${headerLine} does not hold the column names of the layout`)
  }
}

const wordOf = (text: string) => text.trim().toLowerCase()
const shown = (value: string) => {
  const text = value.trim()
  return text.length > LONGEST_SHOWN ? `${text.slice(0, LONGEST_SHOWN - 1)}…` : text
}

/** Column names as one text, however they are spaced and capitalised. */
export const headerOf = (cells: readonly string[]) => {
  const words = cells.map((cell) => cell.trim().toLowerCase().replace(/\s+/g, ' '))
  while (words.length > 0 && words.at(-1) === '') words.pop()
  return JSON.stringify(words) === '[]' ? '' : JSON.stringify(words)
}

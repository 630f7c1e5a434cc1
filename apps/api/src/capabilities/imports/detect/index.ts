import type { Detection, ImportDetect, Layout } from '@sightglass/contract'
import { invalid } from '../../../platform/problems.ts'
import { fingerprintOf } from '../layout.ts'
import { cellsOf } from '../read/cells.ts'
import { type Block, Splitter } from '../read/lines.ts'
import { joinedLines } from '../read/records.ts'
import { guessColumn, saysOpenOrClosed } from './columns.ts'
import { detectTimeColumns, possibleOrders, type TimeColumns } from './dates.ts'
import { detectEncoding } from './encoding.ts'
import { detectKeyWords } from './keys.ts'
import { anyChannel, type Place, propose, stillFitting } from './propose.ts'
import { detectTable, type Table } from './table.ts'

export type { Place } from './propose.ts'

/** The beginning and the end of a file. */
export interface Glimpse {
  head: Buffer
  /** Empty when the head is the whole file. */
  tail: Buffer
  fileName: string
}

export interface KnownLayout {
  id: string
  name: string
  layout: Layout
}

/** No controller writes as many; each costs work while detecting. */
const MOST_COLUMNS = 500
const ROWS_SHOWN = 20
const EXAMPLES = 3

/** Finds out how a file is written, and proposes how to read it.
 *  @param recall finds a remembered layout by its fingerprint
 *  @param said what a person knows better than what would be detected
 *  @throws ProblemError `invalid` when it holds no text, or no such line of column names */
export async function detect(
  { head, tail, fileName }: Glimpse,
  place: Place,
  now: Date,
  recall: (fingerprint: string) => Promise<KnownLayout | null>,
  said: ImportDetect,
): Promise<Detection> {
  const found = detectEncoding(head)
  const letters = said.encoding ? { byteOrderMark: false, ...found, encoding: said.encoding } : found
  if (!letters)
    throw invalid('The file is not text: choose the export as CSV or text.', [
      { path: 'body.file', message: 'is not text' },
    ])
  const text = new TextDecoder(letters.encoding).decode(head, { stream: tail.length > 0 })
  const block = blockOf(text, tail.length === 0)
  const table = detectTable(block, said)
  refuseTooWide(table)
  const time = detectTimeColumns(table.names, table.rows)
  const dates = [...table.rows, ...tailRows(tail, letters.encoding, table)].map(
    (row) => row[time?.dateColumn ?? 0] ?? '',
  )
  const orders = time ? ordersOf(time, dates, now) : []
  const columns = table.names.map((name, index) => {
    const cells = table.rows.map((row) => row[index] ?? '')
    const isTime = time !== null && (index === time.dateColumn || index === time.timeColumn)
    const guess = isTime ? { quantity: null, unit: 'asStored' as const } : guessColumn(name, cells)
    return { index, name, cells, guess: { ...guess, isTime } }
  })
  const timeColumns = time ? [time.dateColumn, ...(time.timeColumn === null ? [] : [time.timeColumn])] : []
  const keyWords = detectKeyWords(table.names.length, table.rows).filter(({ column }) => !timeColumns.includes(column))
  const basis = {
    encoding: letters.encoding,
    delimiter: table.delimiter,
    decimal: decimalOf(table, timeColumns),
    headerLine: table.headerLine,
    columnNames: table.names,
  }
  const known = await recall(fingerprintOf(basis))
  const proposed = propose({
    place,
    names: table.names,
    rows: table.rows,
    guesses: columns.map(({ guess }) => guess),
    timeColumns,
    keyWords,
    about: [fileName, ...table.preamble].join(' '),
  })
  // "open" and "closed" are a person's to explain: the column waits
  const unexplained = columns.filter(({ guess, cells }) => guess.quantity !== null && saysOpenOrClosed(cells))
  const settled = proposed.columns.filter(({ column }) => !unexplained.some(({ index }) => index === column))
  const fresh: Layout | null =
    time && orders.length > 0 && settled.length > 0
      ? {
          ...basis,
          time: {
            dateColumn: time.dateColumn,
            timeColumn: time.timeColumn,
            order: likeliest(orders, place),
            zone: place.timeZone,
          },
          keyColumn: proposed.keyColumn,
          columns: settled,
        }
      : null
  const remembered = known && {
    ...known.layout,
    ...basis,
    decimal: known.layout.decimal,
    columns: stillFitting(known.layout, place),
  }
  return {
    encoding: letters.encoding,
    byteOrderMark: letters.byteOrderMark,
    lineEnding: lineEndingOf(text),
    delimiter: table.delimiter,
    decimal: basis.decimal,
    headerLine: table.headerLine,
    columns: columns.map(({ index, name, cells, guess }) => ({
      index,
      name,
      examples: [...new Set(cells.filter((cell) => cell !== ''))].slice(0, EXAMPLES),
      guess: guess.isTime || guess.quantity ? guess : null,
    })),
    dateOrder: orders[0] === undefined ? null : likeliest(orders, place),
    dateOrderAmbiguous: orders.length > 1,
    keyWords,
    firstRows: table.rows.slice(0, ROWS_SHOWN),
    knownLayout: known && { id: known.id, name: known.name },
    proposal: remembered && remembered.columns.length > 0 ? remembered : fresh,
    questions: [
      table.rows.length === 0 && 'No rows were found below the column names: is this the whole export?',
      table.rows.length > 0 && !time && 'No column looks like a time: choose the columns of date and time.',
      orders.length > 1 &&
        !known &&
        `The rows fit more than one order of day and month (${dates.find((cell) => cell !== '')}): choose the order.`,
      !anyChannel(place) && 'No controller of this facility has a channel in use: add its channels first.',
      anyChannel(place) &&
        !known &&
        proposed.bodyUnclear &&
        'Nothing in the file says of which body of water it speaks: choose it for each column.',
      anyChannel(place) &&
        !known &&
        time &&
        proposed.columns.length === 0 &&
        !proposed.bodyUnclear &&
        'No column was recognised: choose what each column holds.',
      ...(known
        ? []
        : unexplained.map(({ name }) => `“${name}” says open and closed: choose which of the two means on.`)),
      known &&
        remembered &&
        remembered.columns.length < known.layout.columns.length &&
        `The layout “${known.name}” also speaks of bodies or channels that are no longer in use: they are left out.`,
    ].filter((question) => typeof question === 'string'),
  }
}

function refuseTooWide({ names }: Table) {
  if (names.length <= MOST_COLUMNS) return
  const message = `has ${names.length} columns; at most ${MOST_COLUMNS} are read`
  throw invalid(`The file ${message}: export fewer channels at once, or another form of the report.`, [
    { path: 'body.file', message },
  ])
}

function blockOf(text: string, whole: boolean): Block {
  const splitter = new Splitter()
  const begun = splitter.add(text)
  const ended = whole ? splitter.end('') : null
  const lines = [...(begun?.lines ?? []), ...(ended?.lines ?? [])]
  return { lines, firstLine: 1, plain: (begun?.plain ?? true) && (ended?.plain ?? true) }
}

/** The last rows show later dates than the first, which often settles the order of day and month. */
function tailRows(tail: Buffer, encoding: Layout['encoding'], { delimiter, names }: Table): string[][] {
  if (tail.length === 0) return []
  const even = encoding.startsWith('utf-16') ? tail.subarray(tail.length % 2) : tail
  const lines = blockOf(new TextDecoder(encoding).decode(even), true).lines.slice(1)
  const block = { lines, firstLine: 1, plain: !lines.some((line) => line.includes('"')) }
  return cellsOf({ ...block, lines: joinedLines(block, delimiter) }, delimiter)
    .map((cells) => (cells ?? []).map((cell) => cell.trim()))
    .filter((cells) => cells.length === names.length)
}

function ordersOf({ kind }: TimeColumns, dates: readonly string[], now: Date): Layout['time']['order'][] {
  if (kind === 'epochS' || kind === 'epochMs') return [kind]
  const read = dates.filter((cell) => possibleOrders([cell], now).length > 0)
  // a year at the front, or a month by its name, leaves no doubt
  const plain = read.filter((cell) => /^\d{4}/.test(cell) || /[a-z]{3}/i.test(cell.replace(/[ap]\.?m\.?/gi, '')))
  return plain.length > read.length * 0.9 && plain.length > 0 ? ['ymd'] : possibleOrders(read, now)
}

/** Where both fit, what is usual there comes first; a person is asked all the same. */
const likeliest = (orders: readonly Layout['time']['order'][], { timeZone }: Place) =>
  orders.find((order) => order === (timeZone.startsWith('America/') ? 'mdy' : 'dmy')) ??
  (orders[0] as Layout['time']['order'])

function decimalOf({ rows }: Table, timeColumns: readonly number[]): Layout['decimal'] {
  let commas = 0
  let points = 0
  for (const row of rows.slice(0, 500))
    row.forEach((cell, column) => {
      if (timeColumns.includes(column)) return
      if (/^[-+]?\d+,\d+$/.test(cell)) commas++
      else if (/^[-+]?\d+\.\d+$/.test(cell)) points++
    })
  return commas > points ? ',' : '.'
}

function lineEndingOf(text: string): Detection['lineEnding'] {
  if (text.includes('\r\n')) return 'CRLF'
  return text.includes('\r') && !text.includes('\n') ? 'CR' : 'LF'
}

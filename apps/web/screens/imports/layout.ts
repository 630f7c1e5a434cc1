import { QUANTITIES, type Quantity } from '@sightglass/chemistry'
import {
  type Body,
  type COLUMN_UNITS,
  type ColumnTarget,
  type DATE_ORDERS,
  type DELIMITERS,
  type Detection,
  type ENCODINGS,
  type Layout,
  QUANTITY_RANGES,
} from '@sightglass/contract'

export type ColumnUnit = (typeof COLUMN_UNITS)[number]
export type DateOrder = (typeof DATE_ORDERS)[number]
export type Delimiter = (typeof DELIMITERS)[number]

export const DELIMITER_WORDS: Record<Delimiter, string> = { ',': 'comma', ';': 'semicolon', '\t': 'tab', '|': 'bar |' }
export const ENCODING_WORDS: Record<(typeof ENCODINGS)[number], string> = {
  'utf-8': 'UTF-8',
  'utf-16le': 'UTF-16, little-endian',
  'utf-16be': 'UTF-16, big-endian',
  'windows-1252': 'Windows-1252 (western)',
}
export const ORDER_WORDS: Record<DateOrder, string> = {
  ymd: 'year, month, day',
  dmy: 'day, month, year',
  mdy: 'month, day, year',
  epochS: 'seconds since 1970',
  epochMs: 'milliseconds since 1970',
}

const FEED: [ColumnUnit, string][] = [
  ['asStored', 'per cent'],
  ['fraction', '0 to 1'],
  ['onOff', 'on / off'],
  ['openIsOn', 'open is on'],
  ['closedIsOn', 'closed is on'],
]
/** In which units a controller may have written a quantity. */
export const UNITS_FOR: Record<Quantity, [ColumnUnit, string][]> = {
  ph: [['asStored', 'pH']],
  orpMv: [
    ['asStored', 'mV'],
    ['V', 'volts'],
  ],
  freeChlorineMgL: [['asStored', 'mg/L (ppm)']],
  tempC: [
    ['F', '°F'],
    ['asStored', '°C'],
  ],
  flowLMin: [
    ['gpm', 'gpm'],
    ['asStored', 'L/min'],
    ['m3h', 'm³/h'],
  ],
  flowOn: [
    ['onOff', 'on / off'],
    ['openIsOn', 'open is on'],
    ['closedIsOn', 'closed is on'],
  ],
  sanitizerFeedPct: FEED,
  backupFeedPct: FEED,
  phFeedPct: FEED,
  phSetPoint: [['asStored', 'pH']],
  orpSetPointMv: [
    ['asStored', 'mV'],
    ['V', 'volts'],
  ],
}
export const quantityOptions = QUANTITIES.map((value) => ({ value, label: QUANTITY_RANGES[value].words }))

/** Where one column goes while it is being matched; '' is not chosen yet. */
export interface Match {
  bodyId: string
  quantity: Quantity | ''
  unit: ColumnUnit
}

/** A layout in the making. */
export interface LayoutDraft {
  encoding: Layout['encoding']
  delimiter: Delimiter
  decimal: Layout['decimal']
  headerLine: number | null
  columnNames: string[]
  dateColumn: number
  timeColumn: number | null
  /** '' until a person has said what the rows leave open. */
  order: DateOrder | ''
  zone: string
  keyColumn: number | null
  /** By `placeOf(column, key)`. */
  matches: Record<string, Match>
}

export const placeOf = (column: number, key: string | null) => JSON.stringify([column, key])
export const NOWHERE: Match = { bodyId: '', quantity: '', unit: 'asStored' }

/** No column looks like a time: a person must choose it. */
export const NO_COLUMN = -1

/** What the matching begins with: the layout of before, the proposal, or what was detected. */
export function draftFrom(detection: Detection, chosen: Layout | null, zone: string): LayoutDraft {
  const layout = chosen ?? detection.proposal
  const ambiguous = detection.dateOrderAmbiguous && !chosen && !detection.knownLayout
  if (layout)
    return {
      ...layout,
      ...layout.time,
      order: ambiguous ? '' : layout.time.order,
      matches: Object.fromEntries(
        layout.columns.map(({ column, key, ...match }) => [placeOf(column, key), match satisfies Match]),
      ),
    }
  const times = detection.columns.filter(({ guess }) => guess?.isTime)
  return {
    encoding: detection.encoding,
    delimiter: detection.delimiter,
    decimal: detection.decimal,
    headerLine: detection.headerLine,
    columnNames: detection.columns.map(({ name }) => name),
    dateColumn: times[0]?.index ?? NO_COLUMN,
    timeColumn: times[1]?.index ?? null,
    order: ambiguous ? '' : (detection.dateOrder ?? ''),
    zone,
    keyColumn: null,
    matches: Object.fromEntries(
      detection.columns.flatMap(({ index, guess, examples }) =>
        guess?.quantity && !examples.some(saysOpenOrClosed)
          ? [[placeOf(index, null), { bodyId: '', quantity: guess.quantity, unit: guess.unit }]]
          : [],
      ),
    ),
  }
}

// Which of the two means on is a person's to say: such a column is not filled in.
const saysOpenOrClosed = (cell: string) => /^(open|closed?)$/i.test(cell)

export interface ColumnRow {
  column: number
  key: string | null
  name: string
  examples: string[]
  match: Match
}

/** The columns to be matched: once for all rows, or once for each word of the key column. */
export function rowsToMatch(detection: Detection, draft: LayoutDraft): { key: string | null; rows: ColumnRow[] }[] {
  const taken = [draft.dateColumn, draft.timeColumn, draft.keyColumn]
  const columns = detection.columns.filter(({ index }) => !taken.includes(index))
  return keysOf(detection, draft).map((key) => ({
    key,
    rows: columns.map(({ index, name, examples }) => ({
      column: index,
      key,
      name: name || `Column ${index + 1}`,
      examples,
      match: draft.matches[placeOf(index, key)] ?? NOWHERE,
    })),
  }))
}

function keysOf(detection: Detection, draft: LayoutDraft): (string | null)[] {
  if (draft.keyColumn === null) return [null]
  const words = detection.keyWords.find(({ column }) => column === draft.keyColumn)?.words ?? []
  // Words that a remembered layout knows but the first rows do not show are kept.
  const known = Object.keys(draft.matches).map((place) => (JSON.parse(place) as [number, string | null])[1])
  return [...new Set([...words, ...known.filter((key) => key !== null)])]
}

/** Another key column: each word's columns begin with the guesses, and with the body that the word names. */
export function withKeyColumn(
  detection: Detection,
  draft: LayoutDraft,
  keyColumn: number | null,
  bodies: Body[],
): LayoutDraft {
  const next: LayoutDraft = { ...draft, keyColumn, matches: {} }
  const only = bodies.length === 1 ? bodies[0] : undefined
  for (const { key, rows } of rowsToMatch(detection, next)) {
    const body = bodies.find(({ name }) => key !== null && sameWords(name, key)) ?? only
    for (const { column } of rows) {
      const guess = detection.columns.find(({ index }) => index === column)?.guess
      if (guess?.quantity)
        next.matches[placeOf(column, key)] = { bodyId: body?.id ?? '', quantity: guess.quantity, unit: guess.unit }
    }
  }
  return next
}

const sameWords = (name: string, key: string) => {
  const bare = (text: string) => text.toLowerCase().replace(/[^\p{L}\p{N}]+/gu, '')
  return bare(key) !== '' && (bare(name).includes(bare(key)) || bare(key).includes(bare(name)))
}

export function withMatch(draft: LayoutDraft, { column, key }: ColumnRow, change: Partial<Match>): LayoutDraft {
  const before = draft.matches[placeOf(column, key)] ?? NOWHERE
  const match = { ...before, ...change }
  const units = match.quantity ? UNITS_FOR[match.quantity] : []
  if (match.quantity && !units.some(([unit]) => unit === match.unit)) match.unit = units[0]?.[0] ?? 'asStored'
  return { ...draft, matches: { ...draft.matches, [placeOf(column, key)]: match } }
}

/** All columns of one key word, or of a file without one, to one body. */
export function withBody(draft: LayoutDraft, rows: ColumnRow[], bodyId: string): LayoutDraft {
  return rows.reduce((now, row) => (row.match.quantity ? withMatch(now, row, { bodyId }) : now), draft)
}

/** The layout as the API takes it, or what is still to be settled. */
export function layoutFrom(detection: Detection, draft: LayoutDraft): { layout: Layout } | { open: string[] } {
  const rows = rowsToMatch(detection, draft).flatMap(({ rows: some }) => some)
  const half = rows.filter(({ match }) => (match.quantity === '') !== (match.bodyId === ''))
  const columns: ColumnTarget[] = rows.flatMap(({ column, key, match: { bodyId, quantity, unit } }) =>
    bodyId && quantity ? [{ column, key, bodyId, quantity, unit }] : [],
  )
  const open = [
    draft.dateColumn === NO_COLUMN && 'Choose the column of the date, or of date and time.',
    draft.order === '' &&
      `Say in which order the parts of a date stand${detection.dateOrderAmbiguous ? ': the rows fit more than one' : ''}.`,
    ...half.map(
      ({ name, key, match }) =>
        `${key === null ? name : `${key}, ${name}`}: choose ${match.quantity ? 'the body of water' : 'what it holds'} too, or leave it out.`,
    ),
    ...twice(columns, rows),
    columns.length === 0 && half.length === 0 && 'Match at least one column to a body of water and what it holds.',
  ].filter((line) => line !== false)
  if (open.length || draft.order === '') return { open }
  const { encoding, delimiter, decimal, headerLine, columnNames, keyColumn, dateColumn, timeColumn, zone, order } =
    draft
  const time = { dateColumn, timeColumn, order, zone }
  return { layout: { encoding, delimiter, decimal, headerLine, columnNames, time, keyColumn, columns } }
}

function twice(columns: ColumnTarget[], rows: ColumnRow[]) {
  const seen = new Map<string, ColumnTarget>()
  return columns.flatMap((target) => {
    const place = `${target.key}|${target.bodyId}|${target.quantity}`
    const other = seen.get(place)
    seen.set(place, target)
    if (!other) return []
    const nameOf = (index: number) => rows.find(({ column }) => column === index)?.name ?? ''
    return [`${nameOf(other.column)} and ${nameOf(target.column)} go to the same place: leave one out.`]
  })
}

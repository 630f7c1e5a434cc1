import {
  cubicMetresPerHourToLitresPerMinute,
  fahrenheitToCelsius,
  gallonsPerMinuteToLitresPerMinute,
  type Quantity,
} from '@sightglass/chemistry'
import { type ColumnTarget, type Layout, outsideHardRange, QUANTITY_RANGES } from '@sightglass/contract'

/** NaN: nothing was measured. A string: why the cell cannot be read. */
export type ReadValue = (cell: string) => number | string

/** How the cells of a column are read: its decimal sign, its unit, and what the quantity may be at all. */
export function valueReader({ quantity, unit }: ColumnTarget, decimal: Layout['decimal']): ReadValue {
  if (quantity === 'flowOn') return switchReader(unit, 1)
  if (SWITCH_UNITS.includes(unit)) return switchReader(unit, 100)
  const convert = CONVERSIONS[unit] ?? same
  const range = QUANTITY_RANGES[quantity]
  const [low, high] = range.hard
  return (cell) => {
    let written = readNumber(cell, decimal)
    if (Number.isNaN(written)) {
      if (isBlank(cell)) return Number.NaN
      const read = readUnusual(cell.trim(), decimal, quantity, unit)
      if (typeof read === 'string') return read
      written = read
    }
    const value = convert(written)
    if (value >= low && value <= high) return value
    return outsideHardRange(range, Number(value.toPrecision(6))) ?? 'The value is outside what is possible.'
  }
}

type Unit = ColumnTarget['unit']
const same = (value: number) => value
const CONVERSIONS: Partial<Record<Unit, (value: number) => number>> = {
  F: fahrenheitToCelsius,
  V: (volts) => volts * 1000,
  gpm: gallonsPerMinuteToLitresPerMinute,
  m3h: cubicMetresPerHourToLitresPerMinute,
  fraction: (part) => part * 100,
}

const POWERS = Array.from({ length: 16 }, (_, power) => 10 ** power)
const SPACE = 32
const NO_BREAK_SPACE = 160
const TAB = 9
const isSpace = (code: number) => code === SPACE || code === NO_BREAK_SPACE || code === TAB

/** A plain decimal number; NaN for everything else, thousands separators included. */
export function readNumber(text: string, decimal: Layout['decimal']): number {
  const point = decimal === ',' ? 44 : 46
  let at = 0
  let end = text.length
  while (at < end && isSpace(text.charCodeAt(at))) at++
  while (end > at && isSpace(text.charCodeAt(end - 1))) end--
  const sign = text.charCodeAt(at)
  if (sign === 45 || sign === 43) at++
  let digits = 0
  let mantissa = 0
  let decimals = -1
  for (; at < end; at++) {
    const code = text.charCodeAt(at)
    if (code >= 48 && code <= 57) {
      mantissa = mantissa * 10 + code - 48
      digits++
      if (decimals >= 0) decimals++
    } else if (code === point && decimals < 0 && digits > 0) decimals = 0
    else return Number.NaN
  }
  // both parts are whole numbers that a double holds exactly, so their quotient is the nearest double
  if (digits === 0 || digits > 15) return Number.NaN
  const value = decimals > 0 ? mantissa / (POWERS[decimals] as number) : mantissa
  return sign === 45 ? -value : value
}

/** How controllers write that there is no value. */
const BLANK = /^(?:[-–—_*?.\s]*|#?n\/?a\.?|nan|null|nil|none|no data|nodata|missing)$/i
export const isBlank = (cell: string) => cell === '' || BLANK.test(cell.trim())

const EXPONENT = /^[-+]?\d+(?:[.,]\d+)?e[-+]?\d{1,2}$/i
const WITH_UNIT = /^([-+]?[\d.,]+)\s*(%|°?\s?[cf]|deg\.?\s?[cf]|mv|v|ppm|mg\/l|gpm|l\/min|lpm|m3\/h|m³\/h|ph)$/i

function readUnusual(cell: string, decimal: Layout['decimal'], quantity: Quantity, unit: Unit): number | string {
  if (EXPONENT.test(cell) && cell.includes(',') <= (decimal === ',')) return Number(cell.replace(',', '.'))
  const [, number = '', word = ''] = WITH_UNIT.exec(cell) ?? []
  const value = number ? readNumber(number, decimal) : Number.NaN
  if (!Number.isNaN(value)) {
    const [theirQuantities, theirUnit] = UNIT_WORDS[word.toLowerCase().replace(/[°\s.]|deg/g, '')] ?? [[], 'asStored']
    if (theirQuantities.includes(quantity) && theirUnit === unit) return value
    return `The value is in ${word}, and the layout says otherwise: choose the unit of this column anew.`
  }
  return unreadable(number || cell, decimal)
}

const FEEDS: Quantity[] = ['sanitizerFeedPct', 'backupFeedPct', 'phFeedPct']
const UNIT_WORDS: Record<string, [Quantity[], Unit]> = {
  '%': [FEEDS, 'asStored'],
  c: [['tempC'], 'asStored'],
  f: [['tempC'], 'F'],
  mv: [['orpMv', 'orpSetPointMv'], 'asStored'],
  v: [['orpMv', 'orpSetPointMv'], 'V'],
  ppm: [['freeChlorineMgL'], 'asStored'],
  'mg/l': [['freeChlorineMgL'], 'asStored'],
  gpm: [['flowLMin'], 'gpm'],
  'l/min': [['flowLMin'], 'asStored'],
  lpm: [['flowLMin'], 'asStored'],
  'm3/h': [['flowLMin'], 'm3h'],
  'm³/h': [['flowLMin'], 'm3h'],
  ph: [['ph', 'phSetPoint'], 'asStored'],
}

function unreadable(cell: string, decimal: Layout['decimal']): string {
  const other = decimal === '.' ? ',' : '.'
  if (/^[-+]?\d{1,3}(?:[.,'’\s]\d{3})+(?:[.,]\d+)?$/.test(cell) && !/^[-+]?\d{1,3}[.,]\d{3}$/.test(cell))
    return 'The number has a thousands separator: export it without.'
  if (new RegExp(`^[-+]?\\d+\\${other}\\d+$`).test(cell))
    return `“${other}” is not the decimal sign of this layout, and thousands separators are not read: choose the decimal sign, or export without separators.`
  return 'This is not a number.'
}

export const SWITCH_UNITS: readonly Unit[] = ['onOff', 'openIsOn', 'closedIsOn']
const ON = ['on', '1', 'yes', 'y', 'true', 'run', 'running', 'flow', 'active', 'ein', 'ja', 'marche', 'oui', 'si', 'sí']
const OFF = [
  'off',
  '0',
  'no',
  'n',
  'false',
  'stop',
  'stopped',
  'no flow',
  'noflow',
  'inactive',
  'aus',
  'nein',
  'arret',
  'arrêt',
  'non',
]
export const OPEN = ['open', 'opened']
export const CLOSED = ['closed', 'close', 'shut']
export const SWITCH_WORDS: ReadonlySet<string> = new Set([...ON, ...OFF, ...OPEN, ...CLOSED])

function switchReader(unit: Unit, on: number): ReadValue {
  const known = new Map<string, number>([
    ...ON.map((word) => [word, on] as const),
    ...OFF.map((word) => [word, 0] as const),
  ])
  for (const word of OPEN)
    if (unit === 'openIsOn' || unit === 'closedIsOn') known.set(word, unit === 'openIsOn' ? on : 0)
  for (const word of CLOSED)
    if (unit === 'openIsOn' || unit === 'closedIsOn') known.set(word, unit === 'closedIsOn' ? on : 0)
  return (cell) => {
    const quick = known.get(cell)
    if (quick !== undefined) return quick
    const word = cell.trim().toLowerCase()
    const value = known.get(word)
    if (value !== undefined) return value
    if (isBlank(cell)) return Number.NaN
    const number = readNumber(word.replace(',', '.'), '.')
    if (number === 0) return 0
    if (number === 1 || (on === 100 && number === 100)) return on
    if (OPEN.includes(word) || CLOSED.includes(word))
      return `“${word}” may mean either: say in the layout whether open or closed means on.`
    return 'This does not say on or off.'
  }
}

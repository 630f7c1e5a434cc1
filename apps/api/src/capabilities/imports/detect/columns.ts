import type { Quantity } from '@sightglass/chemistry'
import type { ColumnTarget } from '@sightglass/contract'
import { CLOSED, isBlank, OPEN, readNumber, SWITCH_WORDS } from '../read/values.ts'

export interface ColumnGuess {
  quantity: Quantity | null
  unit: ColumnTarget['unit']
}

/** A name's words, however it joins them: `phFeedPct`, `CL-FEED_1`, `Temp (°F)`. */
export const wordsOf = (name: string) =>
  name
    .replace(/(?<=[a-z]{2})(?=[A-Z][a-z])/g, ' ')
    .normalize('NFKD')
    .toLowerCase()
    .replace(/[\u0300-\u036f]/g, '')
    .replace(/[^a-z0-9%°/³]+/g, ' ')
    .trim()

const SET_POINT = /set ?point|setpt|\bsp\b|\bset\b|target|sollwert|consigne/
const FEED = /feed|dos(e|ing|age|ier)|pump|output|\bout\b|relay|duty|stroke|%|\bpct\b|percent/
const ACID = /acid|muriatic|\bco2\b|ph ?(feed|dos|pump|down|minus|output)|saure/
const CHLORINE =
  /chlor|\bcl2?\b|^cl ?(feed|dos)|hypo|bleach|bromin|sanit|saniti[sz]er|salt|generator|\bcell\b|\bswg\b|disinf/
const BACKUP = /backup|back up|second|standby|reserve/
/** No other quantity has this unit. */
const TEMPERATURE_UNIT = /°\s?[cf]\b|\bdeg ?[cf]\b|celsius|fahrenheit/
const NOT_WATER = /\bair\b|ambient|outdoor|outside|\broom\b/
const NAMED: [RegExp, Quantity][] = [
  [/\borp\b|redox|\brx\b|oxidation/, 'orpMv'],
  [/free ?(avail\w* )?(chlor|cl)|\bfcl?\b|\bfac\b/, 'freeChlorineMgL'],
  [/\bph\b/, 'ph'],
  [/temp|\bt\b|\bt ?[°]?[cf]\b/, 'tempC'],
]

/** What a column may hold, by its name and then by what its cells look like. */
export function guessColumn(name: string, cells: readonly string[]): ColumnGuess {
  const words = wordsOf(name)
  const seen = lookAt(cells)
  const quantity = quantityOf(words, seen)
  return { quantity, unit: quantity ? unitOf(quantity, name, words, seen) : 'asStored' }
}

interface Seen {
  switches: boolean
  openClosed: boolean
  most: number
  hasParts: boolean
}

function lookAt(cells: readonly string[]): Seen {
  const filled = cells.filter((cell) => !isBlank(cell)).map((cell) => cell.toLowerCase())
  const words = filled.filter((cell) => SWITCH_WORDS.has(cell))
  const numbers = filled.map((cell) => readNumber(cell.replace(',', '.'), '.')).filter((value) => !Number.isNaN(value))
  return {
    switches: filled.length > 0 && words.length >= filled.length * 0.9,
    openClosed: words.length > 0 && words.every((word) => OPEN.includes(word) || CLOSED.includes(word)),
    most: numbers.length > 0 ? typicalMost(numbers) : Number.NaN,
    hasParts: numbers.some((value) => !Number.isInteger(value)),
  }
}

/** Nearly the largest: a damaged cell must not decide the unit. */
function typicalMost(numbers: number[]): number {
  const sorted = numbers.sort((a, b) => a - b)
  return sorted[Math.floor((sorted.length - 1) * 0.95)] as number
}

function quantityOf(words: string, seen: Seen): Quantity | null {
  if (SET_POINT.test(words))
    return /\bph\b/.test(words) ? 'phSetPoint' : /\borp\b|redox|\bmv\b/.test(words) ? 'orpSetPointMv' : null
  if (/flow|durchfluss|debit|caudal/.test(words))
    return seen.switches || /switch|on\/? ?off|status|\bok\b/.test(words) ? 'flowOn' : 'flowLMin'
  if (FEED.test(words) || /^(hypo|acid|bleach|co2)\b/.test(words)) {
    if (BACKUP.test(words)) return 'backupFeedPct'
    if (ACID.test(words)) return 'phFeedPct'
    if (CHLORINE.test(words) || /^cl/.test(words)) return 'sanitizerFeedPct'
  }
  const named = NAMED.find(([pattern]) => pattern.test(words))?.[1]
  if (named) return named
  if (TEMPERATURE_UNIT.test(words) && !NOT_WATER.test(words)) return 'tempC'
  if (CHLORINE.test(words) && /ppm|mg\/l|residual/.test(words)) return 'freeChlorineMgL'
  return null
}

function unitOf(quantity: Quantity, name: string, words: string, { switches, openClosed, most, hasParts }: Seen) {
  const feed = quantity.endsWith('FeedPct')
  if (quantity === 'flowOn' || (feed && switches && most !== 0 && !(most > 1)))
    return openClosed ? 'closedIsOn' : 'onOff'
  if (quantity === 'tempC') {
    if (/°\s*f|\bf\b|fahrenheit|deg ?f/.test(words) || /°\s*F\b|\bF\b/.test(name)) return 'F'
    if (/°\s*c|\bc\b|celsius/.test(words)) return 'asStored'
    // no water is that hot in °C
    return most > 60 ? 'F' : 'asStored'
  }
  if (quantity === 'orpMv' || quantity === 'orpSetPointMv') {
    if (/\bmv\b|millivolt/.test(words)) return 'asStored'
    return /\bv\b|\bvolts?\b/.test(words) || (most < 2 && hasParts) ? 'V' : 'asStored'
  }
  if (quantity === 'flowLMin') {
    if (/gpm|gal/.test(words)) return 'gpm'
    return /m[3³] ?\/? ?h|cbm|cmh/.test(words) ? 'm3h' : 'asStored'
  }
  return feed && hasParts && most <= 1 && !/%|pct|percent/.test(words) ? 'fraction' : 'asStored'
}

/** Whether the words of a column say open and closed, which a person must explain. */
export const saysOpenOrClosed = (cells: readonly string[]) => lookAt(cells).openClosed

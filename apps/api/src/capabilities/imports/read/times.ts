import type { Layout } from '@sightglass/contract'
import { ZoneClock } from './zone.ts'

type Order = Layout['time']['order']

/** A time as it is written. */
export interface WrittenTime {
  /** The wall clock's time, counted as if it were UTC. */
  localMs: number
  /** Minutes ahead of UTC, where the text says so itself. */
  offsetMin: number | null
}

const NUMERIC = /^(\d{1,4})([-/. ])(\d{1,2})\2(\d{1,4})(?:(?:T|,?\s+)(\S.*))?$/i
const DAY_MONTH =
  /^(?:[a-z]{2,9}\.?,?\s+)?(\d{1,2})[-\s./]+([a-z]{3,9})\.?[-\s,./]+(\d{4}|\d{2})(?:(?:T|,?\s+)(\S.*))?$/i
const MONTH_DAY = /^(?:[a-z]{2,9}\.?,?\s+)?([a-z]{3,9})\.?\s+(\d{1,2}),?\s+(\d{4})(?:(?:T|,?\s+)(\S.*))?$/i
const COMPACT = /^(\d{4})(\d{2})(\d{2})(?:[T ]?(\d{2})(\d{2})(\d{2})?(Z)?)?$/i
const CLOCK =
  /^(\d{1,2}):(\d{2})(?::(\d{2})(?:[.,](\d{1,9}))?)?(?:\s*([ap])\.?\s?m?\.?)?(?:\s*(Z|UTC|GMT|[-+]\d{2}(?::?\d{2})?))?$/i
const MONTHS = ['jan', 'feb', 'mar', 'apr', 'may', 'jun', 'jul', 'aug', 'sep', 'oct', 'nov', 'dec']

/** Reads a date with its time of day, written together. A string says what is wrong. */
export function readDateTime(text: string, order: Order): WrittenTime | string {
  if (order === 'epochS' || order === 'epochMs') return readEpoch(text, order)
  const date = readDate(text, order)
  if (typeof date === 'string') return date
  if (date.rest === undefined) return 'There is no time of day.'
  const clock = readClock(date.rest)
  return typeof clock === 'string' ? clock : { localMs: date.dayMs + clock.ms, offsetMin: clock.offsetMin }
}

function readEpoch(text: string, order: Order): WrittenTime | string {
  if (!/^\d{8,14}(?:\.\d{1,6})?$/.test(text)) return 'This is not a count of seconds or milliseconds since 1970.'
  return { localMs: Math.round(Number(text) * (order === 'epochS' ? 1000 : 1)), offsetMin: 0 }
}

/** Reads a date; `rest` is what stands behind it. */
export function readDate(text: string, order: Order): { dayMs: number; rest: string | undefined } | string {
  const numeric = NUMERIC.exec(text)
  if (numeric) {
    const [, first = '', , second = '', third = '', rest] = numeric
    const [year, month, day] = inOrder(first, second, third, order)
    return dayOf(year, month, day, rest)
  }
  const compact = COMPACT.exec(text)
  if (compact) {
    const [, year = '', month = '', day = '', hour, minute, second, utc] = compact
    const rest = hour && `${hour}:${minute}${second ? `:${second}` : ''}${utc ?? ''}`
    return dayOf(year, month, day, rest)
  }
  const dayFirst = DAY_MONTH.exec(text)
  if (dayFirst) return dayOf(dayFirst[3], monthOf(dayFirst[2]), dayFirst[1], dayFirst[4])
  const monthFirst = MONTH_DAY.exec(text)
  if (monthFirst) return dayOf(monthFirst[3], monthOf(monthFirst[1]), monthFirst[2], monthFirst[4])
  return 'This is not a date.'
}

/** A year of four digits at the front leaves no doubt, whatever the layout says. */
function inOrder(first: string, second: string, third: string, order: Order) {
  if (first.length > 2 || order === 'ymd') return [first, second, third] as const
  return order === 'mdy' ? ([third, first, second] as const) : ([third, second, first] as const)
}

const monthOf = (name = '') => String(MONTHS.indexOf(name.slice(0, 3).toLowerCase()) + 1)

function dayOf(yearText = '', monthText = '', dayText = '', rest: string | undefined) {
  if (yearText.length === 3 || yearText.length === 1) return `${yearText} is not a year.`
  const year = yearText.length === 2 ? 2000 + Number(yearText) : Number(yearText)
  const month = Number(monthText)
  const day = Number(dayText)
  if (month < 1 || month > 12) return `There is no month ${monthText}: is the order of day and month right?`
  if (day < 1 || day > new Date(Date.UTC(year, month, 0)).getUTCDate())
    return `There is no day ${dayText} in month ${month}: is the order of the date right?`
  return { dayMs: Date.UTC(year, month - 1, day), rest }
}

/** Reads a time of day, on a 24-hour or 12-hour clock. */
export function readClock(text: string): { ms: number; offsetMin: number | null } | string {
  const found = CLOCK.exec(text)
  if (!found) return 'This is not a time of day.'
  const [, hourText = '', minute = '', second = '0', fraction = '', half = '', offset] = found
  let hour = Number(hourText)
  if (half) {
    if (hour > 12) return `There is no ${hourText} o’clock on a 12-hour clock.`
    hour = (hour % 12) + (half.toLowerCase() === 'p' ? 12 : 0)
  }
  const wholeDay = hour === 24 && Number(minute) === 0 && Number(second) === 0
  if ((hour > 23 && !wholeDay) || Number(minute) > 59 || Number(second) > 59) return 'There is no such time of day.'
  const ms = fraction ? Math.round(Number(`0.${fraction}`) * 1000) : 0
  return {
    ms: ((hour * 60 + Number(minute)) * 60 + Number(second)) * 1000 + ms,
    offsetMin: offset ? offsetOf(offset) : null,
  }
}

function offsetOf(text: string): number {
  if (/^[A-Z]/i.test(text)) return 0
  const minutes = Number(text.slice(1, 3)) * 60 + Number(text.slice(3).replace(':', '') || '0')
  return text.startsWith('-') ? -minutes : minutes
}

/** Reads the times of a file's rows one after the other: UTC milliseconds, or a string that says what is wrong. */
export class TimeReader {
  readonly #order: Order
  readonly #zoneName: string
  readonly #clock: ZoneClock
  #lastText = '\0'
  #lastTimeText = ''
  #lastRead: number | string = Number.NaN
  #date = ''
  #dayMs = Number.NaN
  /** The last time that was read, and whether the file goes forward (> 0) or backward. */
  #before = Number.NaN
  #trend = 0

  constructor({ order, zone }: Layout['time']) {
    this.#order = order
    this.#zoneName = zone
    this.#clock = new ZoneClock(zone)
  }

  /** @param timeText the second cell, where date and time stand apart */
  read(text: string, timeText: string | null): number | string {
    // rows of several bodies or channels share their time, and then mean the same one of an hour that comes twice
    if (text === this.#lastText && (timeText ?? '') === this.#lastTimeText) return this.#lastRead
    this.#lastText = text
    this.#lastTimeText = timeText ?? ''
    const written = this.#written(text, timeText)
    this.#lastRead = typeof written === 'string' ? written : this.#resolve(written)
    return this.#lastRead
  }

  #written(text: string, timeText: string | null): WrittenTime | number | string {
    const quick = timeText === null ? this.#quick(text) : Number.NaN
    if (!Number.isNaN(quick)) return quick
    const date = text.trim()
    if (timeText === null) {
      const written = readDateTime(date, this.#order)
      if (typeof written !== 'string') this.#remember(date)
      return written
    }
    if (date !== this.#date) {
      const read = readDate(date, this.#order)
      if (typeof read === 'string') return read
      if (read.rest !== undefined && !/^0{1,2}:00(:00)?$/.test(read.rest)) return 'This is more than a date.'
      this.#date = date
      this.#dayMs = read.dayMs
    }
    const clock = readClock(timeText.trim())
    return typeof clock === 'string' ? clock : { localMs: this.#dayMs + clock.ms, offsetMin: clock.offsetMin }
  }

  /** The date of ten letters that the row before had, and hh:mm or hh:mm:ss: most rows of most files. */
  #quick(text: string): number {
    if ((text.length !== 16 && text.length !== 19) || this.#date === '' || !text.startsWith(this.#date))
      return Number.NaN
    const hour = twoDigits(text, 11)
    const minute = twoDigits(text, 14)
    const second = text.length === 19 ? twoDigits(text, 17) : 0
    const shaped = text.charCodeAt(13) === COLON && (text.length === 16 || text.charCodeAt(16) === COLON)
    const gap = text.charCodeAt(10)
    if (!shaped || (gap !== 32 && gap !== 84) || !(hour < 24 && minute < 60 && second < 60)) return Number.NaN
    return this.#dayMs + ((hour * 60 + minute) * 60 + second) * 1000
  }

  #remember(text: string) {
    if (!/^[\d/.-]{10}[ T]\d\d:/.test(text)) return
    const read = readDate(text.slice(0, 10), this.#order)
    if (typeof read === 'string') return
    this.#date = text.slice(0, 10)
    this.#dayMs = read.dayMs
  }

  #resolve(written: WrittenTime | number): number | string {
    const localMs = typeof written === 'number' ? written : written.localMs
    if (typeof written !== 'number' && written.offsetMin !== null) return localMs - written.offsetMin * 60_000
    let utc = this.#clock.toUtc(localMs)
    if (Number.isNaN(utc)) {
      const meant = this.#clock.meant(localMs)
      if (meant.length === 0)
        return `This time is left out in ${this.#zoneName}: clocks go forward there. If this controller’s clock never changes, choose a zone that never does, such as Etc/GMT+6 (six hours behind UTC).`
      utc = meant.length === 1 ? (meant[0] as number) : this.#byOrder(meant)
    }
    if (utc > this.#before) this.#trend++
    else if (utc < this.#before) this.#trend--
    this.#before = utc
    return utc
  }

  /** In the hour that comes twice, a file that goes forward jumps back once: from then on it is the second time. */
  #byOrder([early, late]: readonly number[]): number {
    const [likely, other] = this.#trend < 0 ? [late, early] : [early, late]
    const backwards = (time: number | undefined) =>
      this.#trend < 0 ? (time as number) > this.#before : (time as number) < this.#before
    return (backwards(likely) && !backwards(other) ? other : likely) as number
  }
}

const COLON = 58
function twoDigits(text: string, at: number): number {
  const tens = text.charCodeAt(at) - 48
  const ones = text.charCodeAt(at + 1) - 48
  return tens >= 0 && tens <= 9 && ones >= 0 && ones <= 9 ? tens * 10 + ones : Number.NaN
}

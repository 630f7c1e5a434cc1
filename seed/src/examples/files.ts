import { type Company, makeCompany } from '../company/index.ts'
import { type Row, rowsOf, wallClock } from './rows.ts'

/** An export as a controller might write it. All layouts are our own inventions. */
export interface ExampleFile {
  name: string
  /** What is difficult about it, for the README. */
  shows: string
  text: string
}

export const EXAMPLE_FACILITY = 'Wexcombe Grand'
const ZONE = 'America/Chicago'
const DAY = 86_400_000

/** The moment up to which the example files run: they are committed, so their dates stand still. */
export const EXAMPLES_END_MS = Date.UTC(2026, 10, 22, 12)

/** All example files for a company that stands at `EXAMPLES_END_MS`, or at any other moment. */
export function exampleFiles(nowMs = EXAMPLES_END_MS): ExampleFile[] {
  const company = makeCompany({ nowMs, days: 30 })
  const terrace = rowsOf(company, EXAMPLE_FACILITY, 'Terrace pool')
  const atrium = rowsOf(company, EXAMPLE_FACILITY, 'Atrium pool')
  const spa = rowsOf(company, EXAMPLE_FACILITY, 'Atrium spa')
  const days = (rows: Row[], from: number, to: number) => cut(company, rows, from, to)
  return [
    isoComma(days(terrace, 4, 1)),
    decimalComma(days(atrium, 6, 3)),
    twelveHour(days(spa, 6, 3)),
    report(days(terrace, 8, 6)),
    long(days(atrium, 3, 2)),
    twoBodies(days(atrium, 2, 0.5), days(spa, 2, 0.5)),
    messy(days(terrace, 1, 0)),
    autumnNight(terrace.filter(({ atMs }) => atMs > AUTUMN_FROM_MS && atMs <= AUTUMN_FROM_MS + 1.5 * DAY)),
  ].filter(({ text }) => text.length > 0)
}

/** Rows from so many days before the end up to so many. */
const cut = ({ nowMs }: Company, rows: Row[], from: number, to: number) =>
  rows.filter(({ atMs }) => atMs > nowMs - from * DAY && atMs <= nowMs - to * DAY)

const wall = wallClock(ZONE)
const onOff = (flowOn: number) => (flowOn === 1 ? 'on' : 'off')
const lines = (rows: string[], ending = '\n') => (rows.length ? rows.join(ending) + ending : '')

function isoComma(rows: Row[]): ExampleFile {
  const body = rows.map(({ atMs, values: v }) => {
    const { year, month, day, hour, minute, offset } = wall(atMs)
    const time = `${year}-${month}-${day}T${hour}:${minute}:00${offset}`
    return [
      time,
      v.ph.toFixed(2),
      v.orpMv,
      v.tempC.toFixed(1),
      onOff(v.flowOn),
      v.sanitizerFeedPct,
      v.phFeedPct,
      v.phSetPoint.toFixed(1),
      v.orpSetPointMv,
    ].join(',')
  })
  return {
    name: 'terrace-pool-plain.csv',
    shows: 'Commas, one header line, ISO times with their offset: the easy one.',
    text: lines([
      'Time,Water pH,ORP mV,Water temp C,Flow,Chlorine feed %,Acid feed %,pH set point,ORP set point mV',
      ...body,
    ]),
  }
}

function decimalComma(rows: Row[]): ExampleFile {
  const comma = (value: number, digits: number) => value.toFixed(digits).replace('.', ',')
  const body = rows.map(({ atMs, values: v }) => {
    const { year, month, day, hour, minute } = wall(atMs)
    return [
      `${day}.${month}.${year} ${hour}:${minute}`,
      comma(v.ph, 2),
      v.orpMv,
      comma(v.tempC, 1),
      v.flowOn,
      comma(v.sanitizerFeedPct, 1),
      comma(v.phFeedPct, 1),
    ].join(';')
  })
  return {
    name: 'atrium-pool-decimal-comma.csv',
    shows: 'Semicolons, decimal comma, day.month.year, byte-order mark, CRLF; local time.',
    text: `\uFEFF${lines(['Date and time;pH;Redox mV;Temperature °C;Flow switch;Chlorine dosing %;CO2 dosing %', ...body], '\r\n')}`,
  }
}

function twelveHour(rows: Row[]): ExampleFile {
  const body = rows.map(({ atMs, values: v }) => {
    const { year, month, day, hour12, minute, half } = wall(atMs)
    const tempF = (v.tempC * 9) / 5 + 32
    return [
      `${month}/${day}/${year}`,
      `${hour12}:${minute} ${half}`,
      v.ph.toFixed(2),
      v.orpMv,
      tempF.toFixed(1),
      onOff(v.flowOn),
      v.sanitizerFeedPct,
      v.phFeedPct,
    ].join('\t')
  })
  return {
    name: 'atrium-spa-twelve-hour.tsv',
    shows: 'Tabs, date and time in two columns, month/day/year, 12-hour clock, °F.',
    text: lines([
      ['Date', 'Time', 'pH', 'ORP', 'Temp (°F)', 'Flow', 'Cl feed (%)', 'Acid feed (%)'].join('\t'),
      ...body,
    ]),
  }
}

function report(rows: Row[]): ExampleFile {
  const header = 'Stamp, pH, ORP [mV], T [C], Flow [on/off], Hypo [%], Acid [%]'
  const body = rows.flatMap(({ atMs, values: v }, index) => {
    const { year, month, day, hour, minute } = wall(atMs)
    // the probe is being cleaned for a quarter of an hour now and then, and the thermometer drops out
    const cleaned = index % 97 < 3
    const row = [
      `${year}/${month}/${day} ${hour}:${minute}`,
      cleaned ? '---' : v.ph.toFixed(2),
      cleaned ? '---' : v.orpMv,
      index % 41 === 7 ? '' : v.tempC.toFixed(1),
      onOff(v.flowOn),
      v.sanitizerFeedPct.toFixed(1),
      v.phFeedPct.toFixed(1),
    ].join(', ')
    return index % 48 === 0 && index > 0 ? ['', header, row] : [row]
  })
  return {
    name: 'terrace-pool-report.txt',
    shows:
      'Lines before the header, the header again every four hours, empty lines, `---` and blanks for missing values.',
    text: lines(['Plant report', 'Site: Wexcombe Grand, plant room', 'Water: Terrace pool', '', header, ...body]),
  }
}

function long(rows: Row[]): ExampleFile {
  const points = [
    ['PH-1', (v: Row['values']) => v.ph.toFixed(2)],
    ['ORP-1', (v: Row['values']) => String(v.orpMv)],
    ['TEMP-1', (v: Row['values']) => v.tempC.toFixed(1)],
    ['FLOW-1', (v: Row['values']) => String(v.flowOn)],
    ['CLFEED-1', (v: Row['values']) => String(v.sanitizerFeedPct)],
    ['PHFEED-1', (v: Row['values']) => String(v.phFeedPct)],
  ] as const
  const body = rows.flatMap(({ atMs, values }) => {
    const { year, month, day, hour, minute } = wall(atMs)
    return points.map(([point, read]) => `${year}-${month}-${day} ${hour}:${minute},${point},${read(values)}`)
  })
  return {
    name: 'atrium-pool-long.csv',
    shows: 'One row for each channel and value, the channel named in a column.',
    text: lines(['when,point,reading', ...body]),
  }
}

function twoBodies(pool: Row[], spa: Row[]): ExampleFile {
  const of = (name: string) => (row: Row) => ({ name, ...row })
  const rows = [...pool.map(of('ATRIUM POOL')), ...spa.map(of('ATRIUM SPA'))].sort((a, b) => a.atMs - b.atMs)
  const body = rows.map(({ name, atMs, values: v }) => {
    const { year, month, day, hour, minute } = wall(atMs)
    return [
      name,
      `${year}-${month}-${day} ${hour}:${minute}`,
      v.ph.toFixed(2),
      v.orpMv,
      v.tempC.toFixed(1),
      v.flowOn,
      v.sanitizerFeedPct,
      v.phFeedPct,
    ].join('|')
  })
  return {
    name: 'atrium-two-bodies.txt',
    shows: 'Two bodies of water in one file, told apart by a column; bars between the columns.',
    text: lines(['water|time|ph|orp_mv|temp_c|flow|sanitizer_feed_pct|ph_feed_pct', ...body]),
  }
}

function messy(rows: Row[]): ExampleFile {
  const good = rows.map(({ atMs, values: v }) => {
    const { year, month, day, hour, minute } = wall(atMs)
    return [
      `${year}-${month}-${day} ${hour}:${minute}`,
      v.ph.toFixed(2),
      v.orpMv,
      v.tempC.toFixed(1),
      onOff(v.flowOn),
      v.sanitizerFeedPct,
      v.phFeedPct,
    ]
  })
  const change = (row: number, column: number, value: string) => {
    const cells = good[row]
    if (cells) cells[column] = value
  }
  change(20, 1, '74.2')
  change(21, 1, '-1')
  change(35, 2, '7l2')
  change(50, 3, '290')
  change(64, 5, '140')
  change(80, 0, '2026-13-21 02:10')
  change(81, 0, 'yesterday')
  change(95, 4, 'maybe')
  good.splice(120, 0, good[119] as (string | number)[], good[118] as (string | number)[])
  const late = good.splice(150, 6)
  good.splice(200, 0, ...late)
  good.splice(220, 0, ['2026-11-21'], ['# memory card changed'])
  const body = good.map((cells) => cells.join(','))
  const whole = lines(['time,pH,ORP mV,Temp C,Flow,Chlorine feed %,Acid feed %', ...body])
  return {
    name: 'terrace-pool-messy.csv',
    shows:
      'Impossible and unreadable values, a month 13, rows twice, rows out of order, a stray remark, and the last row cut off.',
    text: whole.slice(0, -17),
  }
}

/** In the night to 1 November 2026 the clocks of this zone go back: one o'clock comes twice. */
const AUTUMN_FROM_MS = Date.UTC(2026, 9, 31, 17)

function autumnNight(rows: Row[]): ExampleFile {
  const body = rows.map(({ atMs, values: v }) => {
    const { year, month, day, hour, minute } = wall(atMs)
    return [
      `${month}/${day}/${year} ${hour}:${minute}`,
      v.ph.toFixed(2),
      v.orpMv,
      v.tempC.toFixed(1),
      onOff(v.flowOn),
      v.sanitizerFeedPct,
      v.phFeedPct,
    ].join(',')
  })
  return {
    name: 'terrace-pool-autumn-night.csv',
    shows: 'Local time without an offset through the night in which the clocks go back: one o’clock comes twice.',
    text: body.length ? lines(['Local time,pH,ORP (mV),Temp (°C),Flow,Chlorine feed (%),Acid feed (%)', ...body]) : '',
  }
}

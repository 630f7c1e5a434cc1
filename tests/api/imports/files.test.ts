// How files are written, and what of them comes in: detection, units, clocks, blanks, damage.
import type { Layout } from '@sightglass/contract'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { PlainSample } from '../samples/plain-hours.ts'
import { storedSamples } from '../samples/stored.ts'
import { bringIn, check, type ImportApi, only, place, startImportApi, upload } from './exports.ts'

let api: ImportApi
beforeAll(async () => {
  api = await startImportApi()
})
afterAll(() => api.stop())

const HEADER = 'Time,pH,ORP mV'
const rowsFrom = <Row>(count: number, row: (index: number) => Row) => Array.from({ length: count }, (_, i) => row(i))
const two = (value: number) => String(value).padStart(2, '0')
/** A few plain rows, so that a file is recognised whatever the special row in it is. */
const plain = (count = 12) =>
  rowsFrom(count, (i) => `2026-11-20 0${Math.floor(i / 6)}:${two((i % 6) * 5)},7.4${i % 10},70${i % 10}`)

interface Read {
  samples: PlainSample[]
  rejects: [line: number, column: string | null, value: string | null, reason: string][]
  counts: Record<string, unknown> | null
  state: string
  failure: string | null
  proposal: Layout
}

/** Imports a file for a facility with one body and tells what came of it. */
async function read(
  content: string | Buffer,
  {
    change = (layout: Layout) => layout,
    timeZone = 'Etc/UTC',
  }: { change?: (layout: Layout) => Layout; timeZone?: string } = {},
): Promise<Read> {
  const { facilityId, bodies } = await place(api, ['Lap pool'], { timeZone })
  const { uploaded, done } = await bringIn(api, facilityId, content, change)
  return {
    samples: await storedSamples(api, only(bodies)),
    rejects: done.firstRejects.map(({ line, column, value, reason }) => [line, column, value, reason]),
    counts: done.counts,
    state: done.state,
    failure: done.failure,
    proposal: uploaded.detection?.proposal as Layout,
  }
}
const file = (lines: readonly string[], ending = '\n') => lines.join(ending) + ending
const first = ({ samples }: Read) => samples[0]
const utc = (text: string) => Date.parse(text)

describe('letters and lines', () => {
  const text = file([HEADER, ...plain()])
  const wide = Buffer.from(`\uFEFF${text}`, 'utf16le')
  it.each([
    ['UTF-8 with a byte-order mark', Buffer.from(`\uFEFF${text}`), 'utf-8', true, 'LF'],
    ['CRLF', Buffer.from(text.replaceAll('\n', '\r\n')), 'utf-8', false, 'CRLF'],
    ['CR alone', Buffer.from(text.replaceAll('\n', '\r')), 'utf-8', false, 'CR'],
    ['UTF-16, little-endian, marked', wide, 'utf-16le', true, 'LF'],
    ['UTF-16, little-endian, unmarked', wide.subarray(2), 'utf-16le', false, 'LF'],
    ['UTF-16, big-endian', Buffer.from(wide).swap16(), 'utf-16be', true, 'LF'],
    ['Windows-1252', Buffer.from(text.replace('pH', 'Wärme °C'), 'latin1'), 'windows-1252', false, 'LF'],
  ])('%s', async (_, content, encoding, byteOrderMark, lineEnding) => {
    const { facilityId, bodies } = await place(api, ['Lap pool'], { timeZone: 'Etc/UTC' })
    const { uploaded, done } = await bringIn(api, facilityId, content)
    expect(uploaded.detection).toMatchObject({ encoding, byteOrderMark, lineEnding })
    expect(done).toMatchObject({ state: 'done', counts: { rows: 12, stored: 12, rejected: 0 } })
    expect((await storedSamples(api, only(bodies)))[0]).toMatchObject({
      atMs: utc('2026-11-20T00:00Z'),
      values: { orpMv: 700 },
    })
  })

  it.each([
    ['comma', ','],
    ['semicolon', ';'],
    ['tab', '\t'],
    ['bar', '|'],
  ])('%s between the cells', async (_, delimiter) => {
    const result = await read(text.replaceAll(',', delimiter))
    expect(result.proposal.delimiter).toBe(delimiter)
    expect(result.counts).toMatchObject({ stored: 12, rejected: 0 })
  })

  it('decimal comma with semicolons', async () => {
    const result = await read(
      file(['Zeit;pH;Redox mV', ...plain().map((row) => row.replaceAll(',', ';').replaceAll('.', ','))]),
    )
    expect(result.proposal).toMatchObject({ delimiter: ';', decimal: ',' })
    expect(first(result)?.values).toEqual({ ph: 7.4, orpMv: 700 })
  })

  it('quoted cells, also with the separator inside of them', async () => {
    const quoted = plain().map((row) =>
      row
        .split(',')
        .map((cell) => `"${cell}"`)
        .join(','),
    )
    const result = await read(file(['"Time","pH","ORP, mV"', ...quoted]))
    expect(result.proposal.columnNames).toEqual(['Time', 'pH', 'ORP, mV'])
    expect(result.counts).toMatchObject({ stored: 12, rejected: 0 })
  })

  it('lines above the column names, repeated names, empty lines: none of them is a row', async () => {
    const [one = '', ...rest] = plain()
    const result = await read(
      file(['Plant report', 'Site: north, basement', '', HEADER, one, '', 'TIME, ph ,orp mv', ...rest, ',,']),
    )
    expect(result.proposal.headerLine).toBe(4)
    expect(result.counts).toMatchObject({ rows: 12, stored: 12, rejected: 0 })
  })

  it('no column names at all: a person says what they are', async () => {
    const { facilityId, bodies } = await place(api, ['Lap pool'], { timeZone: 'Etc/UTC' })
    const uploaded = await upload(api, facilityId, file(plain()))
    expect(uploaded.detection).toMatchObject({ headerLine: null, proposal: null })
    const checked = await check(api, uploaded.id, {
      encoding: 'utf-8',
      delimiter: ',',
      decimal: '.',
      headerLine: null,
      columnNames: ['', '', ''],
      time: { dateColumn: 0, timeColumn: null, order: 'ymd', zone: 'Etc/UTC' },
      keyColumn: null,
      columns: [{ column: 1, key: null, bodyId: only(bodies), quantity: 'ph', unit: 'asStored' }],
    })
    expect(checked).toMatchObject({ state: 'checked', counts: { rows: 12, stored: 12, rejected: 0 } })
  })
})

describe('units', () => {
  const one = async (name: string, cell: string, change?: (layout: Layout) => Layout) =>
    first(
      await read(file([`Time,pH,${name}`, ...rowsFrom(12, (i) => `2026-11-20 00:${two(i * 5)},7.4,${cell}`)]), {
        change,
      }),
    )?.values

  it.each([
    ['Temp (°F)', '81.5', { tempC: 27.5 }],
    ['Temp', '81.5', { tempC: 27.5 }],
    ['Temp °C', '27.5', { tempC: 27.5 }],
    ['Water (°F)', '81.5', { tempC: 27.5 }],
    ['Loop ℃', '27.5', { tempC: 27.5 }],
    ['Return deg F', '81.5', { tempC: 27.5 }],
    ['ORP (V)', '0.725', { orpMv: 725 }],
    ['ORP', '0.725', { orpMv: 725 }],
    ['ORP', '725', { orpMv: 725 }],
    ['Flow (gpm)', '100', { flowLMin: 378.54 }],
    ['Flow m3/h', '30', { flowLMin: 500 }],
    ['Flow L/min', '450', { flowLMin: 450 }],
    ['Chlorine feed %', '12.5', { sanitizerFeedPct: 12.5 }],
    ['Chlorine pump', '0.125', { sanitizerFeedPct: 12.5 }],
    ['Acid pump', 'on', { phFeedPct: 100 }],
    ['Backup chlorine feed %', '3', { backupFeedPct: 3 }],
    ['ORP set point', '720', { orpSetPointMv: 720 }],
    ['pH setpoint', '7.4', { phSetPoint: 7.4 }],
    ['Free chlorine ppm', '2.5', { freeChlorineMgL: 2.5 }],
    ['Temp', '27.5 C', { tempC: 27.5 }],
  ])('%s %s', async (name, cell, values) => {
    const read = await one(name, cell)
    for (const [quantity, value] of Object.entries(values)) expect(read?.[quantity as 'tempC']).toBeCloseTo(value, 2)
  })

  // gallon = 231 in³ exactly (NIST Handbook 44, Appendix C), inch = 2.54 cm exactly: 3.785411784 L
  it('counts a US gallon as NIST Handbook 44 has it', async () => {
    expect((await one('Flow (gpm)', '1000'))?.flowLMin).toBeCloseTo(3785.411784, 3)
  })

  it.each(['ON', 'on', '1', 'yes', 'TRUE', 'Running'])('%s is on', async (word) => {
    expect((await one('Flow switch', word))?.flowOn).toBe(1)
  })
  it.each(['OFF', '0', 'no', 'False', 'stopped', 'no flow'])('%s is off', async (word) => {
    expect((await one('Flow switch', word))?.flowOn).toBe(0)
  })

  it('asks what open and closed mean, and reads them as it is told', async () => {
    const { facilityId, bodies } = await place(api, ['Lap pool'], { timeZone: 'Etc/UTC' })
    const rows = rowsFrom(12, (i) => `2026-11-20 00:${two(i * 5)},7.4,${i < 6 ? 'closed' : 'Open'}`)
    const { detection } = await upload(api, facilityId, file(['Time,pH,Flow switch', ...rows]))
    expect(detection?.questions).toEqual([expect.stringContaining('open and closed')])
    expect(detection?.proposal?.columns.map(({ quantity }) => quantity)).toEqual(['ph'])
    const target = { column: 2, key: null, bodyId: only(bodies), quantity: 'flowOn' } as const
    for (const [unit, expected] of [
      ['closedIsOn', 1],
      ['openIsOn', 0],
    ] as const) {
      const result = await read(file(['Time,pH,Flow switch', ...rows]), {
        change: (layout) => ({
          ...layout,
          columns: [...layout.columns, { ...target, bodyId: layout.columns[0]?.bodyId as string, unit }],
        }),
      })
      expect(first(result)?.values.flowOn).toBe(expected)
    }
    const plainly = await read(file(['Time,pH,Flow switch', ...rows]), {
      change: (layout) => ({
        ...layout,
        columns: [{ ...target, bodyId: layout.columns[0]?.bodyId as string, unit: 'onOff' }],
      }),
    })
    expect(plainly.rejects[0]).toEqual([2, 'Flow switch', 'closed', expect.stringContaining('open or closed')])
  })

  it('refuses a value whose own unit is not that of the layout', async () => {
    const result = await read(file(['Time,pH,Temp °C', ...plain().map((row) => row.replace(/70\d$/, '81 F'))]))
    expect(result.rejects[0]).toEqual([2, 'Temp °C', '81 F', expect.stringContaining('choose the unit')])
  })
})

describe('times', () => {
  const at = (times: readonly string[], options: Parameters<typeof read>[1] = {}) =>
    read(file([HEADER, ...times.map((time) => `${time},7.4,700`)]), options)
  const stored = ({ samples }: Read) => samples.map(({ atMs }) => new Date(atMs).toISOString())

  it.each([
    ['2026-11-20T06:05:00Z', '2026-11-20T06:05:00.000Z'],
    ['2026-11-20T06:05:00.250-06:00', '2026-11-20T12:05:00.250Z'],
    ['2026-11-20 06:05:30 +0530', '2026-11-20T00:35:30.000Z'],
    ['2026/11/20 6:05', '2026-11-20T06:05:00.000Z'],
    ['20.11.2026 06:05', '2026-11-20T06:05:00.000Z'],
    ['20.11.26 06:05', '2026-11-20T06:05:00.000Z', 'dmy'],
    ['11/20/2026 6:05 PM', '2026-11-20T18:05:00.000Z'],
    ['11/20/2026 12:05:00 AM', '2026-11-20T00:05:00.000Z'],
    ['11/20/2026 12:05 p.m.', '2026-11-20T12:05:00.000Z'],
    ['20 Nov 2026 06:05', '2026-11-20T06:05:00.000Z'],
    ['20-NOV-26 06:05', '2026-11-20T06:05:00.000Z'],
    ['Nov 20 2026 6:05 PM', '2026-11-20T18:05:00.000Z'],
    ['20261120 060500', '2026-11-20T06:05:00.000Z'],
    ['20261120060500', '2026-11-20T06:05:00.000Z'],
    ['1795154700', '2026-11-20T06:05:00.000Z'],
    ['1795154700000', '2026-11-20T06:05:00.000Z'],
    ['2026-11-20 24:00', '2026-11-21T00:00:00.000Z'],
  ])('%s', async (written, expected, order?: string) => {
    const result = await at([written], {
      change: (layout) => (order ? { ...layout, time: { ...layout.time, order: order as 'dmy' } } : layout),
    })
    expect(stored(result)).toEqual([expected])
  })

  it('in two columns, on a 12-hour clock', async () => {
    const rows = ['11/20/2026,12:55 AM', '11/20/2026,1:00 AM', '11/20/2026,12:55 PM', '11/20/2026,1:00 PM']
    const result = await read(file(['Date,Time,pH,ORP mV', ...rows.map((row) => `${row},7.4,700`)]))
    expect(result.proposal.time).toMatchObject({ dateColumn: 0, timeColumn: 1, order: 'mdy' })
    expect(stored(result).map((time) => time.slice(11, 16))).toEqual(['00:55', '01:00', '12:55', '13:00'])
  })

  it('asks for the order of day and month when the rows fit both, and takes what a person says', async () => {
    const days = rowsFrom(10, (i) => `0${1 + (i % 9)}/0${1 + ((i + 4) % 9)}/2026 06:05`)
    const { facilityId } = await place(api, ['Lap pool'])
    const { detection } = await upload(api, facilityId, file([HEADER, ...days.map((time) => `${time},7.4,700`)]))
    expect(detection).toMatchObject({
      dateOrderAmbiguous: true,
      questions: [expect.stringContaining('order of day and month')],
    })
    const order = (order: 'dmy' | 'mdy') => ({
      change: (layout: Layout) => ({ ...layout, time: { ...layout.time, order } }),
    })
    expect(stored(await at(['01/05/2026 06:05'], order('dmy')))).toEqual(['2026-05-01T06:05:00.000Z'])
    expect(stored(await at(['01/05/2026 06:05'], order('mdy')))).toEqual(['2026-01-05T06:05:00.000Z'])
  })

  it('knows the order when the other one would lie in the future, or when a late row shows it', async () => {
    expect((await at(['11/12/2026 06:05', '11/11/2026 06:05'])).proposal.time.order).toBe('mdy')
    const many = rowsFrom(20_000, (i) => `0${1 + (i % 9)}/01/2026 ${two(i % 24)}:05`)
    expect((await at([...many, '21/01/2026 06:05'])).proposal.time.order).toBe('dmy')
  })

  it.each([
    ['2026-13-20 06:05', 'month 13'],
    ['2026-02-30 06:05', 'no day 30'],
    ['2026-11-20 25:05', 'no such time of day'],
    ['2026-11-20', 'no time of day'],
    ['yesterday', 'not a date'],
    ['', 'There is no time'],
    ['2026-11-27 06:05', 'clock: '],
    ['1999-12-31 06:05', 'clock: '],
  ])('leaves out a row of %s', async (written, reason) => {
    const result = await read(file([HEADER, ...plain(), `${written},7.4,700`]))
    expect(result.counts).toMatchObject({ rows: 13, stored: 12, rejected: 1 })
    expect(result.rejects).toEqual([[14, 'Time', written, expect.stringContaining(reason)]])
  })

  it('takes a clock that runs up to a day ahead', async () => {
    expect((await at([...plain().map((row) => row.slice(0, 16)), '2026-11-26 05:00'])).counts).toMatchObject({
      rejected: 0,
    })
  })
})

describe('the nights in which the clocks change', () => {
  // 2026 in the United States: 8 March and 1 November, 2:00 local time (15 U.S.C. 260a); Europe/Berlin: 29 March and
  // 25 October, 1:00 UTC (Directive 2000/84/EC)
  const night = (day: string, from: number, to: number, step = 20) => {
    const times: string[] = []
    for (let minute = from; minute < to; minute += step)
      times.push(`${day} ${two(Math.floor(minute / 60))}:${two(minute % 60)}`)
    return times
  }
  const withTimes = (times: readonly string[], timeZone: string, change?: (layout: Layout) => Layout) =>
    read(file([HEADER, ...times.map((time) => `${time},7.4,700`)]), { timeZone, change })
  const autumn = [...night('2026-11-01', 0, 120), ...night('2026-11-01', 60, 180)]
  const expected = rowsFrom(12, (i) => utc('2026-11-01T05:00Z') + i * 20 * 60_000)

  it('in autumn the hour that comes twice is told apart by the order of rows', async () => {
    const { samples, counts } = await withTimes(autumn, 'America/Chicago')
    expect(samples.map(({ atMs }) => atMs)).toEqual(expected)
    expect(counts).toMatchObject({ stored: 12, differing: 0, rejected: 0 })
  })

  it('also in a file that goes backward', async () => {
    const backward = [...autumn, ...night('2026-11-01', 180, 240)].reverse()
    const { samples } = await withTimes(backward, 'America/Chicago')
    expect(samples.map(({ atMs }) => atMs).slice(0, 12)).toEqual(expected)
    expect(samples).toHaveLength(15)
  })

  it('also for several bodies in one file', async () => {
    const { facilityId, bodies } = await place(api, ['Lap pool', 'Kiddie spa'])
    const rows = autumn.flatMap((time) => [`Lap pool,${time},7.4`, `Kiddie spa,${time},7.6`])
    const { done } = await bringIn(api, facilityId, file(['Water,Time,pH', ...rows]))
    expect(done.counts).toMatchObject({ stored: 24, same: 0, rejected: 0 })
    for (const body of bodies) expect((await storedSamples(api, body)).map(({ atMs }) => atMs)).toEqual(expected)
  })

  it('also where it is another night and hour', async () => {
    const rows = [...night('2026-10-25', 60, 180), ...night('2026-10-25', 120, 240)]
    const { samples } = await withTimes(rows, 'Europe/Berlin')
    expect(samples.map(({ atMs }) => atMs)).toEqual(rowsFrom(12, (i) => utc('2026-10-24T23:00Z') + i * 20 * 60_000))
  })

  it('in spring the hour that is left out is rejected with the reason and the way out', async () => {
    const result = await withTimes(night('2026-03-08', 60, 240), 'America/Chicago')
    expect(result.samples.map(({ atMs }) => atMs)).toEqual([
      ...rowsFrom(3, (i) => utc('2026-03-08T07:00Z') + i * 20 * 60_000),
      ...rowsFrom(3, (i) => utc('2026-03-08T08:00Z') + i * 20 * 60_000),
    ])
    expect(result.rejects.map(([line]) => line)).toEqual([5, 6, 7])
    expect(result.rejects[0]?.[3]).toContain('Etc/GMT+6')
  })

  it('a clock that never changes has all its hours once', async () => {
    const fixed = (layout: Layout) => ({ ...layout, time: { ...layout.time, zone: 'Etc/GMT+6' } })
    const spring = await withTimes(night('2026-03-08', 60, 240), 'America/Chicago', fixed)
    expect(spring.samples.map(({ atMs }) => atMs)).toEqual(
      rowsFrom(9, (i) => utc('2026-03-08T07:00Z') + i * 20 * 60_000),
    )
  })

  it('a time with its offset needs no zone', async () => {
    const { samples } = await withTimes(['2026-11-01T01:30:00-05:00', '2026-11-01T01:30:00-06:00'], 'America/Chicago')
    expect(samples.map(({ atMs }) => atMs)).toEqual([utc('2026-11-01T06:30Z'), utc('2026-11-01T07:30Z')])
  })
})

describe('cells', () => {
  it.each(['', ' ', '---', '--', '-', 'N/A', 'n/a', '*', '***', 'NaN', 'null', '?'])(
    '“%s” is no value, and the rest of the row comes in',
    async (blank) => {
      const result = await read(file([HEADER, ...plain(), `2026-11-21 06:05,${blank},745`]))
      expect(result.counts).toMatchObject({ stored: 13, rejected: 0 })
      expect(result.samples.at(-1)?.values).toEqual({ orpMv: 745 })
    },
  )

  it('a row without any value is a row, and nothing to store', async () => {
    const result = await read(file([HEADER, ...plain(), '2026-11-21 06:05,---,']))
    expect(result.counts).toMatchObject({ rows: 13, stored: 12, rejected: 0 })
  })

  it.each([
    ['7l4', 'not a number'],
    ['7..4', 'not a number'],
    ['0x7', 'not a number'],
    ['Infinity', 'not a number'],
    ['77', 'Did you mean 7.7?'],
    ['-1', 'outside 0 to 14'],
    ['<7.2', 'not a number'],
  ])('a row with pH %s is left out', async (cell, reason) => {
    const result = await read(file([HEADER, ...plain(), `2026-11-21 06:05,${cell},745`]))
    expect(result.rejects).toEqual([[14, 'pH', cell, expect.stringContaining(reason)]])
    expect(result.counts).toMatchObject({ rows: 13, stored: 12, rejected: 1 })
  })

  it('thousands separators are refused clearly', async () => {
    const points = await read(
      file([
        'Time;pH;ORP mV',
        ...plain().map((row) => row.replaceAll(',', ';')),
        '2026-11-21 06:05;7.4;1,234.5',
        '2026-11-21 06:10;7.4;1,234',
      ]),
    )
    expect(points.rejects.map(([line, column, , reason]) => [line, column, reason])).toEqual([
      [14, 'ORP mV', expect.stringContaining('thousands separator')],
      [15, 'ORP mV', expect.stringContaining('decimal sign')],
    ])
    const commas = await read(
      file([
        'Time;pH;ORP mV',
        ...plain().map((row) => row.replaceAll(',', ';').replace('7.4', '7,4')),
        '2026-11-21 06:05;7,4;1.234,5',
      ]),
    )
    expect(commas.rejects).toEqual([[14, 'ORP mV', '1.234,5', expect.stringContaining('thousands separator')]])
  })

  it('a separator inside of a value shows by the number of cells', async () => {
    const result = await read(file([HEADER, ...plain(), '2026-11-21 06:05,7.4,1,234']))
    expect(result.rejects).toEqual([
      [14, null, '2026-11-21 06:05,7.4,1,234', expect.stringContaining('4 cells for 3 columns')],
    ])
  })

  it('empty cells behind the last column do no harm', async () => {
    expect((await read(file([`${HEADER},`, ...plain().map((row) => `${row},`)]))).counts).toMatchObject({
      stored: 12,
      rejected: 0,
    })
  })
})

describe('records of several lines', () => {
  const noted = (row: string) => `${row},"checked\nby hand, ""twice""\n\nand noted"`
  const NOTED = `${HEADER},Note`
  const quiet = (row: string) => `${row},`

  it('in a cell are read as one row', async () => {
    const [one = '', two = '', ...rest] = plain()
    const result = await read(file([NOTED, noted(one), two.concat(',"short"'), ...rest.map(quiet)]))
    expect(result.proposal).toMatchObject({ headerLine: 1, columnNames: ['Time', 'pH', 'ORP mV', 'Note'] })
    expect(result.counts).toMatchObject({ rows: 12, stored: 12, rejected: 0 })
  })

  it.each(['\n', '\r\n', '\r'])('in the column names are one line of names, which ends with %j', async (ending) => {
    const names = 'Time,"pH\n(basin)","ORP\nmV"'.replaceAll('\n', ending)
    const result = await read(file(['Plant report', names, ...plain()], ending))
    expect(result.proposal).toMatchObject({ headerLine: 2, columnNames: ['Time', 'pH (basin)', 'ORP mV'] })
    expect(result.counts).toMatchObject({ rows: 12, stored: 12, rejected: 0 })
  })

  it('keep the numbers of the lines where they begin', async () => {
    const [one = '', ...rest] = plain()
    const bad = '2026-11-21 06:05,wet,700'
    const result = await read(file(['Time,pH,"ORP\nmV",Note', noted(one), noted(bad), ...rest.map(quiet), `${bad},`]))
    expect(result.rejects.map(([line, column]) => [line, column])).toEqual([
      [7, 'pH'],
      [22, 'pH'],
    ])
    expect(result.counts).toMatchObject({ rows: 14, stored: 12 })
  })

  it('may stand anywhere in a long file', async () => {
    const rows = rowsFrom(6000, (i) => `${new Date(Date.UTC(2026, 10, 1) + i * 60_000).toISOString()},7.4,700`)
    const result = await read(file([NOTED, ...rows.map(noted)]))
    expect(result.counts).toMatchObject({ rows: 6000, stored: 6000, rejected: 0 })
  })

  it('are not made of rows between two stray quotation marks', async () => {
    const rows = plain()
    const stray = [`${rows[0]},"ok`, ...rows.slice(1, 4).map(quiet), `${rows[4]},ok"`, ...rows.slice(5).map(quiet)]
    const result = await read(file([NOTED, ...stray]))
    expect(result.rejects.map(([line, , , reason]) => [line, reason])).toEqual([
      [2, expect.stringContaining('quotation mark')],
    ])
    expect(result.counts).toMatchObject({ rows: 12, stored: 11 })
  })
})

describe('damage', () => {
  it('a file cut off in the middle of a row', async () => {
    const result = await read(`${file([HEADER, ...plain()])}2026-11-21 06:05,7.`)
    expect(result.rejects).toEqual([[14, null, '2026-11-21 06:05,7.', expect.stringContaining('cut off')]])
    expect(result.counts).toMatchObject({ rows: 13, stored: 12 })
  })

  it('a last row without its line end is whole when all its cells are there', async () => {
    expect((await read(file([HEADER, ...plain()]).trimEnd())).counts).toMatchObject({ stored: 12, rejected: 0 })
  })

  it('a line of totals at the end', async () => {
    const result = await read(file([HEADER, ...plain(), 'Average,7.44,704']))
    expect(result.rejects).toEqual([[14, 'Time', 'Average', expect.stringContaining('not a date')]])
  })

  it('a quotation mark that is not closed takes its line and no other', async () => {
    const rows = plain()
    const result = await read(
      file([HEADER, ...rows.slice(0, 6), '2026-11-21 06:05,"7.4,700', ...rows.slice(6), '2026-11-21 06:10,"7.4",700']),
    )
    expect(result.rejects).toEqual([[8, null, '2026-11-21 06:05,"7.4,700', expect.stringContaining('quotation mark')]])
    expect(result.counts).toMatchObject({ rows: 14, stored: 13, rejected: 1 })
  })

  it('binary rubbish and an endless line among the rows', async () => {
    const [one = '', other = ''] = plain()
    // far behind what the detection looks at
    const content = Buffer.concat([
      Buffer.from(file([HEADER, ...rowsFrom(15_000, () => one)])),
      Buffer.from([0, 1, 2, 255, 0, 10]),
      Buffer.alloc(300_000, 'x'),
      Buffer.from(`\n${other}\n`),
    ])
    const result = await read(content)
    expect(result.counts).toMatchObject({ rows: 15_003, stored: 2, same: 14_999, rejected: 2 })
    expect(result.rejects.map(([line, , , reason]) => [line, reason])).toEqual([
      [15_002, expect.stringContaining('not text')],
      [15_003, expect.stringContaining('not text')],
    ])
  })

  it('duplicate rows and rows out of order change nothing', async () => {
    const rows = plain()
    const result = await read(file([HEADER, ...rows.slice(6), ...rows.slice(0, 6), ...rows.slice(2, 5)]))
    expect(result.samples.map(({ atMs }) => atMs)).toEqual(
      rows.map((row) => utc(`${row.slice(0, 10)}T${row.slice(11, 16)}Z`)),
    )
    expect(result.counts).toMatchObject({ rows: 15, stored: 12, same: 3, differing: 0, rejected: 0 })
  })
})

describe('long layouts', () => {
  it('join the channels of one time, however the rows are sorted', async () => {
    const times = rowsFrom(40, (i) => `2026-11-20 ${two(Math.floor(i / 12))}:${two((i % 12) * 5)}`)
    const byTime = times.flatMap((time) => [`${time},PH-1,7.4`, `${time},ORP-1,700`])
    const byChannel = [...times.map((time) => `${time},PH-1,7.4`), ...times.map((time) => `${time},ORP-1,700`)]
    for (const rows of [byTime, byChannel]) {
      const result = await read(file(['when,point,reading', ...rows]))
      expect(result.counts).toMatchObject({ rows: 80, stored: 40, same: 0, differing: 0 })
      expect(result.samples.every(({ values }) => values.ph === 7.4 && values.orpMv === 700)).toBe(true)
    }
  })

  it('say which words go nowhere, once for each, with the number of rows', async () => {
    const times = rowsFrom(12, (i) => `2026-11-20 00:${two(i * 5)}`)
    const rows = times.flatMap((time) => [`${time},PH-1,7.4`, `${time},ORP-1,700`, `${time},AUX-9,3`])
    const result = await read(file(['when,point,reading', ...rows, '2026-11-20 02:00,,5']))
    expect(result.rejects).toEqual([
      [4, 'point', 'AUX-9', expect.stringContaining('12 rows')],
      [38, 'point', '', expect.stringContaining('does not say')],
    ])
  })
})

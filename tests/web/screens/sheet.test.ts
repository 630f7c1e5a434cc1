import { describe, expect, it } from 'vitest'
import {
  columnsFor,
  nextCell,
  pastedCells,
  pasteInto,
  readSheet,
  type Sheet,
  type SheetRow,
  sheetInSystem,
  troublesOf,
} from '../../../apps/web/screens/sheet/sheet.ts'
import type { EntryKey } from '../../../apps/web/shared/entry.ts'

const ZONE = 'America/Chicago'
const now = Date.parse('2026-11-25T18:00:00Z')
const row = (id: string, texts: SheetRow['texts'], part: Partial<SheetRow> = {}): SheetRow => ({
  id,
  bodyId: `body of ${id}`,
  time: '06:15',
  texts,
  confirmed: [],
  ...part,
})
const sheet = (rows: SheetRow[], part: Partial<Sheet> = {}): Sheet => ({
  facilityId: 'f',
  date: '2026-11-25',
  person: 'D. Fenn',
  method: 'dropTest',
  rows,
  columns: ['freeChlorineMgL', 'ph', 'tempC'],
  system: 'us',
  ...part,
})

describe('a log sheet', () => {
  it('becomes one reading for each line that holds anything', () => {
    const read = readSheet(sheet([row('1', { ph: '7.4' }), row('2', {}), row('3', { tempC: '82' })]), ZONE, now)
    expect(read.errors).toEqual([])
    expect(read.readings.map(({ id, bodyId, at }) => [id, bodyId, at])).toEqual([
      ['1', 'body of 1', '2026-11-25T12:15:00.000Z'],
      ['3', 'body of 3', '2026-11-25T12:15:00.000Z'],
    ])
    expect(read.rowIds).toEqual(['1', '3'])
  })

  it('says each trouble at its cell', () => {
    const rows = [
      row('1', { ph: '77', tempC: 'warm' }),
      row('2', { ph: '7.4' }, { bodyId: '' }),
      row('3', { ph: '7.4' }, { time: '' }),
      row('4', { ph: '7.4' }, { time: '23:00' }),
    ]
    expect(readSheet(sheet(rows), ZONE, now).errors.map(({ rowId, key }) => [rowId, key])).toEqual([
      ['1', 'ph'],
      ['1', 'tempC'],
      ['2', 'row'],
      ['3', 'time'],
      ['4', 'time'],
    ])
  })

  it('asks once about each unusual cell', () => {
    const rows = [row('1', { ph: '9.1' }), row('2', { ph: '9.1' }, { confirmed: ['ph'] })]
    const read = readSheet(sheet(rows), ZONE, now)
    expect(read.unusual).toEqual([{ rowId: '1', key: 'ph', words: 'pH 9.1' }])
    expect(read.rowIds).toEqual(['2'])
  })

  it('is not stored without a person, a date or a value', () => {
    expect(readSheet(sheet([row('1', { ph: ' ' })], { person: '', date: '' }), ZONE, now).head).toEqual({
      person: 'must name the person',
      date: 'is not a date',
      rows: 'Every line is empty: type at least one value.',
    })
  })

  it('converts what was typed when the reader changes units', () => {
    expect(sheetInSystem(sheet([row('1', { tempC: '82' })]), 'metric').rows[0]?.texts).toEqual({ tempC: '27.8' })
  })

  it('begins with the columns that its bodies need', () => {
    expect(columnsFor(['bromine'])).not.toContain('freeChlorineMgL')
    expect(columnsFor(['bromine', 'hypochlorite'])).toEqual(expect.arrayContaining(['bromineMgL', 'freeChlorineMgL']))
    expect(columnsFor(['hypochlorite'])).not.toContain('bromineMgL')
  })

  it('puts what the API objects to at its cell', () => {
    const problem = {
      type: '/problems/invalid',
      title: 'No',
      status: 400,
      requestId: '',
      fields: [
        { path: 'body.readings.1.values.ph', message: 'a' },
        { path: 'body.readings.0.at', message: 'b' },
        { path: 'body.readings.0.id', message: 'c' },
      ],
    }
    expect(troublesOf(problem, ['one', 'two'])).toEqual({
      errors: [
        { rowId: 'two', key: 'ph', message: 'a' },
        { rowId: 'one', key: 'time', message: 'b' },
      ],
      rest: ['c'],
    })
  })
})

describe('cells pasted from a spreadsheet', () => {
  const before = sheet([row('1', {}), row('2', { ph: '7.0' }, { confirmed: ['ph'] })])

  it('are cut at tabs and lines, whatever ends them', () => {
    expect(pastedCells('1\t2\r\n3\t\r\n')).toEqual([
      ['1', '2'],
      ['3', ''],
    ])
  })

  it('go to the right and down, and unsettle what was confirmed', () => {
    const { sheet: after, lost } = pasteInto(before, '1', 'ph', [
      ['7.4', '82'],
      ['7.5', '83'],
    ])
    expect(after.rows.map(({ texts }) => texts)).toEqual([
      { ph: '7.4', tempC: '82' },
      { ph: '7.5', tempC: '83' },
    ])
    expect(after.rows[1]?.confirmed).toEqual([])
    expect(lost).toBe(0)
  })

  it('are counted when they go beyond the sheet', () => {
    expect(pasteInto(before, '2', 'tempC', [['1', '2'], ['3']]).lost).toBe(2)
  })
})

describe('a key in a cell', () => {
  const size = { rows: 2, columns: 3 }
  const middle = { atStart: false, atEnd: false }
  it.each<[string, object, { row: number; column: number } | null]>([
    ['Enter', middle, { row: 1, column: 1 }],
    ['ArrowDown', middle, { row: 1, column: 1 }],
    ['ArrowUp', middle, null],
    ['ArrowLeft', middle, null],
    ['ArrowLeft', { atStart: true, atEnd: false }, { row: 0, column: 0 }],
    ['ArrowRight', { atStart: false, atEnd: true }, { row: 0, column: 2 }],
    ['7', middle, null],
  ])('%s with the caret at %j leads to %j', (key, caret, to) => {
    expect(nextCell({ row: 0, column: 1 }, key, size, caret as typeof middle)).toEqual(to)
  })
})

it('knows its columns by the keys of a test', () => {
  const columns: EntryKey[] = columnsFor([])
  expect(columns).toEqual(['freeChlorineMgL', 'totalChlorineMgL', 'ph', 'totalAlkalinityMgL', 'tempC'])
})

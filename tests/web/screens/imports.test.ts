import type { Body, Detection, Layout } from '@sightglass/contract'
import { describe, expect, it } from 'vitest'
import {
  draftFrom,
  layoutFrom,
  placeOf,
  rowsToMatch,
  withBody,
  withKeyColumn,
  withMatch,
} from '../../../apps/web/screens/imports/layout.ts'

const column = (index: number, name: string, guess: Detection['columns'][number]['guess'] = null) => ({
  index,
  name,
  examples: ['1'],
  guess,
})
const detection = (part: Partial<Detection> = {}): Detection => ({
  encoding: 'utf-8',
  byteOrderMark: false,
  lineEnding: 'LF',
  delimiter: ',',
  decimal: '.',
  headerLine: 1,
  columns: [
    column(0, 'water'),
    column(1, 'time', { quantity: null, unit: 'asStored', isTime: true }),
    column(2, 'ph', { quantity: 'ph', unit: 'asStored', isTime: false }),
    column(3, 'orp', { quantity: 'orpMv', unit: 'V', isTime: false }),
    column(4, 'remark'),
  ],
  dateOrder: 'ymd',
  dateOrderAmbiguous: false,
  keyWords: [{ column: 0, words: ['ATRIUM POOL', 'ATRIUM SPA'] }],
  firstRows: [],
  knownLayout: null,
  proposal: null,
  questions: [],
  ...part,
})
const body = (id: string, name: string) => ({ id, name }) as Body
const bodies = [body('pool', 'Atrium pool'), body('spa', 'Atrium spa')]
const proposal: Layout = {
  encoding: 'utf-8',
  delimiter: ',',
  decimal: '.',
  headerLine: 1,
  columnNames: ['water', 'time', 'ph', 'orp', 'remark'],
  time: { dateColumn: 1, timeColumn: null, order: 'mdy', zone: 'America/Chicago' },
  keyColumn: null,
  columns: [{ column: 2, key: null, bodyId: 'pool', quantity: 'ph', unit: 'asStored' }],
}

describe('matching a file’s columns', () => {
  it('begins with the proposal and gives it back unchanged', () => {
    const found = detection({ proposal })
    expect(layoutFrom(found, draftFrom(found, null, 'UTC'))).toEqual({ layout: proposal })
  })

  it('begins with what was detected when there is no proposal', () => {
    expect(draftFrom(detection(), null, 'America/Denver')).toMatchObject({
      dateColumn: 1,
      order: 'ymd',
      zone: 'America/Denver',
    })
  })

  it('fills in what the names say when only the body is unknown, so that one choice settles it', () => {
    const draft = draftFrom(detection(), null, 'UTC')
    const [all] = rowsToMatch(detection(), draft)
    expect(layoutFrom(detection(), draft)).toMatchObject({
      open: [expect.stringContaining('body of water'), expect.stringContaining('body of water')],
    })
    expect(layoutFrom(detection(), withBody(draft, all?.rows ?? [], 'spa'))).toMatchObject({
      layout: {
        columns: [
          { column: 2, key: null, bodyId: 'spa', quantity: 'ph', unit: 'asStored' },
          { column: 3, key: null, bodyId: 'spa', quantity: 'orpMv', unit: 'V' },
        ],
      },
    })
  })

  it('leaves a column of open and closed to be explained', () => {
    const flow = { ...column(0, 'flow', { quantity: 'flowOn', unit: 'onOff', isTime: false }), examples: ['Open', '1'] }
    expect(draftFrom(detection({ columns: [flow] }), null, 'UTC').matches).toEqual({})
  })

  it('does not take an order of dates for granted that the rows leave open', () => {
    const found = detection({ proposal, dateOrderAmbiguous: true })
    const draft = draftFrom(found, null, 'UTC')
    expect(draft.order).toBe('')
    expect(layoutFrom(found, draft)).toEqual({ open: [expect.stringContaining('order')] })
    expect(layoutFrom(found, { ...draft, order: 'dmy' })).toMatchObject({ layout: { time: { order: 'dmy' } } })
  })

  it('asks for the time where no column looks like one, and speaks of no orders that were not seen', () => {
    const found = detection({
      columns: [column(0, 'ph', { quantity: 'ph', unit: 'asStored', isTime: false }), column(1, 'when')],
      dateOrder: null,
    })
    const draft = draftFrom(found, null, 'UTC')
    expect(rowsToMatch(found, draft)[0]?.rows.map(({ name }) => name)).toEqual(['ph', 'when'])
    const { open = [] } = layoutFrom(found, draft) as { open?: string[] }
    expect(open).toContain('Choose the column of the date, or of date and time.')
    expect(open.join()).not.toContain('more than one')
  })

  it('trusts a remembered layout and one that a person chose before', () => {
    const known = detection({ proposal, dateOrderAmbiguous: true, knownLayout: { id: 'x', name: 'Terrace' } })
    expect(draftFrom(known, null, 'UTC').order).toBe('mdy')
    expect(draftFrom(detection({ dateOrderAmbiguous: true }), proposal, 'UTC').order).toBe('mdy')
  })

  it('does not offer the time or the key as a value', () => {
    const found = detection()
    const draft = { ...draftFrom(found, null, 'UTC'), keyColumn: 0 }
    expect(rowsToMatch(found, draft).map(({ key, rows }) => [key, rows.map(({ column: index }) => index)])).toEqual([
      ['ATRIUM POOL', [2, 3, 4]],
      ['ATRIUM SPA', [2, 3, 4]],
    ])
  })

  it('with a key column finds the body that each word names', () => {
    const found = detection()
    const draft = withKeyColumn(found, draftFrom(found, null, 'UTC'), 0, bodies)
    expect(draft.matches[placeOf(2, 'ATRIUM SPA')]).toEqual({ bodyId: 'spa', quantity: 'ph', unit: 'asStored' })
    const made = layoutFrom(found, draft)
    expect('layout' in made && made.layout.columns).toHaveLength(4)
  })

  it('sends all columns of a word to another body at once, leaving out what is left out', () => {
    const found = detection()
    const draft = withKeyColumn(found, draftFrom(found, null, 'UTC'), 0, bodies)
    const group = rowsToMatch(found, draft)[0]
    const moved = withBody(draft, group?.rows ?? [], 'spa')
    expect(moved.matches[placeOf(3, 'ATRIUM POOL')]?.bodyId).toBe('spa')
    expect(moved.matches[placeOf(4, 'ATRIUM POOL')]).toBeUndefined()
  })

  it('asks for the other half of a half-chosen column', () => {
    const found = detection({ proposal })
    const draft = draftFrom(found, null, 'UTC')
    const row = rowsToMatch(found, draft)[0]?.rows.find(({ name }) => name === 'orp')
    if (!row) throw new Error('no such column')
    const half = withMatch(draft, row, { quantity: 'orpMv' })
    expect(layoutFrom(found, half)).toEqual({ open: [expect.stringContaining('choose the body of water too')] })
  })

  it('refuses two columns at one place, and none at all', () => {
    const found = detection({ proposal })
    const draft = draftFrom(found, null, 'UTC')
    const row = rowsToMatch(found, draft)[0]?.rows.find(({ name }) => name === 'orp')
    if (!row) throw new Error('no such column')
    expect(layoutFrom(found, withMatch(draft, row, { quantity: 'ph', bodyId: 'pool' }))).toEqual({
      open: ['ph and orp go to the same place: leave one out.'],
    })
    expect(layoutFrom(found, { ...draft, matches: {} })).toEqual({
      open: [expect.stringContaining('at least one column')],
    })
  })

  it('takes a unit that the quantity can have when the quantity changes', () => {
    const found = detection({ proposal })
    const draft = draftFrom(found, null, 'UTC')
    const row = rowsToMatch(found, draft)[0]?.rows[0]
    if (!row) throw new Error('no such column')
    const volts = withMatch(withMatch(draft, row, { quantity: 'orpMv', unit: 'V' }), row, { quantity: 'flowOn' })
    expect(volts.matches[placeOf(row.column, null)]?.unit).toBe('onOff')
  })
})

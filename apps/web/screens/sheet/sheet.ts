import { PARAMETERS, type Parameter, type SanitizerSystem } from '@sightglass/chemistry'
import type { Method, Problem, ReadingCreate } from '@sightglass/contract'
import {
  DISPLAYS,
  type Draft,
  type EntryKey,
  inSystem,
  problemByRow,
  readDraft,
  type Texts,
  type Unusual,
} from '../../shared/entry.ts'
import { type Range, rangeText, type System, thingUnitLabel } from '../../shared/measure.ts'
import { fromLocalInput } from '../../shared/time.ts'
import { PARAMETER_SHORT } from '../../shared/words.ts'

/** One line of a paper sheet. An id of its own makes a retry the same test. */
export interface SheetRow {
  id: string
  bodyId: string
  /** Time of day on the facility's clock; the date stands at the head of the sheet. */
  time: string
  texts: Texts
  confirmed: Parameter[]
}

export interface Sheet {
  facilityId: string
  date: string
  person: string
  method: Method
  rows: SheetRow[]
  columns: EntryKey[]
  system: System
}

/** What a paper log usually holds; the others can be shown. */
export const USUAL_COLUMNS: EntryKey[] = ['freeChlorineMgL', 'totalChlorineMgL', 'ph', 'totalAlkalinityMgL', 'tempC']
export const ALL_COLUMNS: EntryKey[] = [...PARAMETERS, ...DISPLAYS]

const DISPLAY_SHORT: Record<(typeof DISPLAYS)[number], string> = {
  displayPh: 'Display pH',
  displayOrpMv: 'Display ORP',
}

export function columnTitle(key: EntryKey, system: System) {
  if (key === 'displayPh') return { title: DISPLAY_SHORT.displayPh, unit: '' }
  if (key === 'displayOrpMv') return { title: DISPLAY_SHORT.displayOrpMv, unit: 'mV' }
  return { title: PARAMETER_SHORT[key], unit: thingUnitLabel(key, system) }
}

/** Bodies on bromine need the bromine column from the start. */
export const columnsFor = (systems: SanitizerSystem[]): EntryKey[] => {
  const bromine = systems.includes('bromine')
  const chlorine = systems.length === 0 || systems.some((system) => system !== 'bromine')
  return ALL_COLUMNS.filter(
    (key) =>
      (key === 'bromineMgL' && bromine) ||
      (USUAL_COLUMNS.includes(key) && (chlorine || !['freeChlorineMgL', 'totalChlorineMgL'].includes(key))),
  )
}

export const rangeOfCell = (key: EntryKey, ranges: Partial<Record<string, Range>>, system: System) => {
  const thing = key === 'displayPh' ? 'ph' : key === 'displayOrpMv' ? 'orpMv' : key
  return rangeText(thing, ranges[thing] ?? { min: null, max: null }, system)
}

export const isEmpty = (row: SheetRow) => Object.values(row.texts).every((text) => !text?.trim())

export interface CellTrouble {
  rowId: string
  key: EntryKey | 'time' | 'row'
  message: string
}

export interface UnusualCell extends Unusual {
  rowId: string
}

export interface SheetRead {
  readings: ReadingCreate[]
  /** The row of each reading, for what the API says of it. */
  rowIds: string[]
  errors: CellTrouble[]
  unusual: UnusualCell[]
  head: { date?: string; person?: string; rows?: string }
}

/** The whole sheet as the API takes it, with every trouble at its cell. Empty lines are left out. */
export function readSheet(sheet: Sheet, zone: string, nowMs: number): SheetRead {
  const read: SheetRead = { readings: [], rowIds: [], errors: [], unusual: [], head: {} }
  if (!sheet.person.trim()) read.head.person = 'must name the person'
  if (fromLocalInput(`${sheet.date}T12:00`, zone) === null) read.head.date = 'is not a date'
  const filled = sheet.rows.filter((row) => !isEmpty(row))
  if (filled.length === 0) read.head.rows = 'Every line is empty: type at least one value.'
  for (const row of filled) {
    const entry = readDraft(draftOfRow(row, sheet), zone, nowMs)
    if (!row.bodyId) read.errors.push({ rowId: row.id, key: 'row', message: 'choose the body of water' })
    if (entry.state === 'held') {
      for (const [key, message] of Object.entries(entry.errors)) {
        const cell = key === 'at' ? 'time' : key === 'values' ? 'row' : (key as EntryKey)
        if (key !== 'person' && !(key === 'at' && read.head.date))
          read.errors.push({ rowId: row.id, key: cell, message })
      }
      read.unusual.push(...entry.unusual.map((unusual) => ({ ...unusual, rowId: row.id })))
    } else {
      read.readings.push({ ...entry.reading, bodyId: row.bodyId })
      read.rowIds.push(row.id)
    }
  }
  return read
}

export const draftOfRow = (row: SheetRow, sheet: Sheet): Draft => ({
  id: row.id,
  at: `${sheet.date}T${row.time}`,
  person: sheet.person,
  method: sheet.method,
  texts: row.texts,
  note: '',
  confirmed: row.confirmed,
  reason: '',
  system: sheet.system,
  startedMs: 0,
})

/** What is typed goes with the reader when the units change. */
export const sheetInSystem = (sheet: Sheet, system: System): Sheet =>
  sheet.system === system
    ? sheet
    : {
        ...sheet,
        system,
        rows: sheet.rows.map((row) => ({ ...row, texts: inSystem(draftOfRow(row, sheet), system).texts })),
      }

/** What the API objects to, at its cells; what belongs to none is left for the whole sheet. */
export function troublesOf(problem: Problem, rowIds: string[]): { errors: CellTrouble[]; rest: string[] } {
  const { rows, rest } = problemByRow(problem)
  const errors = [...rows].flatMap(([index, byKey]) =>
    Object.entries(byKey).map(
      ([key, message]): CellTrouble => ({
        rowId: rowIds[index] ?? '',
        key: key === 'at' ? 'time' : ALL_COLUMNS.includes(key as EntryKey) ? (key as EntryKey) : 'row',
        message: message ?? '',
      }),
    ),
  )
  return { errors, rest }
}

/** Cells copied from a spreadsheet: lines and tabs. */
export const pastedCells = (text: string): string[][] =>
  text
    .replace(/\r\n?/g, '\n')
    .replace(/\n$/, '')
    .split('\n')
    .map((line) => line.split('\t').map((cell) => cell.trim()))

/** Puts pasted cells into the sheet from one cell on, to the right and down; what goes beyond the sheet is counted. */
export function pasteInto(
  sheet: Sheet,
  rowId: string,
  key: EntryKey,
  cells: string[][],
): { sheet: Sheet; lost: number } {
  const top = sheet.rows.findIndex(({ id }) => id === rowId)
  const left = sheet.columns.indexOf(key)
  let lost = 0
  const rows = [...sheet.rows]
  cells.forEach((line, down) => {
    const row = rows[top + down]
    if (!row) {
      lost += line.filter(Boolean).length
      return
    }
    const texts = { ...row.texts }
    const pasted: EntryKey[] = []
    line.forEach((cell, right) => {
      const column = sheet.columns[left + right]
      if (column) {
        texts[column] = cell
        pasted.push(column)
      } else if (cell) lost++
    })
    rows[top + down] = { ...row, texts, confirmed: row.confirmed.filter((parameter) => !pasted.includes(parameter)) }
  })
  return { sheet: { ...sheet, rows }, lost }
}

/** Where a key leads from a cell; null when it stays a matter of the input itself. */
export function nextCell(
  at: { row: number; column: number },
  key: string,
  size: { rows: number; columns: number },
  caret: { atStart: boolean; atEnd: boolean },
): { row: number; column: number } | null {
  const to = {
    ArrowUp: { row: at.row - 1, column: at.column },
    ArrowDown: { row: at.row + 1, column: at.column },
    Enter: { row: at.row + 1, column: at.column },
    ArrowLeft: caret.atStart ? { row: at.row, column: at.column - 1 } : null,
    ArrowRight: caret.atEnd ? { row: at.row, column: at.column + 1 } : null,
  }[key]
  if (!to || to.row < 0 || to.row >= size.rows || to.column < 0 || to.column >= size.columns) return null
  return to
}

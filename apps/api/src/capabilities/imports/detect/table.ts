import { DELIMITERS, type Detection, type ImportDetect } from '@sightglass/contract'
import { invalid } from '../../../platform/problems.ts'
import { cellsOf } from '../read/cells.ts'
import type { Block } from '../read/lines.ts'
import { joinedLines } from '../read/records.ts'
import { readNumber } from '../read/values.ts'
import { timeKind } from './dates.ts'

type Delimiter = Detection['delimiter']

/** The rows of a table that begins somewhere in a text. */
export interface Table {
  delimiter: Delimiter
  headerLine: number | null
  names: string[]
  /** Cells without the spaces around them; lines that are no row of this width are left out. */
  rows: string[][]
  /** What stands above the table. */
  preamble: string[]
}

const LOOKED_AT = 200

export function detectTable(block: Block, said: Pick<ImportDetect, 'delimiter' | 'headerLine'>): Table {
  const delimiter = said.delimiter ?? detectDelimiter(block)
  const lines = rowsOf(block, delimiter)
  const named = saidHeader(block, said.headerLine)
  const width = named === undefined || named === null ? commonWidth(lines) : (lines[named] as string[]).length
  const firstOf = (isRow: (cells: readonly string[]) => boolean) =>
    lines.findIndex((cells, at) => at > (named ?? -1) && cells.length >= width && isRow(cells))
  const timed = firstOf(isData)
  const first = timed < 0 ? firstOf(hasNumbers) : timed
  const header = named === undefined ? headerBefore(lines, first < 0 ? lines.length : first, width) : named
  const rows = lines.slice(first < 0 ? lines.length : first).filter((cells) => cells.length === width)
  const names = header === null ? Array.from({ length: width }, () => '') : (lines[header] as string[]).map(onOneLine)
  const above = header ?? (first < 0 ? lines.length : first)
  return {
    delimiter,
    headerLine: header === null ? null : block.firstLine + header,
    names: names.slice(0, lastNamed(names, rows)),
    rows: rows.filter((cells) => cells.map(onOneLine).join('\n') !== names.join('\n')),
    preamble: block.lines.slice(0, above),
  }
}

const onOneLine = (cell: string) => cell.replace(/\s*\n\s*/g, ' ')

/** The place of the line that a person named; undefined when nobody did, null for a file without column names. */
function saidHeader(block: Block, headerLine: ImportDetect['headerLine']): number | null | undefined {
  if (headerLine === undefined || headerLine === null) return headerLine
  const at = headerLine - block.firstLine
  if (at < block.lines.length) return at
  const message = `is past the ${block.lines.length} lines at the beginning of the file that are looked at`
  throw invalid(`Line ${headerLine} ${message}.`, [{ path: 'body.headerLine', message }])
}

const rowsOf = (block: Block, delimiter: string) =>
  cellsOf({ ...block, lines: joinedLines(block, delimiter) }, delimiter).map((cells) =>
    (cells ?? []).map((cell) => cell.trim()),
  )

/** The sign that cuts most lines into the same number of cells. Semicolons, tabs and bars hardly ever stand in values;
 *  commas do, as decimal sign. */
function detectDelimiter(block: Block): Delimiter {
  const looked = { ...block, lines: block.lines.slice(0, LOOKED_AT).filter((line) => line.trim() !== '') }
  const shares = DELIMITERS.map((delimiter) => {
    const lines = rowsOf(looked, delimiter).filter((cells) => cells.some((cell) => cell !== ''))
    const width = commonWidth(lines)
    const share = width < 2 ? 0 : lines.filter(({ length }) => length === width).length / lines.length
    return { delimiter, share }
  })
  const best = Math.max(...shares.map(({ share }) => share))
  const rare = shares.find(({ delimiter, share }) => delimiter !== ',' && share > 0.5 && share > best - 0.3)
  return (rare ?? shares.find(({ share }) => share === best))?.delimiter ?? ','
}

function commonWidth(lines: readonly string[][]): number {
  const counts = new Map<number, number>()
  for (const { length } of lines) if (length > 1) counts.set(length, (counts.get(length) ?? 0) + 1)
  const [width] = [...counts].sort((a, b) => b[1] - a[1])[0] ?? [1]
  return width
}

/** A row of data says when, and holds something beside. */
const isData = (cells: readonly string[]) =>
  cells.some((cell) => timeKind(cell) !== null) && cells.filter((cell) => cell !== '').length > 1

/** Without a time anywhere the rows are still to be seen, so that a person is asked for the right thing. */
const hasNumbers = (cells: readonly string[]) =>
  cells.length > 1 && cells.some((cell) => !Number.isNaN(readNumber(cell.replace(',', '.'), '.')))

/** The names stand above the first row of data: the fullest line of the table's width that holds words, not numbers. */
function headerBefore(lines: readonly string[][], end: number, width: number): number | null {
  let found: number | null = null
  let most = 1
  for (let at = 0; at < end; at++) {
    const cells = lines[at] as string[]
    const words = cells.filter((cell) => cell !== '' && Number.isNaN(readNumber(cell.replace(',', '.'), '.')))
    const full = cells.filter((cell) => cell !== '').length
    if (cells.length < width || cells.length > width + 1 || words.length < full * 0.7 || words.length <= most) continue
    most = words.length
    found = at
  }
  return found
}

/** Columns without a name at the end count only where rows fill them. */
function lastNamed(names: readonly string[], rows: readonly string[][]): number {
  let width = names.length
  while (
    width > 1 &&
    names[width - 1] === '' &&
    rows.length > 0 &&
    rows.every((cells) => (cells[width - 1] ?? '') === '')
  )
    width--
  return width
}

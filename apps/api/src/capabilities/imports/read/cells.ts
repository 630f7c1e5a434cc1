import { parse } from 'csv-parse/sync'
import type { Block } from './lines.ts'

/** The cells of each line of a block, records put together before; null where a quotation mark is not closed. */
export function cellsOf({ lines, plain }: Block, delimiter: string): (string[] | null)[] {
  // most exports quote nothing, and then cutting at the delimiter is all there is to the grammar
  if (plain) return lines.map((line) => line.split(delimiter))
  const quoted = lines.filter((line) => line.includes('"'))
  const parsed = parseAll(quoted, delimiter)
  let next = 0
  return lines.map((line) => (line.includes('"') ? (parsed[next++] ?? null) : line.split(delimiter)))
}

/** What is not closed would swallow the rows below it: then each record is read for itself. */
function parseAll(lines: readonly string[], delimiter: string): (string[] | null)[] {
  const together = parseLines(lines, delimiter)
  if (together?.length === lines.length) return together
  return lines.map((line) => parseLines([line], delimiter)?.[0] ?? null)
}

/** The cells of a text that is exactly one record, with every quotation mark in its place; null when it is not. */
export function parseRecord(text: string, delimiter: string): string[] | null {
  const records = parseLines([text], delimiter, false)
  return records?.length === 1 ? (records[0] ?? null) : null
}

function parseLines(lines: readonly string[], delimiter: string, relaxed = true): string[][] | null {
  try {
    return parse(lines.join('\n'), {
      delimiter,
      record_delimiter: '\n',
      relax_column_count: true,
      relax_quotes: relaxed,
    }) as string[][]
  } catch {
    return null
  }
}

import { parse } from 'csv-parse/sync'
import type { Block } from './lines.ts'

/** The cells of each line of a block; null where a quotation mark is opened and not closed on its line. */
export function cellsOf({ lines, plain }: Block, delimiter: string): (string[] | null)[] {
  // most exports quote nothing, and then cutting at the delimiter is all there is to the grammar
  if (plain) return lines.map((line) => line.split(delimiter))
  const quoted = lines.filter((line) => line.includes('"'))
  const parsed = parseAll(quoted, delimiter)
  let next = 0
  return lines.map((line) => (line.includes('"') ? (parsed[next++] ?? null) : line.split(delimiter)))
}

/** A row of a controller is one line: what spans several would hide rows, so such lines are read one by one. */
function parseAll(lines: readonly string[], delimiter: string): (string[] | null)[] {
  const together = parseLines(lines, delimiter)
  if (together?.length === lines.length) return together
  return lines.map((line) => parseLines([line], delimiter)?.[0] ?? null)
}

function parseLines(lines: readonly string[], delimiter: string): string[][] | null {
  try {
    return parse(lines.join('\n'), {
      delimiter,
      record_delimiter: '\n',
      relax_column_count: true,
      relax_quotes: true,
    }) as string[][]
  } catch {
    return null
  }
}

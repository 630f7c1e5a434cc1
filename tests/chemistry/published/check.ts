import { readFileSync } from 'node:fs'

/** One number made by somebody else, and ours for the same inputs. */
export interface Check {
  /** Who printed or computed it, and where it was read. */
  source: string
  /** Table, row, section, page. */
  locus: string
  kind: 'published' | 'otherProgram'
  given: object
  expect: number
  ours: () => number
  /** Absolute. */
  tolerance: number
  /** Why that tolerance. */
  because: string
}

/** Rows of a table beside this file, by column name. */
export function table(name: string): Record<string, string>[] {
  const lines = readFileSync(new URL(name, import.meta.url), 'utf8')
    .trim()
    .split('\n')
  const head = (lines[0] as string).split(',')
  return lines.slice(1).map((line) => {
    const cells = line.split(',')
    return Object.fromEntries(head.map((column, index) => [column, cells[index] as string]))
  })
}

export const numbers = (row: Record<string, string>, ...columns: string[]) =>
  columns.map((column) => Number(row[column]))

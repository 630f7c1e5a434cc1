import { readFileSync } from 'node:fs'
import type { Water } from '@sightglass/chemistry'

/** One number made by somebody else, and ours for the same inputs. */
export interface Check {
  /** Who printed or computed it, and where it was read. */
  source: string
  /** What is compared, with its unit. */
  quantity: string
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

/** Water of a row: what it does not name is not in it. */
export const waterOf = (given: Partial<Water>): Water => ({
  tempC: 25,
  ph: 7.5,
  totalAlkalinityMgL: 0,
  calciumHardnessMgL: 0,
  cyanuricAcidMgL: 0,
  boronMgL: 0,
  tdsMgL: 1000,
  freeChlorineMgL: 0,
  combinedChlorineMgL: 0,
  bromineMgL: 0,
  sulfateMgL: 0,
  ...given,
})

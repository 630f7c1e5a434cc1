import type { Detection } from '@sightglass/contract'
import { isBlank, readNumber, SWITCH_WORDS } from '../read/values.ts'
import { timeKind } from './dates.ts'

const MOST_WORDS = 60

/** Columns of words that come again and again: they may say of which body or channel a row speaks. */
export function detectKeyWords(width: number, rows: readonly string[][]): Detection['keyWords'] {
  return Array.from({ length: width }, (_, column) => column).flatMap((column) => {
    const cells = rows.map((row) => row[column] ?? '').filter((cell) => cell !== '')
    const words = [...new Set(cells)]
    const isWord = (cell: string) =>
      !isBlank(cell) && timeKind(cell) === null && Number.isNaN(readNumber(cell.replace(',', '.'), '.'))
    const likely =
      cells.length > rows.length * 0.9 &&
      words.length <= Math.min(MOST_WORDS, Math.max(2, rows.length / 2)) &&
      words.filter(isWord).length >= words.length * 0.8 &&
      cells.filter((cell) => SWITCH_WORDS.has(cell.toLowerCase())).length < cells.length * 0.8
    return likely ? [{ column, words: words.filter(isWord).sort() }] : []
  })
}

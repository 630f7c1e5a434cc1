import { parseRecord } from './cells.ts'
import type { Block } from './lines.ts'

/** A note in a cell or a long column name goes over a few lines; what is open longer is a stray quotation mark. */
const MOST_LINES = 20

/** Puts records that go on over several lines together: each stands at the place of its first line, and the places of
 *  its other lines are empty, so that every record keeps the number of the line where it begins. */
export function joinedLines({ lines, plain }: Block, delimiter: string): string[] {
  if (plain) return lines
  const joined = [...lines]
  for (let at = 0; at < lines.length; at++) {
    if (!isOpen(lines[at] as string, delimiter)) continue
    const end = endOf(lines, at, delimiter)
    if (end === null) continue
    joined[at] = lines.slice(at, end).join('\n')
    joined.fill('', at + 1, end)
    at = end - 1
  }
  return joined
}

/** Where the record that begins at a line has ended; null when its quotation mark is never closed. */
function endOf(lines: readonly string[], from: number, delimiter: string): number | null {
  let text = lines[from] as string
  for (let at = from + 1; at < Math.min(lines.length, from + MOST_LINES); at++) {
    text += `\n${lines[at]}`
    if (!(lines[at] as string).includes('"') || isOpen(text, delimiter)) continue
    return isOneRecord(text, delimiter) ? at + 1 : null
  }
  return null
}

/** A stray quotation mark must not swallow rows: none of the lines inside of a cell may be as wide as a row. */
function isOneRecord(text: string, delimiter: string): boolean {
  const cells = parseRecord(text, delimiter)
  const isRow = (line: string) => line.split(delimiter).length >= (cells?.length ?? 0)
  return cells !== null && !cells.some((cell) => cell.split('\n').slice(1).some(isRow))
}

/** Whether a text ends inside of a quoted cell. */
function isOpen(text: string, delimiter: string): boolean {
  // a quotation mark inside of a quoted cell is written twice, so only an odd number can leave one open
  if (text.split('"').length % 2 === 1) return false
  for (let at = 0; at < text.length; ) {
    if (text[at] !== '"') {
      const next = text.indexOf(delimiter, at)
      if (next < 0) return false
      at = next + 1
      continue
    }
    const close = closeOf(text, at + 1)
    if (close < 0) return true
    if (text[close + 1] !== delimiter) return false
    at = close + 2
  }
  return false
}

/** The quotation mark that closes a cell; below 0 when there is none. */
function closeOf(text: string, from: number): number {
  for (let at = text.indexOf('"', from); at >= 0; at = text.indexOf('"', at + 2)) if (text[at + 1] !== '"') return at
  return -1
}

/** Holds back the end of a block while a record may go on in the next one. */
export class RecordJoiner {
  #held: string[] = []
  #next = 1
  constructor(readonly delimiter: string) {}

  add({ lines, firstLine, plain }: Block): Block {
    this.#next = firstLine + lines.length
    const all = this.#held.length > 0 ? [...this.#held, ...lines] : lines
    const whole = { lines: all, firstLine: firstLine - this.#held.length, plain: plain && this.#held.length === 0 }
    if (whole.plain) return whole
    const joined = joinedLines(whole, this.delimiter)
    const open = joined.findIndex((line, at) => at > all.length - MOST_LINES && isOpen(line, this.delimiter))
    this.#held = open < 0 ? [] : all.slice(open)
    return { ...whole, lines: open < 0 ? joined : joined.slice(0, open) }
  }

  /** What is still held back at the end of the file. */
  end(): Block {
    const lines = this.#held
    this.#held = []
    const block = { lines, firstLine: this.#next - lines.length, plain: false }
    return { ...block, lines: joinedLines(block, this.delimiter) }
  }
}

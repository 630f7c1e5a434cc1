import { open } from 'node:fs/promises'
import type { Layout } from '@sightglass/contract'

/** Whole lines of a file that follow each other. */
export interface Block {
  lines: string[]
  /** Of the first of them, from 1. */
  firstLine: number
  /** No line of the block holds a quotation mark. */
  plain: boolean
}

/** Small enough that the database is fed between two blocks. */
const BLOCK_BYTES = 64 * 1024
/** Longer than any row: what is longer is cut here and marked with NUL, so that one endless line cannot fill the memory. */
const LONGEST_LINE = 64 * 1024
const KEPT_OF_LONG = 200

/** Reads a file line by line at constant memory. Lines end with LF, CRLF or CR, also mixed; a byte-order mark is left out. */
export async function* blocksOf(
  path: string,
  encoding: Layout['encoding'],
  onBytes: (bytes: number) => void = () => undefined,
  signal?: AbortSignal,
): AsyncGenerator<Block> {
  const decoder = new TextDecoder(encoding)
  const splitter = new Splitter()
  const buffer = Buffer.allocUnsafe(BLOCK_BYTES)
  const file = await open(path)
  try {
    for (;;) {
      signal?.throwIfAborted()
      const { bytesRead } = await file.read(buffer, 0, BLOCK_BYTES)
      if (bytesRead === 0) break
      const block = splitter.add(decoder.decode(buffer.subarray(0, bytesRead), { stream: true }))
      if (block) yield block
      onBytes(bytesRead)
    }
    const last = splitter.end(decoder.decode())
    if (last) yield last
  } finally {
    await file.close()
  }
}

/** Cuts text into lines; what has no end yet waits for the next piece. */
export class Splitter {
  #rest = ''
  #next = 1

  add(text: string): Block | null {
    let whole = this.#rest + text
    // a CR at the very end may be half of a CRLF
    const half = whole.endsWith('\r') ? '\r' : ''
    if (half) whole = whole.slice(0, -1)
    const lines = linesOf(whole)
    this.#rest = shortened(lines.pop() ?? '') + half
    return this.#block(lines)
  }

  end(text: string): Block | null {
    const lines = linesOf(this.#rest + text)
    // after the last line end there is no further line
    if (lines.at(-1) === '') lines.pop()
    return this.#block(lines)
  }

  #block(lines: string[]): Block | null {
    if (lines.length === 0) return null
    const firstLine = this.#next
    this.#next += lines.length
    return { lines, firstLine, plain: !lines.some((line) => line.includes('"')) }
  }
}

const linesOf = (text: string) =>
  (text.includes('\r') ? text.replaceAll('\r\n', '\n').replaceAll('\r', '\n') : text).split('\n')

const shortened = (line: string) => (line.length > LONGEST_LINE ? `${line.slice(0, KEPT_OF_LONG)}\0` : line)

import { createWriteStream, type WriteStream } from 'node:fs'
import { rm } from 'node:fs/promises'
import { Readable } from 'node:stream'
import { finished } from 'node:stream/promises'
import type { Reject } from '@sightglass/contract'
import type pg from 'pg'
import type { Deps } from '../../platform/context.ts'
import { notFound } from '../../platform/problems.ts'
import * as q from './queries.ts'

/** Rejected rows on their way into the database: they wait in a file, so that their number costs no memory. */
export class RejectSpool {
  count = 0
  #lines: string[] = []
  readonly #file: WriteStream
  #failure: Error | undefined

  constructor(
    readonly importId: string,
    readonly path: string,
  ) {
    this.#file = createWriteStream(path)
    this.#file.on('error', (error) => {
      this.#failure = error
    })
  }

  add = ({ line, column, value, reason }: Reject) => {
    this.count++
    this.#lines.push(`${[this.importId, String(line), column, value, reason].map(copyText).join('\t')}\n`)
  }

  /** Writes what has come together; called between the blocks of a file. */
  async flush() {
    if (this.#failure) throw this.#failure
    if (this.#lines.length === 0) return
    const text = this.#lines.join('')
    this.#lines = []
    await new Promise<void>((resolve, reject) => this.#file.write(text, (error) => (error ? reject(error) : resolve())))
  }

  /** Puts the rejects of this work in the place of those of an earlier one. */
  async store(client: pg.ClientBase) {
    await this.flush()
    if (!this.#file.closed) {
      this.#file.end()
      await finished(this.#file)
    }
    await q.replaceRejects(client, this.importId, this.path)
  }

  async remove() {
    this.#file.destroy()
    await rm(this.path, { force: true })
  }
}

const ESCAPES: Record<string, string> = { '\\': '\\\\', '\t': '\\t', '\n': '\\n', '\r': '\\r' }
/** A value in PostgreSQL's copy text format, which knows no NUL. */
const copyText = (value: string | null) =>
  value === null ? '\\N' : value.replaceAll('\0', '').replace(/[\\\t\n\r]/g, (letter) => ESCAPES[letter] ?? letter)

const PAGE = 5000

/** All rejects as CSV, a page at a time. */
export async function rejectsCsv({ database }: Deps, importId: string): Promise<{ name: string; content: Readable }> {
  const row = await q.selectImport(database.pool, importId)
  if (!row) throw notFound('import', importId)
  async function* lines() {
    // the mark tells spreadsheets that it is UTF-8
    yield '\uFEFFline,column,value,reason\r\n'
    for (let line = 0; ; ) {
      const rejects = await q.selectRejectsAfter(database.pool, importId, line, PAGE)
      if (rejects.length === 0) return
      yield rejects
        .map((reject) => `${[reject.line, reject.column, reject.value, reject.reason].map(csvCell).join(',')}\r\n`)
        .join('')
      line = (rejects.at(-1) as Reject).line
    }
  }
  return {
    name: rejectsName(row.fileName),
    content: Readable.from(lines(), { objectMode: false, encoding: 'utf8' }),
  }
}

/** Named after the export, with nothing in it that a file system or a header could take for more than letters. */
const rejectsName = (fileName: string) => {
  const plain = fileName.replace(/\.[^.]*$/, '').replace(/[^\p{L}\p{N}]+/gu, '-')
  return `rejected-rows-${plain.replace(/^-|-$/g, '') || 'export'}.csv`
}

/** A cell that a spreadsheet neither splits nor takes for a formula. */
export function csvCell(value: string | number | null): string {
  const text = String(value ?? '')
  const harmless = /^[^=+\-@\t\r]/.test(text) || /^[-+]?\d+(?:[.,]\d+)?$/.test(text)
  const guarded = text === '' || harmless ? text : `'${text}`
  return /[",\r\n;]/.test(guarded) ? `"${guarded.replaceAll('"', '""')}"` : guarded
}

import { setTimeout as sleep } from 'node:timers/promises'
import type { Layout } from '@sightglass/contract'
import type pg from 'pg'
import { uuidv7 } from 'uuidv7'
import type { Context } from '../../platform/context.ts'
import { inTransaction } from '../../platform/database.ts'
import { ProblemError } from '../../platform/problems.ts'
import { type Ingested, ingestSamples, type SampleStretch } from '../samples/index.ts'
import { removeUpload, spoolPath, uploadPath } from './files.ts'
import { fingerprintOf } from './layout.ts'
import * as q from './queries.ts'
import { blocksOf } from './read/lines.ts'
import { OtherLayout, RowReader } from './read/rows.ts'
import { RejectSpool } from './rejects.ts'
import { progressOf } from './show.ts'

export interface Work {
  importId: string
  kind: 'check' | 'run'
  /** With a run: remember the layout under this name. */
  rememberAs?: string | undefined
}

export const INTERRUPTED = {
  check: 'Interrupted; nothing was stored. Check it again.',
  run: 'Interrupted; nothing was stored. Run it again.',
}

/** Reads a whole file and counts, or imports it in one transaction. What goes wrong is written down at the import. */
export async function work(context: Context, { importId, kind, rememberAs }: Work, signal: AbortSignal): Promise<void> {
  const row = await q.selectImport(context.database.pool, importId)
  if (!row?.layout) return
  const job = new Job(context, row, row.layout)
  try {
    if (kind === 'check') await job.check(signal)
    else await job.run(signal, rememberAs)
  } catch (error) {
    const failure = signal.aborted ? INTERRUPTED[kind] : failureOf(error, kind)
    if (!isExpected(error) && !signal.aborted) context.logger.error({ err: error, importId, kind }, 'an import failed')
    await job.fail(failure, signal)
  } finally {
    progressOf.delete(importId)
    await job.rejects.remove().catch(() => undefined)
  }
}

class Job {
  readonly rejects: RejectSpool
  readonly #reader: RowReader
  readonly #bodyIds: string[]

  constructor(
    readonly context: Context,
    readonly row: q.ImportRow,
    readonly layout: Layout,
  ) {
    this.rejects = new RejectSpool(row.id, spoolPath(context.config, row.id))
    this.#reader = new RowReader(layout, context.now(), this.rejects.add)
    this.#bodyIds = [...new Set(layout.columns.map(({ bodyId }) => bodyId))]
  }

  async check(signal: AbortSignal) {
    const counts = this.#counts(await ingestSamples(this.context, this.#bodyIds, this.#read(signal), { check: true }))
    await inTransaction(this.context.database.pool, (client) => this.#end(client, { state: 'checked', counts }))
  }

  async run(signal: AbortSignal, rememberAs: string | undefined) {
    await ingestSamples(this.context, this.#bodyIds, this.#read(signal), {
      alsoStore: async (client, ingested) => {
        if (rememberAs) await this.#remember(client, rememberAs)
        await this.#end(client, { state: 'done', counts: this.#counts(ingested) })
      },
    })
    await removeUpload(this.context.config, this.row.id)
  }

  /** Writes down why it failed, with the rows that were rejected until then; waits for a database that is away. */
  async fail(failure: string, signal: AbortSignal) {
    for (let attempt = 1; ; attempt++) {
      try {
        return await inTransaction(this.context.database.pool, (client) =>
          this.#end(client, { state: 'failed', failure }),
        )
      } catch (error) {
        this.context.logger.error(
          { err: error, importId: this.row.id },
          'the failure of an import cannot be written down',
        )
        // at the next start it is found and marked as interrupted
        if (attempt === ATTEMPTS || signal.aborted) return
        await sleep(attempt * 1000)
      }
    }
  }

  async #end(
    client: pg.ClientBase,
    end: { state: 'checked' | 'done' | 'failed'; counts?: q.Counts; failure?: string },
  ) {
    await this.rejects.store(client)
    await q.endWork(client, this.row.id, { ...end, at: this.context.now() })
  }

  /** The file's samples, block by block: the next is read only when these are taken. */
  async *#read(signal: AbortSignal): AsyncGenerator<SampleStretch> {
    const { id, bytes } = this.row
    let done = 0
    const onBytes = (count: number) => {
      done += count
      progressOf.set(id, Math.min(1, done / Math.max(1, bytes)))
    }
    for await (const block of blocksOf(uploadPath(this.context.config, id), this.layout.encoding, onBytes, signal)) {
      yield* this.#reader.read(block)
      await this.rejects.flush()
    }
    yield* this.#reader.end()
  }

  #counts({ stored, same, differing, bodies }: Ingested): q.Counts {
    return {
      rows: this.#reader.rows,
      stored,
      same,
      differing,
      rejected: this.rejects.count,
      bodies: bodies.map(({ bodyId, samples, fromMs, toMs }) => ({
        bodyId,
        samples,
        fromAt: new Date(fromMs).toISOString(),
        toAt: new Date(toMs).toISOString(),
      })),
    }
  }

  async #remember(client: pg.ClientBase, name: string) {
    const { layout } = this
    const at = this.context.now()
    const fingerprint = fingerprintOf(layout)
    await q.rememberLayout(client, { id: uuidv7(), name, facilityId: this.row.facilityId, fingerprint, layout, at })
    await q.nameLayout(client, this.row.id, name)
  }
}

const ATTEMPTS = 5

const isExpected = (error: unknown) => error instanceof ProblemError || error instanceof OtherLayout || isGone(error)
const isGone = (error: unknown) => (error as NodeJS.ErrnoException).code === 'ENOENT'

function failureOf(error: unknown, kind: Work['kind']): string {
  if (error instanceof ProblemError) return `${error.detail} Nothing was stored.`
  if (error instanceof OtherLayout)
    return `Line ${error.headerLine} does not hold the column names of the layout. Nothing was stored; choose the header line anew.`
  if (isGone(error)) return 'The uploaded file is no longer there. Nothing was stored; upload it again.'
  return `The server failed while reading or storing; its log says why. Nothing was stored; ${kind === 'check' ? 'check' : 'run'} it again.`
}

import type { Context } from '../../platform/context.ts'
import { removeUnfinished } from './files.ts'
import { endInterrupted } from './queries.ts'
import { INTERRUPTED, type Work, work } from './work.ts'

/** Checks and runs, one after the other: a large file has the machine's two cores to itself. */
export class ImportQueue {
  readonly #context: Context
  readonly #stop = new AbortController()
  readonly #own = new Set<string>()
  #last: Promise<void> = Promise.resolve()

  constructor(context: Context) {
    this.#context = context
  }

  add(given: Work) {
    this.#own.add(given.importId)
    this.#last = this.#last
      .then(() => work(this.#context, given, this.#stop.signal))
      .catch((error) => this.#context.logger.error({ err: error, ...given }, 'an import could not be worked on'))
      .finally(() => this.#own.delete(given.importId))
  }

  /** After a start: what an ended process left behind is failed, never half done, and can be begun again. */
  async recover() {
    const { database, logger, now, config } = this.#context
    try {
      const given = { at: now(), failures: INTERRUPTED, except: [...this.#own] }
      const { rowCount } = await endInterrupted(database.pool, given)
      if (rowCount) logger.warn({ imports: rowCount }, 'imports had been interrupted; nothing of them is stored')
      await removeUnfinished(config, now())
    } catch (error) {
      // the database may come up after this process
      logger.error({ err: error }, 'interrupted imports cannot be looked for; trying again')
      if (!this.#stop.signal.aborted) setTimeout(() => void this.recover(), RECOVER_AGAIN_MS).unref()
    }
  }

  /** Ends what is under way, which stores nothing of it, and waits for that. */
  async stop() {
    this.#stop.abort()
    await this.#last
  }
}

const RECOVER_AGAIN_MS = 5000

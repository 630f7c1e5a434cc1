import { describe as describeError } from './problem.ts'
import type { Program } from './program.ts'

/** What has been started, to be stopped in the reverse order by Ctrl-C, by an error or by the end of any part. */
export class Session {
  readonly #parts: { name: string; stop: () => Promise<void> | void }[] = []
  readonly #abort = new AbortController()
  #stopping?: Promise<never>
  #serving = false

  constructor() {
    // npm and the terminal may both pass a signal on; only the first one counts
    for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP'] as const)
      process.on(signal, () => void this.end(this.#serving ? 0 : 130, 'Stopping …'))
    endWithNpm(() => void this.end(1, 'npm was killed. Stopping …'))
  }

  /** Aborted as soon as stopping begins. */
  get signal(): AbortSignal {
    return this.#abort.signal
  }

  add(name: string, stop: () => Promise<void> | void) {
    this.#parts.push({ name, stop })
  }

  /** Keeps a program and ends everything when it ends by itself. */
  watch(name: string, program: Program, ifItEnds: string) {
    this.add(name, () => program.stop())
    void program.ended.then((code) => {
      if (this.#stopping) return
      const said = program.lastLines()
      void this.end(1, `${name} ended by itself (code ${code}). It said last:\n${said}\n${ifItEnds}\nStopping …`)
    })
  }

  /** Does the work of starting; when that fails, everything that was started is stopped again. */
  async run(start: () => Promise<void>): Promise<void> {
    try {
      await start()
      this.#serving = true
    } catch (error) {
      if (this.#stopping) return
      await this.end(1, `\n${describeError(error)}`)
    }
  }

  end(code: number, why: string): Promise<never> {
    this.#stopping ??= this.#end(code, why)
    return this.#stopping
  }

  async #end(code: number, why: string): Promise<never> {
    const write = code === 1 ? console.error : console.log
    write(`${process.stdout.isTTY ? '\n' : ''}${why}`)
    this.#abort.abort()
    for (const { name, stop } of this.#parts.reverse()) {
      try {
        await stop()
        if (name) console.log(`  ${name} stopped`)
      } catch (error) {
        console.error(`  ${name} could not be stopped: ${describeError(error)}`)
      }
    }
    process.exit(code)
  }
}

/** A kill -9 of npm reaches only npm. Whoever is left notices that its parent changed. */
function endWithNpm(end: () => void) {
  if (!process.env.npm_lifecycle_event) return
  const parent = process.ppid
  setInterval(() => {
    if (process.ppid !== parent) end()
  }, 1_000).unref()
}

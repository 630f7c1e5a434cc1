/** Says what is being done and how far it is: one line for each step, rewritten in place on a terminal. */
export class Steps {
  #number = 0
  #since = 0
  #name = ''
  #lastTenth = -1

  constructor(
    private readonly count: number,
    private readonly out: NodeJS.WriteStream = process.stdout,
  ) {}

  begin(name: string, doing: string) {
    this.#number++
    this.#name = name
    this.#since = Date.now()
    this.#lastTenth = -1
    this.#write(doing, false)
  }

  say(doing: string) {
    this.#write(doing, false)
  }

  /** @param part from 0 to 1 */
  progress(part: number, doing: string) {
    const tenth = Math.floor(part * 10)
    if (!this.out.isTTY && tenth === this.#lastTenth) return
    this.#lastTenth = tenth
    this.#write(`${doing} ${Math.floor(part * 100)} %`, false)
  }

  done(result: string) {
    const seconds = (Date.now() - this.#since) / 1000
    this.#write(seconds >= 1 ? `${result} (${seconds.toFixed(1)} s)` : result, true)
  }

  #write(text: string, final: boolean) {
    const line = `[${this.#number}/${this.count}] ${this.#name.padEnd(11)} ${text}`
    if (!this.out.isTTY) this.out.write(`${line}\n`)
    else
      this.out.write(`\r\x1b[K${line.slice(0, final ? undefined : (this.out.columns ?? 80) - 1)}${final ? '\n' : ''}`)
  }
}

import { IANAZone } from 'luxon'

const MINUTE = 60_000
const QUARTER = 15 * MINUTE
const DAY = 24 * 60 * MINUTE

/** UTC times that a wall clock's time may mean: one, two in the hour that comes twice, none in the hour that is left out. */
export type Meant = readonly number[]

/** A zone's wall clock, fast for times that follow each other. */
export class ZoneClock {
  readonly #zone: IANAZone
  /** Offset of a local day in which no clock changes; null for a day in which one does. */
  readonly #days = new Map<number, number | null>()
  /** Offsets by quarter of an hour, in the days in which a clock changes. Transitions fall on quarters. */
  readonly #quarters = new Map<number, readonly number[]>()
  #day = Number.NaN
  #dayOffset: number | null = null

  constructor(name: string) {
    this.#zone = IANAZone.create(name)
  }

  /** The one UTC time, or NaN when there are two or none. @param localMs the wall clock's time, counted as if it were UTC */
  toUtc(localMs: number): number {
    const day = Math.floor(localMs / DAY)
    if (day !== this.#day) {
      this.#day = day
      this.#dayOffset = this.#offsetOfDay(day)
    }
    return this.#dayOffset === null ? Number.NaN : localMs - this.#dayOffset
  }

  meant(localMs: number): Meant {
    const quarter = Math.floor(localMs / QUARTER)
    let offsets = this.#quarters.get(quarter)
    if (!offsets) {
      offsets = this.#offsetsAt(quarter * QUARTER)
      this.#quarters.set(quarter, offsets)
    }
    return offsets.map((offset) => localMs - offset)
  }

  #offsetsAt(localMs: number): number[] {
    const around = [this.#offset(localMs - DAY), this.#offset(localMs + DAY)]
    // the larger offset is the earlier time
    return [...new Set(around)].sort((a, b) => b - a).filter((offset) => this.#offset(localMs - offset) === offset)
  }

  #offsetOfDay(day: number): number | null {
    const known = this.#days.get(day)
    if (known !== undefined) return known
    const before = this.#offset(day * DAY - DAY)
    const after = this.#offset(day * DAY + 2 * DAY)
    const offset = before === after ? before : null
    this.#days.set(day, offset)
    return offset
  }

  #offset = (utcMs: number) => this.#zone.offset(utcMs) * MINUTE
}

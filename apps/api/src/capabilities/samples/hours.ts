import type { Queryable } from '../../platform/database.ts'
import { rollUp, type Span } from './queries.ts'

const HOUR_MS = 3_600_000
/** Hours rolled up by one statement: its sort stays in memory. */
const HOURS_AT_ONCE = 2000

/** The hours in which an input has stored something; each is rolled up once, at the end. */
export class TouchedHours {
  readonly #hours = new Map<string, Set<number>>()

  /** @param hours since 1970 */
  add(bodyId: string, hours: Iterable<number>) {
    const known = this.#hours.get(bodyId) ?? new Set()
    for (const hour of hours) known.add(hour)
    this.#hours.set(bodyId, known)
  }

  get bodyIds(): string[] {
    return [...this.#hours].flatMap(([bodyId, { size }]) => (size > 0 ? bodyId : []))
  }

  async rollUp(client: Queryable) {
    let waiting: Span[] = []
    let size = 0
    for (const span of this.#spans()) {
      waiting.push(span)
      size += Math.ceil((span.toMs - span.fromMs) / HOUR_MS)
      if (size < HOURS_AT_ONCE) continue
      await rollUp(client, waiting)
      waiting = []
      size = 0
    }
    if (waiting.length > 0) await rollUp(client, waiting)
  }

  /** Hours that follow each other, as one span. */
  *#spans(): Generator<Span> {
    for (const [bodyId, known] of this.#hours) {
      const hours = Float64Array.from(known).sort()
      for (let from = 0; from < hours.length; ) {
        let to = from + 1
        while (to < hours.length && to - from < HOURS_AT_ONCE && hours[to] === (hours[to - 1] as number) + 1) to++
        yield {
          bodyId,
          fromMs: (hours[from] as number) * HOUR_MS,
          toMs: ((hours[to - 1] as number) + 1) * HOUR_MS - 1,
        }
        from = to
      }
    }
  }
}

/** Hours since 1970 of times in ascending order. */
export function* hoursOf(atMs: Float64Array, count: number): Generator<number> {
  let before = Number.NaN
  for (let at = 0; at < count; at++) {
    const hour = Math.floor((atMs[at] as number) / HOUR_MS)
    if (hour !== before) yield hour
    before = hour
  }
}

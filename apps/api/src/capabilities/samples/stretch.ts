import type { Quantity } from '@sightglass/chemistry'

/** Samples of one body of water, column by column. */
export interface SampleStretch {
  bodyId: string
  /** How many of the columns' places are filled. */
  count: number
  /** In any order; a time may come twice. */
  atMs: Float64Array
  /** NaN, or no column at all, where there is no value. `flowOn` is 0 or 1. */
  columns: Partial<Record<Quantity, Float64Array>>
  /** Called when the samples are written and the columns may be filled anew. */
  release?: () => void
}

/** What became of an input. */
export interface Ingested {
  /** Samples that are new, or filled channels that were empty. */
  stored: number
  /** Already there with the same values. */
  same: number
  /** Already there with other values, which were kept. A sample that also filled a channel counts in `stored` too. */
  differing: number
  bodies: { bodyId: string; samples: number; fromMs: number; toMs: number }[]
}

/** A stretch in order of time in which each time stands once, and what the repetitions in it were. */
export interface MergedStretch {
  stretch: SampleStretch
  same: number
  differing: number
}

/** Unites the samples of a stretch that speak of one time: complementary values are joined, the first value wins. */
export function mergeStretch(given: SampleStretch): MergedStretch {
  if (ascends(given.atMs, given.count)) return { stretch: given, same: 0, differing: 0 }
  const order = inOrderOfTime(given)
  const quantities = Object.keys(given.columns) as Quantity[]
  const atMs = new Float64Array(given.count)
  const columns = Object.fromEntries(
    quantities.map((quantity) => [quantity, new Float64Array(given.count).fill(Number.NaN)]),
  )
  const merged = { stretch: { ...given, count: 0, atMs, columns }, same: 0, differing: 0 }
  for (const from of order) {
    const time = given.atMs[from] as number
    const repeated = merged.stretch.count > 0 && atMs[merged.stretch.count - 1] === time
    const to = repeated ? merged.stretch.count - 1 : merged.stretch.count++
    atMs[to] = time
    const { filled, differed } = fill(given, from, columns, to, quantities)
    if (repeated && differed) merged.differing++
    else if (repeated && !filled) merged.same++
  }
  return merged
}

function fill(
  given: SampleStretch,
  from: number,
  columns: Record<string, Float64Array>,
  to: number,
  quantities: readonly Quantity[],
) {
  let filled = false
  let differed = false
  for (const quantity of quantities) {
    const value = given.columns[quantity]?.[from] as number
    const column = columns[quantity] as Float64Array
    const there = column[to] as number
    if (Number.isNaN(value)) continue
    if (Number.isNaN(there)) {
      column[to] = value
      filled = true
    } else if (Math.fround(there) !== Math.fround(value)) differed = true
  }
  return { filled, differed }
}

function ascends(atMs: Float64Array, count: number): boolean {
  for (let at = 1; at < count; at++) if ((atMs[at] as number) <= (atMs[at - 1] as number)) return false
  return true
}

/** Places by time; equal times stay in the order in which they came. */
function inOrderOfTime({ atMs, count }: SampleStretch): Uint32Array {
  const order = new Uint32Array(count)
  for (let at = 0; at < count; at++) order[at] = at
  return order.sort((a, b) => (atMs[a] as number) - (atMs[b] as number) || a - b)
}

/** The stretches of one body put one behind the other. */
export function joinStretches(parts: readonly SampleStretch[]): SampleStretch {
  const [first] = parts
  if (first && parts.length === 1) return first
  const count = parts.reduce((sum, part) => sum + part.count, 0)
  const join = (columnOf: (part: SampleStretch) => Float64Array | undefined) => {
    const joined = new Float64Array(count).fill(Number.NaN)
    let to = 0
    for (const part of parts) {
      const column = columnOf(part)
      if (column) joined.set(column.subarray(0, part.count), to)
      to += part.count
    }
    return joined
  }
  const quantities = new Set(parts.flatMap(({ columns }) => Object.keys(columns) as Quantity[]))
  return {
    bodyId: first?.bodyId ?? '',
    release: () => {
      for (const part of parts) part.release?.()
    },
    count,
    atMs: join(({ atMs }) => atMs),
    columns: Object.fromEntries(
      [...quantities].map((quantity) => [quantity, join(({ columns }) => columns[quantity])]),
    ),
  }
}

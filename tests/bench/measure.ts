/** Milliseconds of one run of the work. */
export async function timed(work: () => Promise<unknown>): Promise<number> {
  const start = performance.now()
  await work()
  return performance.now() - start
}

/** Medians of works that take turns, so that whatever else the machine does falls on all of them alike. */
export async function medians<Name extends string>(
  rounds: number,
  works: Record<Name, () => Promise<unknown>>,
): Promise<Record<Name, number>> {
  const names = Object.keys(works) as Name[]
  const runs = Object.fromEntries(names.map((name) => [name, []])) as unknown as Record<Name, number[]>
  for (const name of names) await works[name]()
  for (let round = 0; round < rounds; round++) for (const name of names) runs[name].push(await timed(works[name]))
  return Object.fromEntries(names.map((name) => [name, median(runs[name])])) as Record<Name, number>
}

export const median = (values: readonly number[]): number => {
  const sorted = [...values].sort((a, b) => a - b)
  return ((sorted[(sorted.length - 1) >> 1] ?? NaN) + (sorted[sorted.length >> 1] ?? NaN)) / 2
}

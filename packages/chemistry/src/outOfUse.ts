import type { OutOfUse, Snapshot } from './snapshot.ts'

/**
 * Why and since when a body is out of use; null in use.
 * @param changesAt is told the ends of the time, which are known ahead
 */
export function outOfUseNow(
  { outOfUse: period }: Snapshot,
  nowMs: number,
  changesAt: (atMs: number) => void = () => undefined,
): OutOfUse | null {
  if (!period) return null
  changesAt(period.fromMs)
  if (period.toMs !== null) changesAt(period.toMs)
  return period.fromMs <= nowMs && (period.toMs === null || nowMs < period.toMs) ? period : null
}

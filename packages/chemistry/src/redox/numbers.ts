/** Of at least one number. */
export function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b)
  const middle = Math.floor(sorted.length / 2)
  const upper = sorted[middle] as number
  return sorted.length % 2 === 1 ? upper : (upper + (sorted[middle - 1] as number)) / 2
}

/** A small generator with a seed (sfc32, public domain): the same seed gives the same plant, on every machine. */
export interface Random {
  /** Evenly from 0 up to, but not including, 1. */
  next(): number
  /** About normal, mean 0, deviation 1, never beyond ±3: the sum of three even draws is near enough for a probe's noise. */
  normal(): number
  between(low: number, high: number): number
  pick<T>(list: readonly T[]): T
}

export function createRandom(seed: string): Random {
  let [a, b, c] = [hash(seed, 0x9e3779b9), hash(seed, 0x243f6a88), hash(seed, 0xb7e15162)]
  let counter = 1
  const next = () => {
    const sum = (((a + b) | 0) + counter) | 0
    counter = (counter + 1) | 0
    a = b ^ (b >>> 9)
    b = (c + (c << 3)) | 0
    c = ((c << 21) | (c >>> 11)) + sum
    c |= 0
    return (sum >>> 0) / 4294967296
  }
  for (let warmUp = 0; warmUp < 12; warmUp++) next()
  return {
    next,
    normal: () => (next() + next() + next() - 1.5) * 2,
    between: (low, high) => low + (high - low) * next(),
    pick: (list) => list[Math.floor(next() * list.length)] as (typeof list)[number],
  }
}

/** FNV-1a with a finishing mix, so that seeds which differ by one letter have nothing in common. */
function hash(text: string, start: number): number {
  let value = start ^ 0x811c9dc5
  for (let index = 0; index < text.length; index++) {
    value = Math.imul(value ^ text.charCodeAt(index), 0x01000193)
  }
  value = Math.imul(value ^ (value >>> 16), 0x85ebca6b)
  value = Math.imul(value ^ (value >>> 13), 0xc2b2ae35)
  return value ^ (value >>> 16)
}

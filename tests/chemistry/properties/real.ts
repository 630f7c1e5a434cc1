import fc from 'fast-check'

const STEPS = 2 ** 30

/** Numbers spread evenly between two ends, both included. `fc.double` draws evenly among the numbers that a computer can write: from a
 * range that begins at 0 nearly all of them are next to nothing. */
export const real = (min: number, max: number) =>
  fc.integer({ min: 0, max: STEPS }).map((step) => min + ((max - min) * step) / STEPS)

/**
 * Where a function that grows crosses zero, between two ends: the bracket is kept from first to last, so that nothing can run
 * away. Chandrupatla's choice between a curve through three points and halving.
 * @param guess where to look first; the bracket is opened from there, by `step` and then by steps four times as wide
 * @param low @param high ends; when the sign is the same at both, the end that is nearer to zero is given back
 */
export function risingRoot(
  f: (x: number) => number,
  low: number,
  high: number,
  guess: number,
  tolerance: number,
  step: number,
): number {
  let wide = step
  let a = Math.min(high, Math.max(low, guess))
  let fa = f(a)
  if (fa === 0) return a
  let b = a
  let fb = fa
  // away from the guess in growing steps, until the sign has changed
  while (fa > 0 === fb > 0) {
    a = b
    fa = fb
    const end = fb > 0 ? low : high
    if (b === end) return end
    b = fb > 0 ? Math.max(low, b - wide) : Math.min(high, b + wide)
    fb = f(b)
    wide *= 4
  }
  let c = a
  let fc = fa
  let share = 0.5
  for (let round = 0; round < 200; round++) {
    const x = a + share * (b - a)
    const fx = f(x)
    if (fx > 0 === fa > 0) {
      c = a
      fc = fa
    } else {
      c = b
      fc = fb
      b = a
      fb = fa
    }
    a = x
    fa = fx
    const best = Math.abs(fa) < Math.abs(fb) ? a : b
    const least = (tolerance * 0.5) / Math.abs(b - a)
    if (fa === 0 || least > 0.5) return best
    share = curved(a, fa, b, fb, c, fc) ?? 0.5
    share = Math.min(1 - least, Math.max(least, share))
  }
  return a
}

/** Inverse quadratic step as a share of the bracket, where it can be trusted. */
function curved(a: number, fa: number, b: number, fb: number, c: number, fc: number): number | null {
  const xi = (a - b) / (c - b)
  const phi = (fa - fb) / (fc - fb)
  if (!(phi * phi < xi && (1 - phi) * (1 - phi) < 1 - xi)) return null
  const alpha = (c - a) / (b - a)
  return (fa / (fb - fa)) * (fc / (fb - fc)) + alpha * (fa / (fc - fa)) * (fb / (fc - fb))
}

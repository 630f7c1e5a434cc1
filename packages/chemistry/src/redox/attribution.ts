import type { Phrase, Unit } from '../finding.ts'
import { quantified, say } from '../findings/make.ts'
import { DAY_MS } from '../time.ts'
import { expectation, quadratic, Z_90 } from './fit.ts'
import type { Attribution, DriftFactor, Interval, RedoxModel, RedoxWater } from './types.ts'

/** A part worth a word, and how many of its own standard deviations it must lie from nothing. Judgement. */
const WORTH_MV = 4
const BEYOND = 2
/** Of these chemistry knows the sign, and only the size is unsure: by theory's slope alone, 29.6 ± 15 mV, two would never be reached. */
const BEYOND_BY_SIGN: Partial<Record<DriftFactor, number>> = { stabilizer: 1.5, ph: 1.5 }

const SWAPS = {
  stabilizer: 'cyanuricAcidMgL',
  ph: 'ph',
  temperature: 'tempC',
  dissolvedSolids: 'tdsMgL',
} as const satisfies Partial<Record<DriftFactor, keyof RedoxWater>>
type Measurable = keyof typeof SWAPS
const FORTH = Object.keys(SWAPS) as Measurable[]
const BACK = [...FORTH].reverse()

/**
 * How much each thing moved the ORP that goes with one sanitizer reading from one pair until now: what was measured by changing one
 * value after the other, in both orders, and the mean; the rest is the offset's own change. The parts add up to the whole.
 * Null when there was no pair by the earlier time.
 */
export function attribute(model: RedoxModel, fromMs: number, toMs: number, sanitizerMgL: number): Attribution | null {
  const then = model.points.findLast(({ atMs }) => atMs <= fromMs)?.water
  const now = model.water
  const unexplained = offsetChange(model, fromMs, toMs)
  if (!then || !now || !unexplained) return null
  const rows = changes(model, { ...then, sanitizerMgL }, { ...now, sanitizerMgL })
  const measured = FORTH.map((factor) => ({
    factor: factor as DriftFactor,
    mv: intervalOf(rows[factor], model),
    from: then[SWAPS[factor]],
    to: now[SWAPS[factor]],
  }))
  const parts = [...measured, { factor: 'unexplained' as const, mv: unexplained, from: null, to: null }]
  return { fromMs, toMs, totalMv: total(parts), parts, main: mainOf(parts) }
}

/** A change of the ORP to expect, and how it depends on the posterior. */
interface Change {
  value: number
  gradient: readonly number[]
}
const NO_CHANGE: Change = { value: 0, gradient: [0, 0, 0, 0, 0] }

function changes(model: RedoxModel, then: RedoxWater, now: RedoxWater): Record<Measurable, Change> {
  const sums: Record<Measurable, Change> = {
    stabilizer: NO_CHANGE,
    ph: NO_CHANGE,
    temperature: NO_CHANGE,
    dissolvedSolids: NO_CHANGE,
  }
  for (const order of [FORTH, BACK]) {
    let water = then
    let before = expectation(model, water)
    for (const factor of order) {
      water = { ...water, [SWAPS[factor]]: now[SWAPS[factor]] }
      const after = expectation(model, water)
      const sum = sums[factor]
      sums[factor] = {
        value: sum.value + (after.value - before.value) / 2,
        gradient: sum.gradient.map((g, j) => g + ((after.gradient[j] as number) - (before.gradient[j] as number)) / 2),
      }
      before = after
    }
  }
  return sums
}

function intervalOf({ value, gradient }: Change, { posterior }: RedoxModel): Interval {
  const width = Z_90 * Math.sqrt(Math.max(0, quadratic(gradient, posterior.covariance)))
  return { value, low: value - width, high: value + width }
}

/** How far the offset of the pairs came from one time to another. */
export function offsetChange({ points, wanderMv }: RedoxModel, fromMs: number, toMs: number): Interval | null {
  const from = points.findLast(({ atMs }) => atMs <= fromMs) ?? points[0]
  const to = points.findLast(({ atMs }) => atMs <= toMs)
  if (!from || !to) return null
  const value = to.offsetMv - from.offsetMv
  // both ends of one path, taken as if they knew nothing of each other: wider than it is, never narrower
  const since = (wanderMv ** 2 * Math.max(0, toMs - to.atMs)) / DAY_MS
  const width = Z_90 * Math.sqrt(from.offsetSd ** 2 + to.offsetSd ** 2 + since)
  return { value, low: value - width, high: value + width }
}

function total(parts: readonly { mv: Interval }[]): Interval {
  const value = parts.reduce((sum, { mv }) => sum + mv.value, 0)
  const width = Math.hypot(...parts.map(({ mv }) => (mv.high - mv.low) / 2))
  return { value, low: value - width, high: value + width }
}

function mainOf(parts: readonly { factor: DriftFactor; mv: Interval }[]): DriftFactor | null {
  const clear = parts
    .filter(({ mv }) => Math.abs(mv.value) >= WORTH_MV)
    .filter(
      ({ factor, mv }) => Math.abs(mv.value) * Z_90 >= ((BEYOND_BY_SIGN[factor] ?? BEYOND) * (mv.high - mv.low)) / 2,
    )
    .sort((a, b) => Math.abs(b.mv.value) - Math.abs(a.mv.value))
  return clear[0]?.factor ?? null
}

type Part = Attribution['parts'][number]

const words =
  (name: string, unit: Unit) =>
  ({ mv, from, to }: Part): Phrase =>
    say(
      mv.value < 0
        ? `${name} went from {0} to {1}: the same reading now stands {2} lower.`
        : `${name} went from {0} to {1}: the same reading now stands {2} higher.`,
      quantified(from ?? 0, unit),
      quantified(to ?? 0, unit),
      quantified(Math.abs(mv.value), 'mV'),
    )

/** What a part says. */
export const FACTOR_WORDS: Record<DriftFactor, (part: Part) => Phrase> = {
  stabilizer: words('Cyanuric acid', 'mg/L'),
  ph: words('pH', 'pH'),
  temperature: words('Temperature', '°C'),
  dissolvedSolids: words('Dissolved solids', 'mg/L'),
  unexplained: ({ mv }) =>
    say(
      mv.value < 0
        ? 'In the same water the probe now shows {0} less, and no test explains it: a foul or ageing probe, or work on it that nobody wrote down.'
        : 'In the same water the probe now shows {0} more, and no test explains it: a cleaned or replaced probe, or work on it that nobody wrote down.',
      quantified(Math.abs(mv.value), 'mV'),
    ),
}

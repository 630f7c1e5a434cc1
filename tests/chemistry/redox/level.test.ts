import { describe, expect, it } from 'vitest'
import {
  fitLevel,
  type Series,
  smoothed,
  squaredApart,
  tailWeight,
  traceLevel,
} from '../../../packages/chemistry/src/redox/level.ts'

const series = (
  value: number[],
  given: Partial<Record<'days' | 'variance' | 'jump' | 'blur', number[]>> = {},
  columns: number[][] = [],
): Series => ({
  days: Float64Array.from(given.days ?? value.map((_, i) => i)),
  value: Float64Array.from(value),
  columns: columns.map((column) => Float64Array.from(column)),
  variance: Float64Array.from(given.variance ?? value.map(() => 4)),
  jump: Float64Array.from(given.jump ?? value.map(() => 0)),
  fading: new Float64Array(value.length).fill(1),
  blur: Float64Array.from(given.blur ?? value.map(() => 0)),
})
const prior = (levelVariance: number, mean: number[] = [], variance: number[] = []) => ({
  level: 0,
  levelVariance,
  mean,
  variance,
})

describe('a level under values, worked out by hand', () => {
  it('goes half the way to one value that is as sure as what was believed', () => {
    const { last } = fitLevel(series([10]), 0, prior(4))
    expect(last.level).toBeCloseTo(5, 12)
    expect(last.variance).toBeCloseTo(2, 12)
  })

  it('is the mean of values that are equally sure, when nothing was believed and nothing wanders', () => {
    const { last } = fitLevel(series([1, 2, 6]), 0, prior(1e9))
    expect(last.level).toBeCloseTo(3, 6)
    expect(last.variance).toBeCloseTo(4 / 3, 6)
  })

  it('forgets with time: after a day in which it wanders by as much as its noise', () => {
    // after the first value: 10, variance 4 (nothing believed). Next day 4 + 4 = 8, gain 8/12: 10 + 2/3 · (16 − 10) = 14
    const { last } = fitLevel(series([10, 16]), 2, prior(1e12))
    expect(last.level).toBeCloseTo(14, 4)
    expect(last.variance).toBeCloseTo(8 / 3, 4)
  })

  it('lets go at a break point', () => {
    const { last } = fitLevel(series([10, 50], { jump: [0, 1e9] }), 0, prior(1e12))
    expect(last.level).toBeCloseTo(50, 4)
  })

  it('finds a slope beside it: two values at 0 and 2 that part by 6', () => {
    const { beta, last } = fitLevel(series([1, 7], {}, [[0, 2]]), 0, prior(1e9, [0], [1e9]))
    expect(beta[0]).toBeCloseTo(3, 4)
    expect(last.level - 3 * (last.columns[0] as number)).toBeCloseTo(1, 4)
  })

  it('keeps to the belief of a slope where the values tell nothing of it', () => {
    const { beta } = fitLevel(series([5, 5, 5], {}, [[1, 1, 1]]), 0, prior(1e9, [30], [25]))
    expect(beta[0]).toBeCloseTo(30, 3)
  })

  it('takes nothing from a regressor that varies by its own error alone, where plain regression would find a slope of 0', () => {
    const x = [0, 1, -1, 1, -1, 0, 1, -1]
    const flat = series(
      x.map(() => 5),
      { variance: x.map(() => 0.25), blur: x.map(() => 0.9) },
      [x],
    )
    expect(fitLevel({ ...flat, blur: new Float64Array(8) }, 0, prior(1e9, [30], [25])).beta[0]).toBeLessThan(1)
    expect(fitLevel(flat, 0, prior(1e9, [30], [25])).beta[0]).toBeGreaterThan(15)
  })
})

describe('what the way back tells', () => {
  it('says what each value would be by all others', () => {
    const trace = traceLevel(fitLevel(series([1, 2, 6]), 0, prior(1e9)))
    // the others' mean: 4, 3.5, 1.5; variance of the parting 4 + 4/2
    expect([...trace.apart]).toEqual([-3, -1.5, 4.5].map((apart) => expect.closeTo(apart, 4)))
    expect(trace.apartVariance[1]).toBeCloseTo(6, 4)
  })

  it('says the step that explains most at each place, as the difference of both means', () => {
    const trace = traceLevel(fitLevel(series([0, 0, 10, 10]), 0, prior(1e9)))
    expect(trace.step[2]).toBeCloseTo(10, 4)
    expect(trace.stepVariance[2]).toBeCloseTo(4 / 2 + 4 / 2, 4)
    expect(Math.abs(trace.step[1] as number)).toBeLessThan(8)
  })

  it('gives the level at each value by all values', () => {
    const trace = traceLevel(fitLevel(series([1, 2, 6]), 0, prior(1e9)))
    for (const level of trace.level) expect(level).toBeCloseTo(3, 4)
    expect(trace.levelVariance[0]).toBeCloseTo(4 / 3, 4)
  })
})

describe('a wild value', () => {
  it('counts the less the further it lies, from beyond one standard deviation on', () => {
    expect([0, 1, 4, 16, 100].map(tailWeight)).toEqual([1, 1, 5 / 8, 5 / 20, 5 / 104])
  })

  it('is measured in the variance that it would have with all its weight', () => {
    const trace = traceLevel(fitLevel(series([0, 0, 30], { variance: [4, 4, 400] }), 0, prior(1e9)))
    // the others are sure to 2, the value itself to 4: 900 / 6
    expect(squaredApart(trace, 2, 400, 4)).toBeCloseTo(150, 1)
  })

  it('hardly moves a smoothed level', () => {
    const values = [7, 7, 7, 9, 7, 7].map((value, i) => ({ atMs: i * 86_400_000, value, variance: 0.01 }))
    expect(smoothed(values, 0.01, () => 0)[3]).toBeLessThan(7.1)
  })
})

it('takes no value for a level of nothing', () => {
  expect([...smoothed([], 1, () => 0)]).toEqual([])
  expect(fitLevel(series([]), 1, prior(4)).last.variance).toBe(4)
})

import {
  afterDose,
  CHEMICALS,
  expectedRetest,
  RETESTED,
  type Retested,
  renderPhrase,
  retestFindings,
} from '@sightglass/chemistry'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { anyWater, GOOD_WATER } from './given.ts'

const VOLUME_L = 300_000
const BICARBONATE = { chemical: CHEMICALS.sodiumBicarbonate, massG: 20_000 }
const HYPOCHLORITE = { chemical: CHEMICALS.sodiumHypochloriteTrade12, massG: 10_000 }
const ACID = { chemical: CHEMICALS.hydrochloricAcid31, massG: 4000 }
const of = (expected: ReturnType<typeof expectedRetest>, thing: Retested) => {
  const found = expected.expectations.find((expectation) => expectation.thing === thing)
  if (!found) throw new Error(thing)
  return found
}
const say = (
  doses: Parameters<typeof expectedRetest>[2],
  found: Partial<Record<Retested, number>>,
  water = GOOD_WATER,
) =>
  retestFindings(expectedRetest(water, VOLUME_L, doses), found, VOLUME_L).map(({ says }) =>
    renderPhrase(says, 'metric'),
  )

describe('what a retest should show', () => {
  it('is the water that the doses leave, one after the other', () => {
    const expected = expectedRetest(GOOD_WATER, VOLUME_L, [HYPOCHLORITE, ACID])
    expect(expected.state.water).toEqual(afterDose(afterDose(GOOD_WATER, VOLUME_L, HYPOCHLORITE), VOLUME_L, ACID))
    expect(of(expected, 'freeChlorineMgL').expected).toBeCloseTo(
      GOOD_WATER.freeChlorineMgL + (10_000 * 0.107017) / 300,
      2,
    )
    expect(of(expected, 'ph').before).toBe(7.4)
  })

  it('is what there is when nothing was dosed', () => {
    for (const { before, expected } of expectedRetest(GOOD_WATER, VOLUME_L, []).expectations)
      expect(expected).toBe(before)
  })

  it('lies inside its band, whatever the water', () => {
    fc.assert(
      fc.property(anyWater, fc.double({ min: 0, max: 20_000, noNaN: true }), (water, massG) => {
        for (const { low, expected, high } of expectedRetest(water, VOLUME_L, [
          { chemical: CHEMICALS.sodiumBicarbonate, massG },
        ]).expectations) {
          expect(low).toBeLessThanOrEqual(expected)
          expect(high).toBeGreaterThan(expected)
          expect(Number.isFinite(low) && Number.isFinite(high)).toBe(true)
        }
      }),
    )
  })

  it('leaves room for what is used of the chlorine, and for pH that climbs', () => {
    const expected = expectedRetest(GOOD_WATER, VOLUME_L, [HYPOCHLORITE])
    const chlorine = of(expected, 'freeChlorineMgL')
    expect(chlorine.expected - chlorine.low).toBeGreaterThan(chlorine.high - chlorine.expected)
    const ph = of(expected, 'ph')
    expect(ph.high - ph.expected).toBeGreaterThan(ph.expected - ph.low)
    expect(RETESTED.every((thing) => thing === 'ph' || of(expected, thing).low >= 0)).toBe(true)
  })
})

describe('what a difference points to', () => {
  // 20 kg of bicarbonate in 300,000 L raise alkalinity by 39.7 mg/L
  it('is nothing inside the band, nor for what was not tested', () => {
    expect(say([BICARBONATE], { totalAlkalinityMgL: 130 })).toEqual([])
    expect(say([BICARBONATE], { totalAlkalinityMgL: 118 })).toEqual([])
    expect(say([BICARBONATE], {})).toEqual([])
  })

  it('is another volume, when what stays in the water moved more or less than it should', () => {
    expect(say([BICARBONATE], { totalAlkalinityMgL: 110 })).toEqual([
      'Total alkalinity 110 mg/L instead of 130 mg/L: it moved as if the body held about 590,000 L rather than 300,000 L. Check the volume that is entered, the product’s strength and what was measured out.',
    ])
    expect(say([BICARBONATE], { totalAlkalinityMgL: 150 })[0]).toMatch(/as if the body held about 200,000 L/)
  })

  it('is no mixing, when nothing moved at all', () => {
    expect(say([BICARBONATE], { totalAlkalinityMgL: 92 })[0]).toMatch(/as if nothing had been added/)
    expect(say([HYPOCHLORITE], { freeChlorineMgL: 2.5 })[0]).toMatch(/as if nothing had been added/)
  })

  it('is demand, when chlorine is low', () => {
    expect(say([HYPOCHLORITE], { freeChlorineMgL: 3.5 })[0]).toMatch(/more was used up than is usual/)
    expect(say([HYPOCHLORITE], { freeChlorineMgL: 8 })[0]).toMatch(/a feeder ran besides/)
    // a quarter of it may go without a word
    expect(say([HYPOCHLORITE], { freeChlorineMgL: 4.6 })).toEqual([])
  })

  it('is acid or air, when pH is off', () => {
    expect(say([ACID], { ph: 6.8 })[0]).toMatch(/too much acid/)
    expect(say([ACID], { ph: 7.9 })[0]).toMatch(/less acid reached the water/)
  })

  it('is said of each value apart', () => {
    expect(say([BICARBONATE], { totalAlkalinityMgL: 30, calciumHardnessMgL: 400, cyanuricAcidMgL: 30 })).toHaveLength(3)
  })
})

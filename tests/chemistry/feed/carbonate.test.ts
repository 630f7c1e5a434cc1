// The plant model's fast carbonate system against the full one, which is held to PHREEQC in ../published.
import { type BufferedWater, carbonateSystem, phOf } from '@sightglass/chemistry'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { alkalinityOf, bufferAt, carbonOf, nextHydrogen } from '../../../packages/chemistry/src/plant/carbonate.ts'
import { MG_CACO3_PER_MEQ } from '../../../packages/chemistry/src/plant/constants.ts'

const between = (min: number, max: number) => fc.double({ min, max, noNaN: true })
/** What pools and spas hold. */
const WATER = fc.record({
  tempC: between(15, 40),
  ph: between(7, 8.2),
  totalAlkalinityMgL: between(60, 240),
  calciumHardnessMgL: between(50, 500),
  cyanuricAcidMgL: between(0, 100),
  boronMgL: fc.constant(0),
  tdsMgL: between(400, 6000),
  freeChlorineMgL: between(0, 5),
})
const CLOSE = 0.03

function fastPh(water: BufferedWater, alkalinityMeqL: number, carbonMmolL: number): number {
  const buffer = bufferAt(water.tempC, water.tdsMgL, water.calciumHardnessMgL)
  let hydrogen = 10 ** -water.ph
  for (let step = 0; step < 30; step++) {
    hydrogen = nextHydrogen(hydrogen, alkalinityMeqL, carbonMmolL, water.cyanuricAcidMgL, buffer)
  }
  return -Math.log10(hydrogen)
}

/** Both after so much acid (meq/L; below 0: base) and carbon dioxide (mmol/L). */
function both(water: BufferedWater, acidMeqL: number, carbonMmolL: number) {
  const buffer = bufferAt(water.tempC, water.tdsMgL, water.calciumHardnessMgL)
  const alkalinity = water.totalAlkalinityMgL / MG_CACO3_PER_MEQ
  const carbon = carbonOf(alkalinity, 10 ** -water.ph, water.cyanuricAcidMgL, buffer)
  const { ph: _, ...rest } = water
  const fullCarbon = carbonateSystem(water).inorganicCarbonMmolL
  return {
    carbon,
    fullCarbon,
    fast: fastPh(water, alkalinity - acidMeqL, carbon + carbonMmolL),
    full: phOf(
      { ...rest, totalAlkalinityMgL: water.totalAlkalinityMgL - acidMeqL * MG_CACO3_PER_MEQ },
      fullCarbon + carbonMmolL,
    ),
  }
}

describe('the plant model’s carbonate system', () => {
  it('comes back to the pH from which it started', () => {
    fc.assert(
      fc.property(WATER, (water) => {
        expect(both(water, 0, 0).fast).toBeCloseTo(water.ph, 6)
      }),
    )
  })

  it(`moves by a dose as the full one does, within ${CLOSE} for up to 0.2 pH`, () => {
    fc.assert(
      fc.property(WATER, between(-0.1, 0.2), between(0, 0.2), (water, acid, carbonDioxide) => {
        const { fast, full } = both(water, acid, carbonDioxide)
        fc.pre(Math.abs(full - water.ph) <= 0.2)
        expect(Math.abs(fast - full)).toBeLessThan(CLOSE)
      }),
      { numRuns: 300 },
    )
  })

  it('moves as the full one within a quarter of the way further off: chlorine on cyanurate, which it does not know, buffers a little', () => {
    fc.assert(
      fc.property(WATER, between(-0.15, 0.3), between(0, 0.3), (water, acid, carbonDioxide) => {
        const { fast, full } = both(water, acid, carbonDioxide)
        fc.pre(Math.abs(full - water.ph) > 0.2 && full > 6.5 && full < 8.4)
        expect(Math.abs(fast - full)).toBeLessThan(Math.abs(full - water.ph) / 4)
      }),
      { numRuns: 300 },
    )
  })

  it('holds as much carbon as the full one, within 6 %', () => {
    fc.assert(
      fc.property(WATER, (water) => {
        const { carbon, fullCarbon } = both(water, 0, 0)
        expect(Math.abs(carbon / fullCarbon - 1)).toBeLessThan(0.06)
      }),
      { numRuns: 300 },
    )
  })

  it('gives back the alkalinity from which the carbon was reckoned', () => {
    fc.assert(
      fc.property(WATER, (water) => {
        const buffer = bufferAt(water.tempC, water.tdsMgL, water.calciumHardnessMgL)
        const alkalinity = water.totalAlkalinityMgL / MG_CACO3_PER_MEQ
        const carbon = carbonOf(alkalinity, 10 ** -water.ph, water.cyanuricAcidMgL, buffer)
        expect(alkalinityOf(carbon, 10 ** -water.ph, water.cyanuricAcidMgL, buffer)).toBeCloseTo(alkalinity, 9)
      }),
    )
  })
})

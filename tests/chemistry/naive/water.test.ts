import {
  type Addition,
  aerated,
  afterAddition,
  carbonateSystem,
  OutOfRange,
  saturationIndex,
  type Water,
} from '@sightglass/chemistry'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { real } from '../properties/real.ts'
import { naively } from './water.ts'

/** Far beyond pools, so that every species counts somewhere: trichlorinated in acid, Cy³− in base. */
const water = fc.record({
  tempC: real(0, 50),
  ph: real(3.5, 10.9),
  totalAlkalinityMgL: real(-20, 2000),
  calciumHardnessMgL: real(0, 3000),
  cyanuricAcidMgL: fc.oneof(fc.constant(0), real(0, 1000)),
  boronMgL: fc.oneof(fc.constant(0), real(0, 200)),
  tdsMgL: real(0, 20_000),
  freeChlorineMgL: fc.oneof(fc.constant(0), real(0, 200)),
  combinedChlorineMgL: real(0, 5),
  bromineMgL: fc.oneof(fc.constant(0), real(0, 200)),
  sulfateMgL: fc.constant(0),
})

const MGL = 50_043.45
const close = (ours: number, theirs: number, what: string, scale = 0) =>
  expect(Math.abs(ours - theirs), `${what}: ${ours}, slowly ${theirs}`).toBeLessThanOrEqual(
    1e-8 * (Math.abs(theirs) + scale),
  )

const inRange = <T>(reckon: () => T): T | null => {
  try {
    return reckon()
  } catch (error) {
    if (error instanceof OutOfRange) return null
    throw error
  }
}

describe('the equations written down slowly give the same', { timeout: 120_000 }, () => {
  it('parts of the alkalinity, carbon, carbon dioxide and saturation index', () => {
    let [told, indexed] = [0, 0]
    fc.assert(
      fc.property(water, (given) => {
        const slow = naively(given)
        const system = inRange(() => carbonateSystem(given))
        if (Math.abs(slow.left) > 1e-9) expect(system === null).toBe(slow.left < 0)
        if (!system) return
        told++
        const { alkalinity } = system
        close(alkalinity.hydroxide, slow.hydroxide * MGL, 'hydroxide', 1e-3)
        close(alkalinity.borate, slow.borate * MGL, 'borate')
        close(alkalinity.cyanurate, slow.cyanurate * MGL, 'cyanurate')
        close(alkalinity.carbonate, slow.left * MGL, 'carbonate', 1)
        close(system.carbonDioxideMmolL, slow.co2 * 1000, 'carbon dioxide', 1e-3)
        close(system.hydrogenCarbonateMmolL, slow.bicarbonates * 1000, 'hydrogen carbonate', 1e-3)
        close(system.carbonateMmolL, slow.carbonates * 1000, 'carbonate', 1e-3)
        close(system.inorganicCarbonMmolL, slow.carbon * 1000, 'carbon', 1e-3)
        close(system.carbonDioxidePpm, slow.carbonDioxidePpm, 'ppm', 10)
        const index = saturationIndex(given)
        if (index === null) return
        indexed++
        expect(index).toBeCloseTo(slow.index, 6)
      }),
      { numRuns: 1500 },
    )
    expect(told).toBeGreaterThan(500)
    expect(indexed).toBeGreaterThan(200)
  })

  it('base and carbon after an addition: what was, and what came', () => {
    let held = 0
    const added = fc.record({
      alkalinityMeqL: real(-5, 5),
      inorganicCarbonMmolL: real(0, 3),
      calciumMmolL: real(0, 2),
      cyanuricAcidMmolL: real(0, 1),
      boronMmolL: real(0, 3),
      availableChlorineMgL: real(0, 50),
      bromineMgL: real(0, 50),
    })
    fc.assert(
      fc.property(
        water,
        added,
        (given, addition: Required<Pick<Addition, 'alkalinityMeqL' | 'inorganicCarbonMmolL'>>) => {
          const after = inRange(() => afterAddition(given, addition))
          if (!after) return
          held++
          const [was, is] = [naively(given), naively(after)]
          close(is.base, was.base + addition.alkalinityMeqL / 1000, 'base', 1e-3)
          close(is.carbon, was.carbon + addition.inorganicCarbonMmolL / 1000, 'carbon', 1e-2)
        },
      ),
      { numRuns: 1000 },
    )
    expect(held).toBeGreaterThan(250)
  })

  it('base after aeration, and the carbon dioxide of the air', () => {
    let held = 0
    fc.assert(
      fc.property(water, real(300, 5000), (given: Water, ppm) => {
        const after = inRange(() => aerated(given, ppm))
        if (!after) return
        held++
        close(naively(after).base, naively(given).base, 'base', 1e-3)
        close(naively(after).carbonDioxidePpm / ppm, 1, 'ppm', 10)
      }),
      { numRuns: 600 },
    )
    expect(held).toBeGreaterThan(150)
  })
})

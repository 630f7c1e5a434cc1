import {
  type Addition,
  aerated,
  afterAddition,
  afterBreakpoint,
  breakpointChlorine,
  bromineOfReading,
  bromineSpecies,
  CARBON_DIOXIDE_OF_AIR_PPM,
  carbonateSystem,
  chlorineConsumed,
  chlorineForAmmonia,
  contactFor,
  giardiaLog,
  mixed,
  ORGANISMS,
  OutOfRange,
  phOf,
  SOURCES,
  solidsFromConductivity,
  type Water,
  waterState,
} from '@sightglass/chemistry'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { real } from './real.ts'

/** All that a pool or spa can hold, and what a dose that went wrong leaves. */
const anyPool = fc.record({
  tempC: real(5, 45),
  ph: real(6, 9),
  totalAlkalinityMgL: real(20, 400),
  calciumHardnessMgL: real(0, 1500),
  cyanuricAcidMgL: fc.oneof(fc.constant(0), real(0, 250)),
  boronMgL: fc.oneof(fc.constant(0), real(0, 50)),
  tdsMgL: real(100, 8000),
  freeChlorineMgL: fc.oneof(fc.constant(0), real(0, 30)),
  combinedChlorineMgL: real(0, 3),
  bromineMgL: fc.oneof(fc.constant(0), real(0, 20)),
  sulfateMgL: real(0, 500),
})
/** Those of them whose tests do not contradict each other. */
const pool = anyPool.filter((water) => inRange(() => carbonateSystem(water)) !== null)

const anyAddition = fc.record(
  {
    alkalinityMeqL: real(-1, 1),
    inorganicCarbonMmolL: real(0, 1),
    calciumMmolL: real(0, 1),
    cyanuricAcidMmolL: real(0, 0.5),
    boronMmolL: real(0, 2),
    availableChlorineMgL: real(0, 20),
    bromineMgL: real(0, 20),
    sulfateMgL: real(0, 100),
    dissolvedSolidsMgL: real(0, 300),
  },
  { requiredKeys: [] },
)

const WATER: Water = {
  tempC: 27,
  ph: 7.5,
  totalAlkalinityMgL: 100,
  calciumHardnessMgL: 300,
  cyanuricAcidMgL: 40,
  boronMgL: 10,
  tdsMgL: 1500,
  freeChlorineMgL: 2,
  combinedChlorineMgL: 0.4,
  bromineMgL: 0,
  sulfateMgL: 0,
}

function inRange<T>(reckon: () => T): T | null {
  try {
    return reckon()
  } catch (error) {
    if (error instanceof OutOfRange) return null
    throw error
  }
}

const carbon = (water: Water) => carbonateSystem(water).inorganicCarbonMmolL
const near = (a: number, b: number, within = 1e-7) => expect(Math.abs(a - b)).toBeLessThan(within * (1 + Math.abs(b)))

function same(one: Water, two: Water, within = 1e-6) {
  for (const key of Object.keys(one) as (keyof Water)[]) near(one[key], two[key], within)
}

/** Runs where the result lay inside the ranges; a property that held for none of them would hold for nothing. */
function counted(runs: number, property: (count: () => void) => fc.IProperty<unknown>) {
  let held = 0
  const count = () => {
    held++
  }
  fc.assert(property(count), { numRuns: runs })
  expect(held).toBeGreaterThan(runs / 4)
}

describe('an addition', { timeout: 60_000 }, () => {
  it('gives finite numbers, or an error that names what left its range', () => {
    fc.assert(
      fc.property(anyPool, real(-20, 20), anyAddition, (water, alkalinityMeqL, added) => {
        const after = inRange(() => afterAddition(water, { ...added, alkalinityMeqL }))
        for (const value of Object.values(after ?? {})) expect(Number.isFinite(value)).toBe(true)
        if (after) expect(Number.isFinite(waterState(after).saturationIndex ?? 0)).toBe(true)
      }),
      { numRuns: 3000 },
    )
  })

  it('of acid never raises pH and of base never lowers it, however much', () => {
    counted(2000, (count) =>
      fc.property(pool, real(-10, 10), real(1e-6, 2), (water, alkalinityMeqL, more) => {
        const less = inRange(() => afterAddition(water, { alkalinityMeqL }))
        const further = inRange(() => afterAddition(water, { alkalinityMeqL: alkalinityMeqL + more }))
        if (!less || !further) return
        count()
        expect(further.ph).toBeGreaterThan(less.ph)
        expect(further.totalAlkalinityMgL).toBeGreaterThan(less.totalAlkalinityMgL - 1e-9)
      }),
    )
  })

  it('of carbon dioxide lowers pH and leaves the alkalinity; of bicarbonate it brings as much as it is', () => {
    counted(1000, (count) =>
      fc.property(pool, real(0.01, 2), (water, mmol) => {
        const fizzed = inRange(() => afterAddition(water, { inorganicCarbonMmolL: mmol }))
        const bicarbonate = inRange(() => afterAddition(water, { inorganicCarbonMmolL: mmol, alkalinityMeqL: mmol }))
        if (!fizzed || !bicarbonate) return
        count()
        expect(fizzed.ph).toBeLessThan(water.ph)
        // hypochlorite and hypobromite are outside the titrated alkalinity, and they take up acid
        const outside = (water.freeChlorineMgL / 70.906 + water.bromineMgL / 159.808) * 50.04345
        near(fizzed.totalAlkalinityMgL, water.totalAlkalinityMgL, outside + 1e-6)
        expect(bicarbonate.ph).toBeGreaterThan(fizzed.ph)
      }),
    )
  })

  it('conserves carbon, calcium, cyanuric acid, boron and sanitizer', () => {
    counted(2000, (count) =>
      fc.property(pool, anyAddition, (water, added) => {
        const after = inRange(() => afterAddition(water, added))
        if (!after) return
        count()
        near(carbon(after), carbon(water) + (added.inorganicCarbonMmolL ?? 0))
        near(after.calciumHardnessMgL, water.calciumHardnessMgL + 100.0869 * (added.calciumMmolL ?? 0))
        near(after.cyanuricAcidMgL, water.cyanuricAcidMgL + 129.0746 * (added.cyanuricAcidMmolL ?? 0))
        near(after.boronMgL, water.boronMgL + 10.81 * (added.boronMmolL ?? 0))
        near(after.freeChlorineMgL, water.freeChlorineMgL + (added.availableChlorineMgL ?? 0))
        near(after.bromineMgL, water.bromineMgL + (added.bromineMgL ?? 0))
        near(after.sulfateMgL, water.sulfateMgL + (added.sulfateMgL ?? 0))
        near(after.tdsMgL, water.tdsMgL + (added.dissolvedSolidsMgL ?? 0))
        expect(after.combinedChlorineMgL).toBe(water.combinedChlorineMgL)
      }),
    )
  })

  it('conserves alkalinity to the equivalent where no sanitizer is', () => {
    counted(1000, (count) =>
      fc.property(pool, real(-2, 2), (water, alkalinityMeqL) => {
        const plain = { ...water, freeChlorineMgL: 0, bromineMgL: 0 }
        const after = inRange(() => afterAddition(plain, { alkalinityMeqL }))
        if (!after) return
        count()
        near(after.totalAlkalinityMgL, plain.totalAlkalinityMgL + 50.04345 * alkalinityMeqL, 1e-9)
      }),
    )
  })

  it('and its opposite give the water back', () => {
    counted(2000, (count) =>
      fc.property(pool, anyAddition, (water, added) => {
        const opposite = Object.fromEntries(Object.entries(added).map(([key, value]) => [key, -(value as number)]))
        const back = inRange(() => afterAddition(afterAddition(water, added), opposite))
        if (!back) return
        count()
        same(back, water)
      }),
    )
  })

  it('past all of the alkalinity is given back by as much base', () => {
    const acid = afterAddition(WATER, { alkalinityMeqL: -2.5 })
    expect(acid.ph).toBeLessThan(4)
    expect(acid.totalAlkalinityMgL).toBeLessThan(0)
    same(afterAddition(acid, { alkalinityMeqL: 2.5 }), WATER)
  })

  it('gives the same water in either order and all at once', () => {
    counted(1500, (count) =>
      fc.property(pool, anyAddition, anyAddition, (water, one, two) => {
        const both = (first: Addition, second: Addition) =>
          inRange(() => afterAddition(afterAddition(water, first), second))
        const forward = both(one, two)
        const backward = both(two, one)
        const sum: Addition = { ...one }
        for (const [key, value] of Object.entries(two) as [keyof Addition, number][]) sum[key] = (sum[key] ?? 0) + value
        const together = inRange(() => afterAddition(water, sum))
        if (!forward || !backward || !together) return
        count()
        same(forward, backward)
        same(forward, together)
      }),
    )
  })

  it('of nothing is nothing', () => {
    fc.assert(fc.property(pool, (water) => same(afterAddition(water, {}), water)))
  })

  it('has no step: a little more gives a little more', () => {
    counted(500, (count) =>
      fc.property(pool, anyAddition, (water, added) => {
        const here = inRange(() => afterAddition(water, added))
        const there = inRange(() =>
          afterAddition(water, { ...added, alkalinityMeqL: (added.alkalinityMeqL ?? 0) + 1e-7 }),
        )
        if (!here || !there) return
        count()
        // 1e-7 equivalents move pH by at most 1e-7 over the least buffer, which water itself is near pH 7
        expect(Math.abs(there.ph - here.ph)).toBeLessThan(1e-3)
      }),
    )
  })

  it.each([
    ['a water out of range', () => afterAddition({ ...WATER, tempC: 51 }, {})],
    ['NaN', () => afterAddition({ ...WATER, ph: Number.NaN }, {})],
    ['an addition of NaN', () => afterAddition(WATER, { alkalinityMeqL: Number.NaN })],
    ['more acid than the ranges hold', () => afterAddition(WATER, { alkalinityMeqL: -12 })],
    ['more base than the ranges hold', () => afterAddition(WATER, { alkalinityMeqL: 30 })],
    ['more chlorine taken than there is', () => afterAddition(WATER, { availableChlorineMgL: -3 })],
    ['more carbon taken than there is', () => afterAddition(WATER, { inorganicCarbonMmolL: -5 })],
    ['tests that contradict each other', () => afterAddition({ ...WATER, totalAlkalinityMgL: 10 }, {})],
    ['carbon beyond reason', () => phOf(WATER, 201)],
    ['an addition of carbon beyond reason', () => afterAddition(WATER, { inorganicCarbonMmolL: 250 })],
    ['carbon below nothing', () => phOf(WATER, -0.1)],
    ['air without carbon dioxide', () => aerated(WATER, 0)],
    ['a share over 1', () => mixed(WATER, WATER, 1.01)],
    ['more chlorine used up than there is', () => chlorineConsumed(WATER, 2.1)],
    ['chlorine given back', () => chlorineConsumed(WATER, -0.1)],
  ])('refuses %s', (_case, wrong) => {
    expect(wrong).toThrow(OutOfRange)
  })

  it('says which pH it came to where that is out of range', () => {
    expect(() => afterAddition(WATER, { alkalinityMeqL: -5 })).toThrow(/^pH 2\.\d+ is outside 3 to 11$/)
  })
})

describe('pH and carbon', { timeout: 60_000 }, () => {
  it('are each other’s inverse', () => {
    fc.assert(
      fc.property(pool, (water) => {
        expect(phOf(water, carbon(water))).toBeCloseTo(water.ph, 7)
      }),
      { numRuns: 1000 },
    )
  })

  it('more carbon at the same alkalinity is a lower pH', () => {
    fc.assert(
      fc.property(pool, real(0.01, 1), (water, more) => {
        const lower = inRange(() => phOf(water, carbon(water) + more))
        if (lower !== null) expect(lower).toBeLessThan(water.ph)
      }),
    )
  })

  it('without any carbon cyanurate and borate buffer alone', () => {
    const bare = { ...WATER, totalAlkalinityMgL: 0, freeChlorineMgL: 0, cyanuricAcidMgL: 0, boronMgL: 0 }
    expect(phOf(bare, 0)).toBeCloseTo(7, 0)
    expect(carbon({ ...bare, ph: phOf(bare, 0) })).toBeCloseTo(0, 9)
    expect(carbon({ ...WATER, totalAlkalinityMgL: 40, ph: phOf({ ...WATER, totalAlkalinityMgL: 40 }, 0) })).toBeCloseTo(
      0,
      9,
    )
    expect(phOf({ ...bare, cyanuricAcidMgL: 100 }, 0)).toBeLessThan(5.2)
  })

  it('in balance with air: alkalinity stays, and a second time nothing moves', () => {
    counted(1000, (count) =>
      fc.property(pool, real(280, 5000), (water, ppm) => {
        const plain = { ...water, freeChlorineMgL: 0, bromineMgL: 0 }
        const after = inRange(() => aerated(plain, ppm))
        if (!after) return
        count()
        near(after.totalAlkalinityMgL, plain.totalAlkalinityMgL, 1e-9)
        near(carbonateSystem(after).carbonDioxidePpm, ppm, 1e-6)
        same(aerated(after, ppm), after)
        const staler = inRange(() => aerated(plain, ppm * 1.1))
        if (staler) expect(staler.ph).toBeLessThan(after.ph)
      }),
    )
    expect(aerated(WATER)).toEqual(aerated(WATER, CARBON_DIOXIDE_OF_AIR_PPM))
    expect(aerated(WATER).ph).toBeGreaterThan(8)
  })

  it('of a mixture lie where carbon and base are shared out, not at the mean pH', () => {
    counted(500, (count) =>
      fc.property(pool, pool, real(0, 1), (water, other, share) => {
        const between = inRange(() => mixed({ ...water, tempC: 25 }, { ...other, tempC: 25 }, share))
        if (!between) return
        count()
        near(carbon(between), carbon({ ...water, tempC: 25 }) * (1 - share) + carbon({ ...other, tempC: 25 }) * share)
        near(between.tdsMgL, water.tdsMgL + share * (other.tdsMgL - water.tdsMgL))
      }),
    )
    const acid = { ...WATER, ph: 6.5 }
    same(mixed(WATER, acid, 0), WATER)
    same(mixed(WATER, acid, 1), acid)
    const half = mixed(WATER, acid, 0.5)
    expect(half.ph).toBeLessThan((WATER.ph + acid.ph) / 2)
    near(half.totalAlkalinityMgL, 100, 0.01)
  })
})

describe('chlorine added and used up', { timeout: 60_000 }, () => {
  const mmol = (mgL: number) => mgL / 70.906

  it('as hypochlorite gives the water back: what it brought as base it leaves as acid', () => {
    counted(1000, (count) =>
      fc.property(pool, real(0.5, 20), (water, mgL) => {
        const dosed = inRange(() => afterAddition(water, { availableChlorineMgL: mgL, alkalinityMeqL: mmol(mgL) }))
        if (!dosed) return
        count()
        expect(dosed.ph).toBeGreaterThan(water.ph - 1e-9)
        same(chlorineConsumed(dosed, mgL), water)
      }),
    )
  })

  it('as gas costs two acids, as trichlor four for three and a ring, as dichlor one for two', () => {
    const plain = { ...WATER, freeChlorineMgL: 0 }
    const used = (added: Addition) => chlorineConsumed(afterAddition(plain, { availableChlorineMgL: 10, ...added }), 10)
    const acid = (meq: number, cyanuricAcidMmolL = 0) =>
      afterAddition(plain, { alkalinityMeqL: -meq, cyanuricAcidMmolL })
    const cl2 = mmol(10)
    same(used({ alkalinityMeqL: -cl2 }), acid(2 * cl2))
    // Cl3Cy + 3 H2O → H3Cy + 3 HOCl → H3Cy + 3 H+ + 3 Cl−; the ring itself gives the fourth near pH 7.5
    same(used({ cyanuricAcidMmolL: cl2 / 3 }), acid(cl2, cl2 / 3))
    // NaCl2Cy: one base for two chlorines
    same(used({ cyanuricAcidMmolL: cl2 / 2, alkalinityMeqL: cl2 / 2 }), acid(cl2 / 2, cl2 / 2))
  })

  it('moves pH up at first and by no more than its share of base', () => {
    const up = afterAddition(WATER, { availableChlorineMgL: 5, alkalinityMeqL: mmol(5) })
    expect(up.ph).toBeGreaterThan(WATER.ph + 0.1)
    expect(up.totalAlkalinityMgL - WATER.totalAlkalinityMgL).toBeLessThan(mmol(5) * 50.05)
  })

  it('at breakpoint goes with the combined chlorine, and acid comes', () => {
    const strong = { ...WATER, freeChlorineMgL: 10, combinedChlorineMgL: 2 }
    const after = afterBreakpoint(strong)
    expect(after.combinedChlorineMgL).toBe(0)
    expect(after.freeChlorineMgL).toBeCloseTo(9, 9)
    expect(after.ph).toBeLessThan(strong.ph)
    const weak = afterBreakpoint({ ...WATER, freeChlorineMgL: 0.25, combinedChlorineMgL: 2 })
    expect(weak.freeChlorineMgL).toBeCloseTo(0, 9)
    expect(weak.combinedChlorineMgL).toBeCloseTo(1.5, 9)
    same(afterBreakpoint({ ...WATER, combinedChlorineMgL: 0 }), { ...WATER, combinedChlorineMgL: 0 })
  })
})

describe('breakpoint', () => {
  it('adds by the rule what the level would take and what is there, and never less than the stoichiometry', () => {
    fc.assert(
      fc.property(real(0, 20), real(0, 20), (freeChlorineMgL, combined) => {
        const tested = { freeChlorineMgL, totalChlorineMgL: freeChlorineMgL + combined }
        const { combinedMgL, monochloramineMgL, handbookMgL, handbookAsLevelMgL } = breakpointChlorine(tested)
        near(combinedMgL, combined, 1e-9)
        expect(handbookMgL).toBeGreaterThanOrEqual(monochloramineMgL)
        expect(handbookMgL).toBeGreaterThanOrEqual(handbookAsLevelMgL)
        near(handbookAsLevelMgL, Math.max(0, handbookMgL - freeChlorineMgL), 1e-9)
      }),
    )
  })

  it('of ammonia is 7.6 to 1, and what is no amount is refused', () => {
    expect(chlorineForAmmonia(2)).toBeCloseTo(15.19, 2)
    expect(() => chlorineForAmmonia(-1)).toThrow(OutOfRange)
    expect(() => breakpointChlorine({ freeChlorineMgL: Number.NaN, totalChlorineMgL: 1 })).toThrow(OutOfRange)
  })
})

describe('bromine', () => {
  it('is shared between acid and ion, more acid than chlorine has at the same pH', () => {
    const { hypobromousMgL, hypobromiteMgL } = bromineSpecies({ bromineMgL: 4, ph: 7.8 })
    expect(hypobromousMgL + hypobromiteMgL).toBeCloseTo(4, 12)
    expect(hypobromousMgL / 4).toBeGreaterThan(0.85)
    expect(waterState({ ...WATER, freeChlorineMgL: 0, bromineMgL: 4 }).hypochlorousMgL).toBeNull()
  })
  it('refuses what is no reading', () => {
    expect(() => bromineSpecies({ bromineMgL: -1, ph: 7 })).toThrow(OutOfRange)
    expect(() => bromineSpecies({ bromineMgL: 3, ph: Number.NaN })).toThrow(OutOfRange)
    expect(() => bromineOfReading(201)).toThrow(OutOfRange)
    expect(bromineOfReading(2)).toBeCloseTo(4.5, 1)
  })
})

describe('contact time by organism', () => {
  const base = { ph: 7.5, tempC: 25, freeChlorineMgL: 1, cyanuricAcidMgL: 0 }

  it('is less for less, goes with the powers of ten, and its source is in the register', () => {
    for (const organism of ORGANISMS) {
      const three = contactFor(organism, 3, base)
      const one = contactFor(organism, 1, base)
      if (!three || !one) throw new Error(`nothing for ${organism}`)
      expect(SOURCES[three.source].citation).not.toBe('')
      expect(three.minutes).toBeCloseTo(three.ctMgMinL, 9)
      expect(one.ctMgMinL).toBeCloseTo(three.log === null ? three.ctMgMinL : three.ctMgMinL / 3, 9)
    }
  })

  it('of Giardia never falls with pH and cold, and not with chlorine, at any edge of the table', () => {
    const ct = (given: Partial<typeof base>) => contactFor('giardia', 3, { ...base, ...given })?.ctMgMinL as number
    fc.assert(
      fc.property(real(6, 8.9), real(11, 40), real(0.1, 4), (ph, tempC, freeChlorineMgL) => {
        const here = ct({ ph, tempC, freeChlorineMgL })
        expect(ct({ ph: ph + 0.1, tempC, freeChlorineMgL })).toBeGreaterThanOrEqual(here)
        expect(ct({ ph, tempC: tempC - 1, freeChlorineMgL })).toBeGreaterThanOrEqual(here)
        expect(ct({ ph, tempC, freeChlorineMgL: freeChlorineMgL + 0.1 })).toBeGreaterThanOrEqual(here)
      }),
    )
    expect(ct({ ph: 7.5 })).toBe(45)
    expect(ct({ ph: 7.51 })).toBe(54)
    expect(ct({ tempC: 24.99 })).toBe(67)
    expect(ct({ freeChlorineMgL: 50 })).toBe(55)
    expect(giardiaLog(45, base)).toBeCloseTo(3, 12)
  })

  it.each([
    ['any organism in water with cyanuric acid', { cyanuricAcidMgL: 30 }, ORGANISMS],
    ['Cryptosporidium above pH 7.5', { ph: 7.6 }, ['cryptosporidium', 'hepatitisA', 'ecoliO157']],
    ['Cryptosporidium below 25 °C', { tempC: 24 }, ['cryptosporidium', 'hepatitisA', 'ecoliO157']],
  ] as const)('has no published value for %s', (_case, given, organisms) => {
    for (const organism of organisms) expect(contactFor(organism, 3, { ...base, ...given }), organism).toBeNull()
    expect(contactFor('cryptosporidium', 3, { ...base, cyanuricAcidMgL: 1 })?.ctMgMinL).toBe(15_300)
    if ('cyanuricAcidMgL' in given) expect(giardiaLog(45, { ...base, ...given })).toBeNull()
  })

  it.each([
    [{ ph: 5.9 }],
    [{ ph: 9.1 }],
    [{ tempC: 9.9 }],
    [{ freeChlorineMgL: 0 }],
    [{ freeChlorineMgL: 201 }],
    [{ cyanuricAcidMgL: -1 }],
  ])('refuses %j', (wrong) => {
    expect(() => contactFor('giardia', 3, { ...base, ...wrong })).toThrow(OutOfRange)
  })
  it.each([[0], [4.1], [Number.NaN]])('refuses %s powers of ten', (log) => {
    expect(() => contactFor('giardia', log, base)).toThrow(OutOfRange)
  })
})

describe('dissolved solids from conductivity', () => {
  it('lie in the span of natural waters, and what is no conductivity is refused', () => {
    const solids = solidsFromConductivity(2000)
    expect(solids).toBeGreaterThan(0.6 * 2000)
    expect(solids).toBeLessThan(0.9 * 2000)
    expect(() => solidsFromConductivity(-1)).toThrow(OutOfRange)
    expect(() => solidsFromConductivity(80_000)).toThrow(OutOfRange)
  })
})

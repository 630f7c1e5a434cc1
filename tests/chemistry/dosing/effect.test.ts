import {
  afterDose,
  amountFor,
  amountOf,
  CHEMICAL_KEYS,
  CHEMICALS,
  type ChemicalKey,
  chlorineConsumed,
  DOSED_THINGS,
  MOLAR_MASS,
  OutOfRange,
  strongOf,
  type Water,
  whatIf,
} from '@sightglass/chemistry'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { anyWater, GOOD_WATER } from './given.ts'

const real = (min: number, max: number) => fc.double({ min, max, noNaN: true, noDefaultInfinity: true })
const ACIDS = CHEMICAL_KEYS.filter((key) => CHEMICALS[key].family === 'acid')
const DOSED = CHEMICAL_KEYS.filter((key) => key !== 'sodiumThiosulfate')

/** Grams in 1,000 L that move the water without leaving what can be reckoned, or null. */
function dosed(water: Water, key: ChemicalKey, massG: number): Water | null {
  try {
    return afterDose(water, 1000, { chemical: CHEMICALS[key], massG })
  } catch (error) {
    if (error instanceof OutOfRange) return null
    throw error
  }
}

describe('a dose of any chemical', { timeout: 60_000 }, () => {
  it('keeps account of every equivalent, carbon, calcium, boron, cyanuric acid and chlorine', () => {
    fc.assert(
      fc.property(anyWater, fc.constantFrom(...DOSED), real(0, 100), (water, key, massG) => {
        const after = dosed(water, key, massG)
        if (!after) return
        const { perKg } = CHEMICALS[key]
        const kgPerL = massG / 1e6
        const [start, end] = [strongOf(water), strongOf(after)]
        expect(1000 * (end.base - start.base)).toBeCloseTo(perKg.alkalinityMeqL * kgPerL, 6)
        expect(1000 * (end.carbon - start.carbon)).toBeCloseTo(perKg.inorganicCarbonMmolL * kgPerL, 6)
        const rise = (thing: keyof Water) => after[thing] - water[thing]
        expect(rise('calciumHardnessMgL')).toBeCloseTo(perKg.calciumMmolL * kgPerL * MOLAR_MASS.calciumCarbonate, 6)
        expect(rise('cyanuricAcidMgL')).toBeCloseTo(perKg.cyanuricAcidMmolL * kgPerL * MOLAR_MASS.cyanuricAcid, 6)
        expect(rise('boronMgL')).toBeCloseTo(perKg.boronMmolL * kgPerL * MOLAR_MASS.boron, 6)
        expect(rise('freeChlorineMgL')).toBeCloseTo(perKg.availableChlorineMgL * kgPerL, 6)
        expect(rise('bromineMgL')).toBeCloseTo(perKg.bromineMgL * kgPerL, 6)
        expect(rise('sulfateMgL')).toBeCloseTo(perKg.sulfateMgL * kgPerL, 6)
      }),
    )
  })

  it('is the same in one go and in parts, and more of an acid never raises pH, more of a base never lowers it', () => {
    fc.assert(
      fc.property(anyWater, fc.constantFrom(...DOSED), real(0.1, 60), (water, key, massG) => {
        const half = dosed(water, key, massG / 2)
        const whole = dosed(water, key, massG)
        const twice = half && dosed(half, key, massG / 2)
        if (!half || !whole || !twice) return
        expect(twice.ph).toBeCloseTo(whole.ph, 5)
        expect(twice.totalAlkalinityMgL).toBeCloseTo(whole.totalAlkalinityMgL, 4)
        const { alkalinityMeqL, inorganicCarbonMmolL, cyanuricAcidMmolL, boronMmolL } = CHEMICALS[key].perKg
        const onlyBase = inorganicCarbonMmolL === 0 && cyanuricAcidMmolL === 0 && boronMmolL === 0
        // salt and hardness move the activity of ions, which moves pH a little with no acid or base in it
        if (alkalinityMeqL < 0 && onlyBase) expect(whole.ph).toBeLessThanOrEqual(half.ph + 1e-6)
        if (CHEMICALS[key].family === 'caustic') expect(whole.ph).toBeGreaterThanOrEqual(half.ph - 1e-6)
      }),
    )
  })

  it('does not care which of two came first', () => {
    fc.assert(
      fc.property(
        anyWater,
        fc.constantFrom(...DOSED),
        fc.constantFrom(...DOSED),
        real(0, 20),
        real(0, 20),
        (water, one, other, a, b) => {
          const first = dosed(water, one, a)
          const second = dosed(water, other, b)
          const ab = first && dosed(first, other, b)
          const ba = second && dosed(second, one, a)
          // an acid can take no more dissolved solids than there are, which depends on the order
          if (!ab || !ba || ab.tdsMgL === 0 || ba.tdsMgL === 0) return
          expect(ab.ph).toBeCloseTo(ba.ph, 5)
          expect(ab.totalAlkalinityMgL).toBeCloseTo(ba.totalAlkalinityMgL, 4)
          expect(ab.freeChlorineMgL).toBeCloseTo(ba.freeChlorineMgL, 6)
        },
      ),
    )
  })

  it('leaves only numbers, whatever the water', () => {
    fc.assert(
      fc.property(anyWater, fc.constantFrom(...CHEMICAL_KEYS), real(0, 5000), (water, key, massG) => {
        const after = dosed(water, key, massG)
        if (after) for (const value of Object.values(after)) expect(Number.isFinite(value)).toBe(true)
      }),
    )
  })

  it('of nothing is the same water', () => {
    expect(dosed(GOOD_WATER, 'hydrochloricAcid31', 0)).toEqual(GOOD_WATER)
  })

  it.each([
    ['a volume of 0', 0, 1],
    ['a negative volume', -5, 1],
    ['a volume that is none', Number.NaN, 1],
    ['a negative amount', 1000, -1],
    ['an amount that is none', 1000, Number.NaN],
  ])('refuses %s', (_what, volumeL, massG) => {
    expect(() => afterDose(GOOD_WATER, volumeL, { chemical: CHEMICALS.borax, massG })).toThrow(OutOfRange)
  })
})

describe('an antidote takes a dose back', { timeout: 60_000 }, () => {
  const equivalents = (key: ChemicalKey, meqL: number) => (meqL * 1e6) / Math.abs(CHEMICALS[key].perKg.alkalinityMeqL)

  it('acid and caustic soda of equal equivalents', () => {
    fc.assert(
      fc.property(anyWater, fc.constantFrom(...ACIDS), real(0.01, 0.5), (water, acid, meqL) => {
        const sour = dosed(water, acid, equivalents(acid, meqL))
        const back = sour && dosed(sour, 'sodiumHydroxide50', equivalents('sodiumHydroxide50', meqL))
        if (!back) return
        // the salt that they leave moves the activity of ions
        expect(Math.abs(back.ph - water.ph)).toBeLessThan(0.02)
        expect(back.totalAlkalinityMgL).toBeCloseTo(water.totalAlkalinityMgL, 1)
      }),
    )
  })

  it('thiosulfate takes up hypochlorite and ends at none, with what is too much left over', () => {
    const white = dosed({ ...GOOD_WATER, freeChlorineMgL: 0 }, 'sodiumHypochloriteTrade12', 60) as Water
    expect(white.freeChlorineMgL).toBeGreaterThan(6)
    const exact = amountFor(white, 1000, CHEMICALS.sodiumThiosulfate, 'freeChlorineMgL', 0)
    expect(exact?.massG).toBeCloseTo(1.9 * white.freeChlorineMgL, 6)
    const gone = dosed(white, 'sodiumThiosulfate', exact?.massG ?? 0) as Water
    expect(gone.freeChlorineMgL).toBeCloseTo(0, 9)
    const tooMuch = dosed(white, 'sodiumThiosulfate', 3 * (exact?.massG ?? 0)) as Water
    expect(tooMuch.freeChlorineMgL).toBe(0)
    expect(tooMuch.sulfateMgL).toBeCloseTo(gone.sulfateMgL, 9)
    expect(tooMuch.ph).toBeCloseTo(gone.ph, 2)
  })

  it('thiosulfate in brominated water takes up bromine as well', () => {
    const water = { ...GOOD_WATER, freeChlorineMgL: 1, bromineMgL: 10 }
    const after = dosed(water, 'sodiumThiosulfate', 1.9 * 3) as Water
    expect(after.freeChlorineMgL).toBe(0)
    expect(after.bromineMgL).toBeCloseTo(10 - 2 * (159.808 / 70.906), 6)
  })

  it('hypochlorite that is used up leaves only its excess of caustic', () => {
    fc.assert(
      fc.property(anyWater, real(1, 80), (water, massG) => {
        const key = 'sodiumHypochloriteTrade12'
        const white = dosed(water, key, massG)
        if (!white) return
        const used = chlorineConsumed(white, white.freeChlorineMgL - water.freeChlorineMgL)
        const { alkalinityMeqL, availableChlorineMgL } = CHEMICALS[key].perKg
        const excess = ((alkalinityMeqL - availableChlorineMgL / MOLAR_MASS.chlorine) * massG) / 1e6
        expect(excess).toBeGreaterThan(0)
        expect(1000 * (strongOf(used).base - strongOf(water).base)).toBeCloseTo(excess, 6)
        expect(used.ph).toBeLessThan(white.ph)
      }),
    )
  })
})

describe('chemistry beats belief', () => {
  it('equal equivalents of hydrochloric and sulfuric acid do the same to pH and alkalinity', () => {
    fc.assert(
      fc.property(
        anyWater,
        fc.constantFrom('sulfuricAcid93', 'sulfuricAcid50', 'sulfuricAcid38'),
        real(0.01, 1),
        (water, key, meqL) => {
          const mass = (of: ChemicalKey) => (meqL * 1e6) / Math.abs(CHEMICALS[of].perKg.alkalinityMeqL)
          const one = dosed(water, 'hydrochloricAcid31', mass('hydrochloricAcid31'))
          const other = dosed(water, key, mass(key))
          if (!one || !other) return
          expect(Math.abs(one.ph - other.ph)).toBeLessThan(0.002)
          expect(one.totalAlkalinityMgL).toBeCloseTo(other.totalAlkalinityMgL, 2)
          expect(one.sulfateMgL).toBe(water.sulfateMgL)
          expect(other.sulfateMgL - water.sulfateMgL).toBeCloseTo(meqL * 48.03, 1)
        },
      ),
    )
  })

  it('hypochlorite raises pH at first and ends near where it began; trichlor ends lower', () => {
    const raised = dosed(GOOD_WATER, 'sodiumHypochloriteTrade12', 50) as Water
    expect(raised.ph).toBeGreaterThan(GOOD_WATER.ph + 0.1)
    const added = raised.freeChlorineMgL - GOOD_WATER.freeChlorineMgL
    expect(Math.abs(chlorineConsumed(raised, added).ph - GOOD_WATER.ph)).toBeLessThan(0.03)
    const tablets = dosed(GOOD_WATER, 'trichlor', 6) as Water
    expect(chlorineConsumed(tablets, tablets.freeChlorineMgL - GOOD_WATER.freeChlorineMgL).ph).toBeLessThan(
      GOOD_WATER.ph - 0.1,
    )
  })

  it('bicarbonate cannot take pH past about 8.3, however much', () => {
    const low = { ...GOOD_WATER, ph: 7 }
    expect(dosed(low, 'sodiumBicarbonate', 3000)?.ph).toBeLessThan(8.3)
    expect(amountFor(low, 1000, CHEMICALS.sodiumBicarbonate, 'ph', 8.6)).toBeNull()
    expect(dosed({ ...GOOD_WATER, ph: 8.8 }, 'sodiumBicarbonate', 100)?.ph).toBeLessThan(8.8)
  })
})

describe('the amount for a wanted value', { timeout: 60_000 }, () => {
  it('brings the water there, or there is none', () => {
    let reached = 0
    fc.assert(
      fc.property(
        anyWater,
        fc.constantFrom(...CHEMICAL_KEYS),
        fc.constantFrom(...DOSED_THINGS),
        real(0.3, 3),
        (water, key, thing, times) => {
          const wanted = thing === 'ph' ? Math.min(9.5, Math.max(6, water.ph + (times - 1) / 2)) : water[thing] * times
          const amount = amountFor(water, 1000, CHEMICALS[key], thing, wanted)
          if (!amount) return
          const after = dosed(water, key, amount.massG)
          if (!after) return
          reached++
          expect(Math.abs(after[thing] - wanted)).toBeLessThan(thing === 'ph' ? 1e-3 : 0.02 + 1e-6 * wanted)
        },
      ),
      { numRuns: 3000 },
    )
    expect(reached).toBeGreaterThan(300)
  })

  it.each([
    ['acid does not raise pH', 'hydrochloricAcid31', 'ph', 7.8],
    ['soda ash does not lower it', 'sodiumCarbonate', 'ph', 7],
    ['salt has no say in it', 'sodiumChloride', 'ph', 7],
    ['bicarbonate brings no hardness', 'sodiumBicarbonate', 'calciumHardnessMgL', 300],
    ['nothing dosed lowers hardness', 'calciumChloride77', 'calciumHardnessMgL', 100],
    ['carbon dioxide takes no alkalinity', 'carbonDioxide', 'totalAlkalinityMgL', 50],
    ['chlorine does not lower chlorine', 'sodiumHypochloriteTrade12', 'freeChlorineMgL', 1],
    ['acid cannot reach what lies beyond', 'hydrochloricAcid31', 'totalAlkalinityMgL', -2000],
  ] as const)('is none: %s', (_why, key, thing, wanted) => {
    expect(amountFor(GOOD_WATER, 1000, CHEMICALS[key], thing, wanted)).toBeNull()
  })

  it('is nothing when the value is there already', () => {
    expect(amountFor(GOOD_WATER, 1000, CHEMICALS.hydrochloricAcid31, 'ph', GOOD_WATER.ph)).toEqual({
      massG: 0,
      volumeL: 0,
    })
  })

  it('grows with the volume', () => {
    const for_ = (volumeL: number) =>
      amountFor(GOOD_WATER, volumeL, CHEMICALS.hydrochloricAcid31, 'ph', 7.2)?.massG ?? Number.NaN
    expect(for_(400) * 6250).toBeCloseTo(for_(2_500_000), 3)
  })

  it('is weighed when solid and measured out when liquid', () => {
    expect(amountOf(CHEMICALS.sodiumBicarbonate, 500)).toEqual({ massG: 500, volumeL: null })
    expect(amountOf(CHEMICALS.carbonDioxide, 500).volumeL).toBeNull()
    expect(amountOf(CHEMICALS.hydrochloricAcid31, 1158.8225).volumeL).toBeCloseTo(1, 9)
  })
})

describe('what if', () => {
  it('moves values first and adds chemicals to that', () => {
    const state = whatIf(GOOD_WATER, 1000, {
      moved: { ph: 8, freeChlorineMgL: 0 },
      doses: [
        { chemical: CHEMICALS.sodiumHypochloriteTrade12, massG: 20 },
        { chemical: CHEMICALS.hydrochloricAcid31, massG: 15 },
      ],
    })
    const white = dosed({ ...GOOD_WATER, ph: 8, freeChlorineMgL: 0 }, 'sodiumHypochloriteTrade12', 20) as Water
    expect(state.water).toEqual(dosed(white, 'hydrochloricAcid31', 15))
    expect(state.hypochlorousMgL).toBeGreaterThan(0)
    expect(state.saturationIndex).not.toBeNull()
  })
  it('of nothing is the water as it is', () => {
    expect(whatIf(GOOD_WATER, 1000, {}).water).toEqual(GOOD_WATER)
  })
  it('refuses a water that is none', () => {
    expect(() => whatIf(GOOD_WATER, 1000, { moved: { ph: 15 } })).toThrow(OutOfRange)
  })
})

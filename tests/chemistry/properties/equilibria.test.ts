import {
  borateAlkalinity,
  carbonateAlkalinity,
  chlorineSpecies,
  combinedChlorine,
  cyanurateAlkalinity,
  hypochlorousFraction,
  OutOfRange,
  saturationIndex,
  saturationIndexTable,
} from '@sightglass/chemistry'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'

const real = (min: number, max: number) => fc.double({ min, max, noNaN: true })
const water = fc.record({
  tempC: real(0, 50),
  ph: real(6, 9),
  calciumHardnessMgL: real(5, 5000),
  carbonateAlkalinityMgL: real(10, 2000),
  tdsMgL: real(0, 50_000),
})
const chlorinated = fc.record({
  freeChlorineMgL: real(0.01, 200),
  cyanuricAcidMgL: real(0, 1000),
  ph: real(5, 10),
  tempC: real(0, 50),
})
const acid = (given: Parameters<typeof chlorineSpecies>[0]) => chlorineSpecies(given).hypochlorousMgL

describe('the saturation index', { timeout: 60_000 }, () => {
  it('is finite over its whole range', () => {
    fc.assert(
      fc.property(water, (given) => {
        expect(Number.isFinite(saturationIndex(given))).toBe(true)
      }),
      { numRuns: 2000 },
    )
  })

  it.each([
    ['ph', 0.05],
    ['calciumHardnessMgL', 5],
    ['tempC', 1],
  ] as const)('grows with %s', (key, step) => {
    // beyond pH 8.5 pairs and hydroxide take over; pools end before
    const pool = fc.record({
      tempC: real(2, 45),
      ph: real(6.5, 8.4),
      calciumHardnessMgL: real(20, 1000),
      carbonateAlkalinityMgL: real(20, 300),
      tdsMgL: real(1500, 6000),
    })
    fc.assert(
      fc.property(pool, (given) => {
        expect(saturationIndex({ ...given, [key]: given[key] + step })).toBeGreaterThan(saturationIndex(given))
      }),
    )
  })

  it('grows with alkalinity and falls with salt', () => {
    const base = { tempC: 26, ph: 7.4, calciumHardnessMgL: 250, carbonateAlkalinityMgL: 90, tdsMgL: 1000 }
    expect(saturationIndex({ ...base, carbonateAlkalinityMgL: 100 })).toBeGreaterThan(saturationIndex(base))
    expect(saturationIndex({ ...base, tdsMgL: 4000 })).toBeLessThan(saturationIndex(base))
  })

  it('and the classical form are within 0.35 of each other over pool water, and not the same', () => {
    const pool = fc.record({
      tempC: real(10, 40),
      ph: real(7, 8),
      calciumHardnessMgL: real(50, 800),
      alkalinityMgL: real(30, 250),
    })
    let furthest = 0
    fc.assert(
      fc.property(pool, (given) => {
        const classical = saturationIndexTable({ ...given, tdsMgL: 1000 })
        const { alkalinityMgL: carbonateAlkalinityMgL, ...rest } = given
        const apart = Math.abs(classical - saturationIndex({ ...rest, carbonateAlkalinityMgL, tdsMgL: 1000 }))
        furthest = Math.max(furthest, apart)
        expect(apart).toBeLessThan(0.35)
      }),
      { numRuns: 1000 },
    )
    expect(furthest).toBeGreaterThan(0.05)
  })

  it('of the table is continuous at its rows', () => {
    const at = (alkalinityMgL: number, tempC: number) =>
      saturationIndexTable({ ph: 7.4, tempC, calciumHardnessMgL: 250, alkalinityMgL, tdsMgL: 500 })
    for (const row of [25, 50, 75, 100, 150, 200, 300, 400, 800]) {
      expect(at(row + 1e-6, 26) - at(row - 1e-6, 26)).toBeCloseTo(0, 5)
    }
  })

  it.each([
    [{ tempC: -0.1 }],
    [{ tempC: 50.1 }],
    [{ ph: 4.9 }],
    [{ ph: 10.1 }],
    [{ calciumHardnessMgL: 0 }],
    [{ calciumHardnessMgL: -5 }],
    [{ carbonateAlkalinityMgL: -1 }],
    [{ tdsMgL: -1 }],
    [{ ph: Number.NaN }],
    [{ tempC: Number.NaN }],
    [{ ph: 10, carbonateAlkalinityMgL: 2 }], // all of it hydroxide
  ])('refuses %j', (wrong) => {
    const base = { tempC: 26, ph: 7.4, calciumHardnessMgL: 250, carbonateAlkalinityMgL: 90, tdsMgL: 1000 }
    expect(() => saturationIndex({ ...base, ...wrong })).toThrow(OutOfRange)
  })

  it.each([
    [{ tempC: 60 }],
    [{ calciumHardnessMgL: 4 }],
    [{ calciumHardnessMgL: 1001 }],
    [{ alkalinityMgL: 4 }],
    [{ alkalinityMgL: Number.NaN }],
  ])('of the table refuses %j', (wrong) => {
    const base = { tempC: 26, ph: 7.4, calciumHardnessMgL: 250, alkalinityMgL: 90, tdsMgL: 1000 }
    expect(() => saturationIndexTable({ ...base, ...wrong })).toThrow(OutOfRange)
  })
})

describe('chlorine and cyanurate', { timeout: 60_000 }, () => {
  it('conserve the free chlorine, and no part is negative', () => {
    fc.assert(
      fc.property(chlorinated, (given) => {
        const { hypochlorousMgL, hypochloriteMgL, boundToCyanurateMgL } = chlorineSpecies(given)
        const sum = hypochlorousMgL + hypochloriteMgL + boundToCyanurateMgL
        expect(Math.abs(sum - given.freeChlorineMgL)).toBeLessThan(1e-9 * given.freeChlorineMgL + 1e-12)
        for (const part of [hypochlorousMgL, hypochloriteMgL, boundToCyanurateMgL])
          expect(part).toBeGreaterThanOrEqual(0)
      }),
      { numRuns: 3000 },
    )
  })

  it('more free chlorine is more acid, more cyanuric acid less', () => {
    fc.assert(
      fc.property(chlorinated, (given) => {
        expect(acid({ ...given, freeChlorineMgL: given.freeChlorineMgL * 0.99 })).toBeLessThan(acid(given))
        const more = { ...given, cyanuricAcidMgL: Math.min(1000, given.cyanuricAcidMgL * 1.01 + 1e-6) }
        expect(acid(more)).toBeLessThanOrEqual(acid(given) * (1 + 1e-9))
      }),
      { numRuns: 2000 },
    )
  })

  it('without cyanuric acid are the plain share, and come to it smoothly', () => {
    fc.assert(
      fc.property(real(0.01, 50), real(5, 10), real(0, 50), (freeChlorineMgL, ph, tempC) => {
        const plain = freeChlorineMgL * hypochlorousFraction(ph, tempC)
        expect(acid({ freeChlorineMgL, cyanuricAcidMgL: 0, ph, tempC })).toBeCloseTo(plain, 9)
        const trace = { freeChlorineMgL, cyanuricAcidMgL: freeChlorineMgL * 1e-6, ph, tempC }
        expect(Math.abs(acid(trace) / plain - 1)).toBeLessThan(1e-4)
      }),
    )
  })

  it('cold water binds more of it', () => {
    const at = (tempC: number) => acid({ freeChlorineMgL: 2, cyanuricAcidMgL: 40, ph: 7.4, tempC })
    expect(at(10)).toBeLessThan(at(25))
    expect(at(25)).toBeLessThan(at(35))
  })

  it('no chlorine is no acid', () => {
    const none = chlorineSpecies({ freeChlorineMgL: 0, cyanuricAcidMgL: 50, ph: 7.4, tempC: 25 })
    expect(none).toEqual({ hypochlorousMgL: 0, hypochloriteMgL: 0, boundToCyanurateMgL: 0 })
  })

  it.each([
    [{ freeChlorineMgL: -0.1 }],
    [{ freeChlorineMgL: 201 }],
    [{ cyanuricAcidMgL: -1 }],
    [{ cyanuricAcidMgL: 1001 }],
    [{ ph: 4.9 }],
    [{ ph: 10.1 }],
    [{ tempC: -1 }],
    [{ tempC: 51 }],
    [{ ph: Number.NaN }],
  ])('refuse %j', (wrong) => {
    const base = { freeChlorineMgL: 2, cyanuricAcidMgL: 40, ph: 7.4, tempC: 25 }
    expect(() => chlorineSpecies({ ...base, ...wrong })).toThrow(OutOfRange)
  })

  it('an error says what, how much, and what would do', () => {
    expect(() => hypochlorousFraction(15, 25)).toThrow('pH 15 is outside 0 to 14')
  })
})

describe('alkalinity', { timeout: 60_000 }, () => {
  it('that is carbonate is never negative and never more than all', () => {
    fc.assert(
      fc.property(
        real(0, 2000),
        real(0, 1000),
        real(4, 10),
        real(0, 50),
        real(0, 200),
        (total, cyanuric, ph, tempC, boronMgL) => {
          const left = carbonateAlkalinity({
            totalAlkalinityMgL: total,
            cyanuricAcidMgL: cyanuric,
            ph,
            tempC,
            boronMgL,
          })
          expect(left).toBeGreaterThanOrEqual(0)
          expect(left).toBeLessThanOrEqual(total)
        },
      ),
    )
  })

  it('held by cyanurate and by borate grows with pH and with how much there is', () => {
    fc.assert(
      fc.property(real(1, 900), real(4, 9.9), real(0, 50), (amount, ph, tempC) => {
        const held = cyanurateAlkalinity(amount, { ph, tempC })
        expect(cyanurateAlkalinity(amount, { ph: ph + 0.1, tempC })).toBeGreaterThan(held)
        expect(cyanurateAlkalinity(amount + 10, { ph, tempC })).toBeGreaterThan(held)
        const borate = borateAlkalinity(amount / 5, { ph, tempC })
        expect(borateAlkalinity(amount / 5, { ph: ph + 0.1, tempC })).toBeGreaterThan(borate)
      }),
    )
  })

  it.each([
    ['cyanuric acid', () => cyanurateAlkalinity(-1, { ph: 7, tempC: 25 })],
    ['pH', () => cyanurateAlkalinity(50, { ph: 3.9, tempC: 25 })],
    ['temperature', () => cyanurateAlkalinity(50, { ph: 7, tempC: 51 })],
    ['boron', () => borateAlkalinity(201, { ph: 7, tempC: 25 })],
    ['total', () => carbonateAlkalinity({ totalAlkalinityMgL: Number.NaN, cyanuricAcidMgL: 0, ph: 7, tempC: 25 })],
  ])('refuses %s out of range', (_case, wrong) => {
    expect(wrong).toThrow(OutOfRange)
  })
})

describe('combined chlorine', { timeout: 60_000 }, () => {
  it('is never negative, and refuses what is no reading', () => {
    expect(combinedChlorine(1.9, 2)).toBe(0)
    expect(() => combinedChlorine(Number.NaN, 2)).toThrow(OutOfRange)
    expect(() => combinedChlorine(2, -1)).toThrow(OutOfRange)
  })
})

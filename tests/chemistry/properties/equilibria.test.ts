import {
  alkalinityFactor,
  alkalinityForSaturation,
  type BufferedWater,
  calciumFactor,
  calciumForSaturation,
  carbonateAlkalinity,
  carbonateSystem,
  chlorineSpecies,
  combinedChlorine,
  fahrenheitToCelsius,
  freeChlorineForHypochlorous,
  hypochlorousFraction,
  OutOfRange,
  phForSaturation,
  saturationIndex,
  saturationIndexTable,
  saturationPh,
  temperatureFactor,
} from '@sightglass/chemistry'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { real } from './real.ts'

const water = fc.record({
  tempC: real(0, 50),
  ph: real(3, 11),
  totalAlkalinityMgL: real(-500, 2000),
  calciumHardnessMgL: real(0, 5000),
  cyanuricAcidMgL: real(0, 1000),
  boronMgL: real(0, 200),
  tdsMgL: real(0, 50_000),
  freeChlorineMgL: real(0, 200),
})
/** What a pool or spa can hold. */
const pool = fc.record({
  tempC: real(10, 40),
  ph: real(6.5, 8.4),
  totalAlkalinityMgL: real(20, 300),
  calciumHardnessMgL: real(20, 1000),
  cyanuricAcidMgL: fc.constant(0),
  boronMgL: real(0, 50),
  tdsMgL: real(250, 6000),
  freeChlorineMgL: real(0, 10),
})
const POOL: BufferedWater = {
  tempC: 26,
  ph: 7.4,
  totalAlkalinityMgL: 90,
  calciumHardnessMgL: 250,
  cyanuricAcidMgL: 0,
  boronMgL: 0,
  tdsMgL: 1000,
  freeChlorineMgL: 2,
}
const index = (given: BufferedWater) => saturationIndex(given) as number
const chlorinated = fc.record({
  freeChlorineMgL: real(0.01, 200),
  cyanuricAcidMgL: real(0, 1000),
  ph: real(5, 10),
  tempC: real(0, 50),
})
const acid = (given: Parameters<typeof chlorineSpecies>[0]) => chlorineSpecies(given).hypochlorousMgL

describe('the saturation index', { timeout: 60_000 }, () => {
  it('is finite over its whole range, or null where no carbonate or calcium is left', () => {
    let told = 0
    fc.assert(
      fc.property(water, (given) => {
        const found = saturationIndex(given)
        if (found !== null) told++
        expect(found === null || Number.isFinite(found)).toBe(true)
      }),
      { numRuns: 5000 },
    )
    expect(told).toBeGreaterThan(500)
  })

  it.each([
    ['ph', 0.05],
    ['calciumHardnessMgL', 5],
    ['totalAlkalinityMgL', 2],
    ['tempC', 1],
  ] as const)('grows with %s', (key, step) => {
    fc.assert(
      // with borate and little alkalinity the carbonate runs out as pH rises: then the index turns back
      fc.property(
        pool.map((given) => ({ ...given, boronMgL: 0 })),
        (given) => {
          expect(index({ ...given, [key]: given[key] + step })).toBeGreaterThan(index(given))
        },
      ),
    )
  })

  it.each([
    ['tdsMgL', 3000],
    ['cyanuricAcidMgL', 80],
    ['boronMgL', 50],
  ] as const)('falls with %s', (key, more) => {
    expect(index({ ...POOL, [key]: POOL[key] + more })).toBeLessThan(index(POOL))
  })

  it('and the classical form are within 0.35 of each other over pool water, and not the same', () => {
    let furthest = 0
    fc.assert(
      fc.property(
        pool.filter(({ totalAlkalinityMgL, calciumHardnessMgL }) => totalAlkalinityMgL > 30 && calciumHardnessMgL > 50),
        (given) => {
          const fresh = { ...given, tdsMgL: 1000, boronMgL: 0, freeChlorineMgL: 0 }
          const classical = saturationIndexTable({ ...fresh, alkalinityMgL: fresh.totalAlkalinityMgL })
          const apart = Math.abs(classical - index(fresh))
          furthest = Math.max(furthest, apart)
          expect(apart).toBeLessThan(0.4)
        },
      ),
      { numRuns: 1000 },
    )
    expect(furthest).toBeGreaterThan(0.05)
  })

  it('has no step where it is scanned or bent: salt that explains the solids, traces of chlorine and cyanuric acid', () => {
    fc.assert(
      fc.property(pool, (given) => {
        fc.pre(saturationIndex(given) !== null)
        for (const key of ['tempC', 'ph', 'tdsMgL', 'totalAlkalinityMgL', 'calciumHardnessMgL'] as const) {
          expect(Math.abs(index({ ...given, [key]: given[key] * (1 + 1e-9) }) - index(given))).toBeLessThan(1e-6)
        }
        const without = { ...given, cyanuricAcidMgL: 0, freeChlorineMgL: 0, boronMgL: 0 }
        const traces = { ...without, cyanuricAcidMgL: 1e-7, freeChlorineMgL: 1e-7, boronMgL: 1e-7 }
        expect(index(traces)).toBeCloseTo(index(without), 6)
      }),
    )
  })

  it('is told by its targets: pH, calcium and alkalinity for an index give that index', () => {
    const found = { ph: 0, calciumHardnessMgL: 0, totalAlkalinityMgL: 0 }
    fc.assert(
      fc.property(pool, real(0, 200), real(-1, 1), (given, cyanuricAcidMgL, target) => {
        const start = { ...given, cyanuricAcidMgL }
        const answers = {
          ph: phForSaturation(start, target),
          calciumHardnessMgL: calciumForSaturation(start, target),
          totalAlkalinityMgL: alkalinityForSaturation(start, target),
        }
        for (const [key, value] of Object.entries(answers) as [keyof typeof answers, number | null][]) {
          if (value === null) continue
          found[key]++
          expect(index({ ...start, [key]: value }), key).toBeCloseTo(target, 5)
        }
      }),
      { numRuns: 500 },
    )
    for (const [key, count] of Object.entries(found)) expect(count, key).toBeGreaterThan(300)
  })

  it('finds the pH at which it is where it is, and the lowest where cyanurate and borate make it turn back', () => {
    fc.assert(
      fc.property(pool, (given) => {
        const at = saturationIndex(given)
        fc.pre(at !== null)
        expect(phForSaturation(given, at as number) as number).toBeLessThan(given.ph + 1e-6)
        expect(saturationPh(given)).toBe(phForSaturation(given, 0))
      }),
    )
    const borated = { ...POOL, totalAlkalinityMgL: 70, boronMgL: 50 }
    const ph = phForSaturation(borated, 0) as number
    expect(index({ ...borated, ph: ph - 0.1 })).toBeLessThan(0)
    expect(phForSaturation(borated, 3)).toBeNull()
  })

  it('is found right under the turn, wherever that lies between two steps, and not over it', () => {
    fc.assert(
      fc.property(real(20, 45), real(30, 60), real(15, 35), (totalAlkalinityMgL, boronMgL, tempC) => {
        const borated = { ...POOL, totalAlkalinityMgL, boronMgL, tempC, freeChlorineMgL: 0 }
        const at = (ph: number) => saturationIndex({ ...borated, ph }) ?? -20
        const turn = Array.from({ length: 4001 }, (_, step) => 6 + step / 1000).reduce((a, b) =>
          at(b) > at(a) ? b : a,
        )
        expect(turn).toBeLessThan(9.9)
        const found = phForSaturation(borated, at(turn) - 1e-7) as number
        expect(found).toBeLessThan(turn)
        expect(at(found)).toBeCloseTo(at(turn), 6)
        expect(phForSaturation(borated, at(turn) + 1e-4)).toBeNull()
      }),
      { numRuns: 30 },
    )
  })

  it.each([
    ['the least calcium', { calciumHardnessMgL: 0.01 }],
    ['its lowest pH', { ph: 5, totalAlkalinityMgL: 100 }],
    ['its highest pH', { ph: 10, totalAlkalinityMgL: 100 }],
  ])('is told at %s', (_case, given) => {
    expect(Number.isFinite(saturationIndex({ ...POOL, ...given }))).toBe(true)
  })

  it.each([
    ['no calcium', { calciumHardnessMgL: 0 }],
    ['all of it hydroxide', { ph: 10, totalAlkalinityMgL: 2 }],
    ['all of it cyanurate', { cyanuricAcidMgL: 300, ph: 7.8 }],
    ['beyond its pH', { ph: 10.5 }],
    ['acid in excess', { totalAlkalinityMgL: -20, ph: 3.4 }],
  ])('is null with %s', (_case, wrong) => {
    expect(saturationIndex({ ...POOL, ...wrong })).toBeNull()
  })

  it.each([
    ['pH for an index of 5 in soft water', () => phForSaturation({ ...POOL, calciumHardnessMgL: 1 }, 5)],
    ['calcium for water without carbonate', () => calciumForSaturation({ ...POOL, totalAlkalinityMgL: 0 }, 0)],
    ['alkalinity for water without calcium', () => alkalinityForSaturation({ ...POOL, calciumHardnessMgL: 0 }, 0)],
    ['alkalinity for an index out of reach', () => alkalinityForSaturation({ ...POOL, ph: 5 }, 3)],
    ['calcium for an index that less than 1 mg/L would give', () => calciumForSaturation(POOL, -4)],
  ])('says that there is none: %s', (_case, none) => {
    expect(none()).toBeNull()
  })

  it.each([[5.1], [-5.1], [Number.NaN]])('refuses a target of %s', (target) => {
    for (const solve of [phForSaturation, calciumForSaturation, alkalinityForSaturation]) {
      expect(() => solve(POOL, target)).toThrow(OutOfRange)
    }
  })

  it.each([
    ['alkalinity', alkalinityFactor, [25, 50, 75, 100, 150, 200, 300, 400, 800], [5, 1000]],
    ['calcium', calciumFactor, [25, 50, 75, 100, 150, 200, 300, 400, 800], [5, 1000]],
    [
      'temperature',
      (tempF: number) => temperatureFactor(fahrenheitToCelsius(tempF)),
      [37, 46, 53, 60, 66, 76, 84, 94, 105],
      [32, 128],
    ],
  ] as const)(
    'of the table is continuous at every row of %s, grows between them, and ends where it ends',
    (_name, factor, rows, ends) => {
      for (const row of rows) {
        expect(factor(row + 1e-6) - factor(row - 1e-6)).toBeCloseTo(0, 5)
        expect(factor(row)).toBeGreaterThan(factor(row - 1))
      }
      for (const [end, beyond] of [
        [ends[0], ends[0] - 0.001],
        [ends[1], ends[1] + 0.001],
      ] as const) {
        expect(Number.isFinite(factor(end))).toBe(true)
        expect(() => factor(beyond)).toThrow(OutOfRange)
      }
    },
  )

  it.each([
    [{ tempC: -0.1 }],
    [{ tempC: 50.1 }],
    [{ ph: 2.9 }],
    [{ ph: 11.1 }],
    [{ calciumHardnessMgL: -5 }],
    [{ calciumHardnessMgL: 5001 }],
    [{ totalAlkalinityMgL: -501 }],
    [{ totalAlkalinityMgL: 2001 }],
    [{ cyanuricAcidMgL: 1001 }],
    [{ boronMgL: 201 }],
    [{ freeChlorineMgL: -1 }],
    [{ tdsMgL: -1 }],
    [{ tdsMgL: 50_001 }],
    [{ ph: Number.NaN }],
    [{ tempC: Number.NaN }],
  ])('refuses %j', (wrong) => {
    const given = { ...POOL, ...wrong }
    for (const refuse of [saturationIndex, carbonateSystem, carbonateAlkalinity, saturationPh]) {
      expect(() => refuse(given)).toThrow(OutOfRange)
    }
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

  it('free chlorine for a wanted acid gives that acid', () => {
    fc.assert(
      fc.property(chlorinated, (given) => {
        expect(freeChlorineForHypochlorous(acid(given), given) / given.freeChlorineMgL).toBeCloseTo(1, 6)
      }),
      { numRuns: 1000 },
    )
    expect(freeChlorineForHypochlorous(0, { cyanuricAcidMgL: 50, ph: 7.4, tempC: 25 })).toBe(0)
    for (const wrong of [
      { hypochlorousMgL: -1 },
      { cyanuricAcidMgL: 1001 },
      { ph: 4.9 },
      { ph: 10.1 },
      { tempC: 51 },
    ]) {
      const { hypochlorousMgL, ...rest } = { hypochlorousMgL: 0.02, cyanuricAcidMgL: 50, ph: 7.4, tempC: 25, ...wrong }
      expect(() => freeChlorineForHypochlorous(hypochlorousMgL, rest)).toThrow(OutOfRange)
    }
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

describe('the parts of the alkalinity', { timeout: 60_000 }, () => {
  it('add up to it, and carbonate is what the others leave', () => {
    let told = 0
    fc.assert(
      fc.property(water, (given) => {
        const system = systemOf(given)
        const left = carbonateAlkalinity(given)
        expect(left).toBeGreaterThanOrEqual(0)
        if (!system) return
        told++
        const { carbonate, hydroxide, cyanurate, borate } = system.alkalinity
        expect(carbonate + hydroxide + cyanurate + borate).toBeCloseTo(given.totalAlkalinityMgL, 6)
        expect(left).toBeCloseTo(Math.max(0, carbonate + hydroxide), 6)
        for (const part of [carbonate, cyanurate, borate]) expect(part).toBeGreaterThanOrEqual(0)
      }),
      { numRuns: 3000 },
    )
    expect(told).toBeGreaterThan(500)
  })

  it('held by cyanurate and by borate grow with pH and with how much there is', () => {
    const parts = (given: Partial<BufferedWater>) =>
      carbonateSystem({ ...POOL, totalAlkalinityMgL: 1900, freeChlorineMgL: 0, ...given }).alkalinity
    fc.assert(
      fc.property(real(1, 900), real(4, 9.9), real(0, 50), (amount, ph, tempC) => {
        const at = (more: number, up: number) =>
          parts({ ph: ph + up, tempC, cyanuricAcidMgL: amount + more, boronMgL: (amount + more) / 5 })
        const here = at(0, 0)
        for (const other of [at(0, 0.1), at(10, 0)]) {
          expect(other.cyanurate).toBeGreaterThan(here.cyanurate)
          expect(other.borate).toBeGreaterThan(here.borate)
        }
      }),
    )
  })

  it('chlorine on cyanurate makes it hold a little more: bound, it is a stronger acid', () => {
    const cyanurate = (freeChlorineMgL: number) =>
      carbonateSystem({ ...POOL, cyanuricAcidMgL: 50, freeChlorineMgL }).alkalinity.cyanurate
    expect(cyanurate(5)).toBeGreaterThan(cyanurate(0))
    expect(cyanurate(5) - cyanurate(0)).toBeLessThan(2)
  })

  it('contradict each other where cyanurate alone would hold more than there is', () => {
    expect(() => carbonateSystem({ ...POOL, totalAlkalinityMgL: 40, cyanuricAcidMgL: 200, ph: 7.8 })).toThrow(
      /alkalinity left for carbonate in mg\/L -\d+/,
    )
  })
})

const systemOf = (given: BufferedWater) => {
  try {
    return carbonateSystem(given)
  } catch (error) {
    expect(error).toBeInstanceOf(OutOfRange)
    return null
  }
}

describe('combined chlorine', { timeout: 60_000 }, () => {
  it('is never negative, and refuses what is no reading', () => {
    expect(combinedChlorine(1.9, 2)).toBe(0)
    expect(() => combinedChlorine(Number.NaN, 2)).toThrow(OutOfRange)
    expect(() => combinedChlorine(2, -1)).toThrow(OutOfRange)
  })
})

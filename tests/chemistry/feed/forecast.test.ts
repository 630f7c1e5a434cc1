// Properties of what is said of a drum, and how often it comes true on drums whose truth is known.
import {
  type DrumFacts,
  type DrumLevel,
  drumForecast,
  fallsOf,
  type RunTime,
  stickErrorL,
  supplyPlan,
} from '@sightglass/chemistry'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { DAY, drum, HOUR, NOW } from '../support.ts'
import { figuresOf } from './drumLife.ts'

const use = fc.integer({ min: 0, max: 30 })
const visits = fc.array(
  fc.record({ days: fc.integer({ min: 1, max: 9 }), perDay: use, share: fc.integer({ min: 0, max: 10 }) }),
  {
    minLength: 2,
    maxLength: 8,
  },
)

/** Levels of a drum from which so much is drawn a day, with what was filled in at each visit written down. */
function levelsOf(given: readonly { days: number; perDay: number; share: number }[]): DrumLevel[] {
  let atMs = NOW - given.reduce((sum, { days }) => sum + days, 0) * DAY
  let levelL = 200
  const levels = [{ atMs, levelL, deliveredL: 0 }]
  for (const { days, perDay, share } of given) {
    const left = Math.max(0, levelL - days * perDay)
    const deliveredL = ((200 - left) * share) / 10
    atMs += days * DAY
    levelL = left + deliveredL
    levels.push({ atMs, levelL, deliveredL })
  }
  return levels
}

const drumWith = (levels: DrumLevel[]): DrumFacts => drum('sodiumHypochlorite', levels)
const sum = (values: readonly number[]) => values.reduce((whole, one) => whole + one, 0)
const out = (levels: readonly DrumLevel[]) =>
  (levels[0]?.levelL ?? 0) + sum(levels.slice(1).map(({ deliveredL }) => deliveredL)) - (levels.at(-1)?.levelL ?? 0)

describe('falls of a drum', () => {
  it('add up to what was in it, and came in, less what is left', () => {
    fc.assert(
      fc.property(visits, (given) => {
        const levels = levelsOf(given)
        expect(sum(fallsOf(drumWith(levels)).map(({ fallL }) => fallL))).toBeCloseTo(out(levels), 6)
      }),
    )
  })

  it('add up to it within twice what the stick can miss, however the stick was misread', () => {
    const misread = fc.array(fc.double({ min: -2, max: 2, noNaN: true }), { minLength: 9, maxLength: 9 })
    fc.assert(
      fc.property(visits, misread, (given, errors) => {
        const levels = levelsOf(given).map((level, at) => ({ ...level, levelL: level.levelL + (errors[at] ?? 0) }))
        const whole = drumWith(levels)
        const added = sum(fallsOf(whole).map(({ fallL }) => fallL))
        expect(Math.abs(added - Math.max(0, out(levels)))).toBeLessThanOrEqual(2 * stickErrorL(whole))
      }),
    )
  })

  it('are in order, do not overlap, and none is below nothing', () => {
    const any = fc.array(
      fc.record({ hours: fc.integer({ min: 1, max: 200 }), levelL: fc.integer({ min: 0, max: 200 }), deliveredL: use }),
      { maxLength: 12 },
    )
    fc.assert(
      fc.property(any, (given) => {
        let atMs = NOW - 60 * DAY
        const levels = given.map(({ hours, ...level }) => {
          atMs += hours * HOUR
          return { ...level, atMs }
        })
        let before = Number.NEGATIVE_INFINITY
        for (const { fromMs, toMs, fallL } of fallsOf(drumWith(levels))) {
          expect(fromMs).toBeGreaterThanOrEqual(before)
          expect(toMs).toBeGreaterThan(fromMs)
          expect(fallL).toBeGreaterThanOrEqual(0)
          before = toMs
        }
      }),
    )
  })
})

/** An hour a day, so many times as long. */
const runs =
  (times = 1): RunTime =>
  (fromMs, toMs) =>
    ((toMs - fromMs) / DAY) * 60 * times

describe('a forecast', () => {
  const known = (given: Parameters<typeof levelsOf>[0], run: RunTime | null) =>
    drumForecast(drumWith(levelsOf(given)), NOW, run)

  it.each([
    ['by levels', null],
    ['by run time', runs()],
  ] as const)('%s keeps its order: the faster the use, the fewer the days', (_way, run) => {
    fc.assert(
      fc.property(visits, (given) => {
        const forecast = known(given, run)
        if (!forecast) return
        const { useLPerDay, daysLeft, levelL } = forecast
        expect(useLPerDay.low).toBeLessThanOrEqual(useLPerDay.typical)
        expect(useLPerDay.typical).toBeLessThanOrEqual(useLPerDay.high)
        expect(levelL).toBeGreaterThanOrEqual(0)
        if (daysLeft.typical === null) return
        expect(daysLeft.low).toBeLessThanOrEqual(daysLeft.typical)
        if (daysLeft.high !== null) expect(daysLeft.high).toBeGreaterThanOrEqual(daysLeft.typical)
      }),
    )
  })

  it('is the same by run time as by levels where the pump always ran the same', () => {
    const same = [1, 2, 3, 4].map(() => ({ days: 5, perDay: 12, share: 10 }))
    expect(known(same, runs())?.daysLeft.typical).toBeCloseTo(known(same, null)?.daysLeft.typical ?? 0, 6)
  })

  it('falls day for day while nobody looks', () => {
    const given = drumWith(levelsOf([1, 2, 3].map(() => ({ days: 5, perDay: 12, share: 10 }))))
    const left = (days: number) => drumForecast(given, NOW + days * DAY)?.daysLeft.typical ?? Number.NaN
    expect(left(0) - left(3)).toBeCloseTo(3, 6)
    expect(left(30)).toBe(0)
  })

  it('is shorter for more use at the same level, and longer for a higher level at the same use', () => {
    const at = (perDay: number, levelL: number) => {
      const levels = levelsOf([1, 2, 3].map(() => ({ days: 5, perDay, share: 10 })))
      const last = levels.at(-1) as DrumLevel
      const deliveredL = last.deliveredL - (last.levelL - levelL)
      return (
        drumForecast(drumWith([...levels.slice(0, -1), { ...last, levelL, deliveredL }]), NOW)?.daysLeft.typical ?? 0
      )
    }
    fc.assert(
      fc.property(fc.integer({ min: 6, max: 30 }), fc.integer({ min: 10, max: 180 }), (perDay, levelL) => {
        expect(at(perDay + 1, levelL)).toBeLessThan(at(perDay, levelL))
        expect(at(perDay, levelL + 1)).toBeGreaterThan(at(perDay, levelL))
      }),
    )
  })

  it('of a pump that moves nothing for weeks does not take its minutes for use', () => {
    const levels = levelsOf([1, 2, 3].map(() => ({ days: 5, perDay: 6, share: 10 })))
    // ten times as long since the last reading two weeks ago: twice is believed
    const stuck: RunTime = (fromMs, toMs) => {
      const after = Math.max(0, toMs - Math.max(fromMs, NOW))
      return ((toMs - fromMs - after) / DAY) * 60 + (after / DAY) * 600
    }
    const forecast = drumForecast(drumWith(levels), NOW + 14 * DAY, stuck)
    expect(forecast?.useLPerDay.typical).toBeCloseTo(12, 6)
    expect(forecast?.levelL).toBeCloseTo(200 - 14 * 12, 6)
  })
})

describe('a plan', () => {
  const given = drumWith(levelsOf([1, 2, 3].map(() => ({ days: 5, perDay: 12, share: 5 }))))
  const forecast = drumForecast(given, NOW)
  if (!forecast) throw new Error('there is no forecast')
  const RANK = { sure: 0, unsure: 1, no: 2, unknown: 3 }

  it('brings more, and never lasts better, the later the round; never more than the drum holds', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 40 }), (days) => {
        const [one, next] = [days, days + 1].map((day) => supplyPlan(given, forecast, NOW, NOW + day * DAY))
        if (!one || !next) throw new Error('there is no plan')
        expect(next.fillL.typical).toBeGreaterThanOrEqual(one.fillL.typical)
        expect(one.fillL.low).toBeLessThanOrEqual(one.fillL.typical)
        expect(one.fillL.typical).toBeLessThanOrEqual(one.fillL.high)
        expect(one.fillL.high).toBeLessThanOrEqual(given.capacityL)
        expect(RANK[next.lasts]).toBeGreaterThanOrEqual(RANK[one.lasts])
        expect(next.latestMs).toBe(one.latestMs)
      }),
    )
  })

  it('is ordered so many days before it must be there', () => {
    const { latestMs, orderMs } = supplyPlan(given, forecast, NOW, NOW + 7 * DAY, 3)
    expect((latestMs ?? 0) - (orderMs ?? 0)).toBe(3 * DAY)
  })

  it.each([
    ['sodiumHypochlorite', null],
    ['hydrochloricAcid', null],
    ['calciumHypochlorite', 0.8],
    ['trichlor', 0.95],
    ['bromineTablets', 0.9],
    ['carbonDioxide', 0.75],
  ] as const)('of %s is told by weight where it is loaded by weight', (content, kgPerL) => {
    const { fillKg, fillL } = supplyPlan({ ...given, content }, forecast, NOW, NOW)
    if (kgPerL === null) expect(fillKg).toBeNull()
    else expect(fillKg?.typical).toBeCloseTo(fillL.typical * kgPerL, 6)
  })
})

describe('what is said of a thousand drums that live on', () => {
  // docs/feed.md tells these figures
  it.each([
    ['levels', false, { inside: 0.55, tooLate: 0.12, sureHeld: 0.97 }],
    ['run time', true, { inside: 0.8, tooLate: 0.05, sureHeld: 0.98 }],
  ] as const)(
    'by %s: how often the range holds, and the drum is not empty before it must be filled',
    (_way, byRun, least) => {
      const { count, inside, middle, tooLate, sureHeld } = figuresOf(byRun)
      expect(count).toBeGreaterThan(900)
      expect(middle).toBeGreaterThan(0.95)
      expect(middle).toBeLessThan(1.05)
      expect(inside).toBeGreaterThan(least.inside)
      expect(tooLate).toBeLessThan(least.tooLate)
      expect(sureHeld).toBeGreaterThan(least.sureHeld)
    },
  )
})

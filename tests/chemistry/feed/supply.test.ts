import {
  type DrumFacts,
  type DrumLevel,
  drawnStretches,
  drawOf,
  drumForecast,
  pumpWear,
  type RunTime,
  supplyPlan,
} from '@sightglass/chemistry'
import { describe, expect, it } from 'vitest'
import { ACID_PUMP, DAY, drum, feeder, find, NOW } from '../support.ts'
import { past, withPast } from './past.ts'

const DAY_MIN = 60
/** A pump that runs an hour each day, and so many in the newest days. */
const runs =
  (newestDays = 0, minutes = DAY_MIN): RunTime =>
  (fromMs, toMs) => {
    const since = NOW - newestDays * DAY
    const before = Math.max(0, Math.min(toMs, since) - fromMs) / DAY
    const after = Math.max(0, toMs - Math.max(fromMs, since)) / DAY
    return before * DAY_MIN + after * minutes
  }
const RUNS = runs()

/** Levels every four days, filled up each time; ten litres a day are drawn. */
const levels = (last: number, lastAgoDays = 0, perDay = 10): DrumLevel[] =>
  Array.from({ length: 6 }, (_, visit) => ({
    atMs: NOW - (lastAgoDays + (5 - visit) * 4) * DAY,
    levelL: visit === 5 ? last : 150,
    deliveredL: visit === 0 ? 0 : visit === 5 ? last - 150 + 4 * perDay : 4 * perDay,
  }))
const hypochlorite = (given: DrumLevel[]): DrumFacts => drum('sodiumHypochlorite', given)

describe('litres for each minute of run', () => {
  it('come from the fall between readings and the run in that time', () => {
    const stretches = drawnStretches(hypochlorite(levels(150)), RUNS)
    expect(stretches).toHaveLength(5)
    expect(drawOf(stretches)?.typical).toBeCloseTo(10 / 60, 9)
  })

  it('leave out a stretch with a refill that nobody wrote down, and one whose run was not heard', () => {
    const silent = levels(150).map((level, at) => (at === 3 ? { ...level, deliveredL: 0 } : level))
    expect(drawnStretches(hypochlorite(silent), RUNS)).toHaveLength(4)
    const deaf: RunTime = (fromMs, toMs) => (fromMs < NOW - 10 * DAY ? null : RUNS(fromMs, toMs))
    expect(drawnStretches(hypochlorite(levels(150)), deaf).length).toBeLessThan(4)
  })

  it('wait for more where less was drawn than the stick can tell', () => {
    const stretches = drawnStretches(hypochlorite(levels(150, 0, 0.5)), RUNS)
    // 2 L between visits, and the stick may miss 2.8: three visits are one stretch, the rest is told by itself
    expect(stretches.map(({ fallL }) => fallL)).toEqual([6, 4])
  })

  it('tell nothing from no reading or one', () => {
    expect(drawOf(drawnStretches(hypochlorite([]), RUNS))).toBeNull()
    expect(drawOf(drawnStretches(hypochlorite(levels(150).slice(-1)), RUNS))).toBeNull()
  })
})

describe('days left by run time', () => {
  it('are those by levels where it runs as ever', () => {
    const given = hypochlorite(levels(50))
    const byRun = drumForecast(given, NOW, RUNS)
    expect(byRun?.from).toBe('runTime')
    expect(byRun?.daysLeft.typical).toBeCloseTo(drumForecast(given, NOW)?.daysLeft.typical ?? 0, 6)
  })

  it('see a hot week before anybody reads the level', () => {
    const given = hypochlorite(levels(100, 3))
    const hot = drumForecast(given, NOW, runs(3, 1.8 * DAY_MIN))
    expect(hot?.levelL).toBeCloseTo(100 - 3 * 18, 6)
    expect(drumForecast(given, NOW)?.levelL).toBeCloseTo(100 - 3 * 10, 6)
    expect(hot?.daysLeft.low).toBeLessThan(hot?.daysLeft.typical ?? 0)
    expect(hot?.daysLeft.high).toBeGreaterThan(hot?.daysLeft.typical ?? 0)
  })

  it('are not emptied on paper by a pump that runs and delivers nothing', () => {
    const forecast = drumForecast(hypochlorite(levels(150, 2)), NOW, runs(2, 12 * DAY_MIN))
    expect(forecast?.levelL).toBeGreaterThan(100)
  })

  it('fall back to the levels where the run was not heard since the last reading', () => {
    const deaf: RunTime = (fromMs, toMs) => (toMs > NOW - 2 * DAY ? null : RUNS(fromMs, toMs))
    expect(drumForecast(hypochlorite(levels(50, 3)), NOW, deaf)?.from).toBe('levels')
  })

  it('come into the finding of a low drum', () => {
    const hot = past((hoursAgo) => ({ sanitizerFeedMin: hoursAgo <= 72 ? 4.5 : 2.5 }))
    const read = levels(100, 3)
    const given = withPast({ hours: hot, feeders: [feeder({ role: 'primary', drum: hypochlorite(read) }), ACID_PUMP] })
    // three days at 18 L leave 46 L, and a day of the last week takes 13.4; by the levels alone it would last a week
    expect(find(given, 'drumLow')?.value?.value).toBeCloseTo(46 / ((3 * 18 + 4 * 10) / 7), 1)
  })
})

describe('what to bring', () => {
  const plan = (last: number, inDays: number) => {
    const given = hypochlorite(levels(last))
    const forecast = drumForecast(given, NOW, RUNS)
    if (!forecast) throw new Error('no forecast')
    return supplyPlan(given, forecast, NOW, NOW + inDays * DAY)
  }

  it.each([
    [100, 5, 'sure'],
    [52, 5, 'unsure'],
    [40, 5, 'no'],
  ] as const)('with %s L at 10 L a day and a round in %s days: lasts %s', (last, days, lasts) => {
    expect(plan(last, days).lasts).toBe(lasts)
  })

  it('fills the drum up at the next round, as a range', () => {
    const { fillL } = plan(100, 5)
    expect(fillL.typical).toBeCloseTo(200 - 50, 6)
    expect(fillL.low).toBeLessThan(fillL.typical)
    expect(fillL.high).toBeGreaterThan(fillL.typical)
  })

  it('says until when it must be there: a day of its fastest use before it is empty, and not in the past', () => {
    const { latestMs } = plan(100, 5)
    expect(latestMs).toBeLessThan(NOW + 9 * DAY)
    expect(latestMs).toBeGreaterThan(NOW + 6 * DAY)
    expect(plan(2, 5).latestMs).toBe(NOW)
  })

  it('knows no end where nothing is used', () => {
    const idle = hypochlorite(levels(150, 0, 0))
    const forecast = drumForecast(idle, NOW)
    if (!forecast) throw new Error('no forecast')
    expect(supplyPlan(idle, forecast, NOW, NOW + DAY)).toMatchObject({ lasts: 'unknown', latestMs: null })
  })
})

describe('wear of a pump', () => {
  const wear = (newestPerDay: number) => {
    const fell = levels(150).map((level, at) => (at === 5 ? { ...level, deliveredL: 4 * newestPerDay } : level))
    return pumpWear(drawnStretches(hypochlorite(fell), RUNS))
  }

  it.each([
    [10, null],
    [8, null], // within what the stick and the tube do
    [5, 0.5],
    [2, 0.2],
  ] as const)('newest stretch %s L a day instead of 10: ratio %s', (perDay, ratio) => {
    const found = wear(perDay)
    if (ratio === null) expect(found).toBeNull()
    else expect(found?.ratio).toBeCloseTo(ratio, 6)
  })

  /** Litres an hour of run in each of the stretches. */
  const rates = (...litresPerHour: number[]) => {
    const read = litresPerHour.map((rate, at) => ({
      atMs: NOW - (litresPerHour.length - 1 - at) * 7 * DAY,
      levelL: 150,
      deliveredL: 7 * rate,
    }))
    const first = { atMs: NOW - litresPerHour.length * 7 * DAY, levelL: 150, deliveredL: 0 }
    return pumpWear(drawnStretches(hypochlorite([first, ...read]), RUNS))
  }

  it('shows over weeks although no week stands out', () => {
    // the newest is 0.75 of the median before it
    expect(rates(10, 8.3, 6.2)).toMatchObject({ gradual: true, sinceMs: NOW - 21 * DAY })
    expect(rates(10, 8.3, 6.2)?.ratio).toBeCloseTo(0.62, 1)
    expect(rates(10, 9, 8, 7.5)).toBeNull()
  })

  it.each([
    ['up and down, with the lowest last', [10, 7, 10, 7.3]],
    ['what grows: a new tube', [6, 8, 10]],
    ['less than the stick tells: half a litre a day', [0.5, 0.4, 0.3]],
  ] as const)('is not said of %s', (_case, given) => {
    expect(rates(...given)).toBeNull()
  })

  it('is said of a pump that runs and moves nothing as soon as its drum should have fallen', () => {
    const stands = (newestDays: number) =>
      pumpWear(
        drawnStretches(hypochlorite([...levels(150, newestDays), { atMs: NOW, levelL: 150, deliveredL: 0 }]), RUNS),
      )
    // 14 L should have gone before the stick can tell: five times its error
    expect(stands(1)).toBeNull()
    expect(stands(2)?.ratio).toBe(0)
  })

  it('begins anew after the pump was served, and needs two stretches before', () => {
    const fell = levels(150).map((level, at) => (at >= 4 ? { ...level, deliveredL: 20 } : level))
    const stretches = drawnStretches(hypochlorite(fell), RUNS)
    expect(pumpWear(stretches)?.ratio).toBeCloseTo(0.5, 6)
    expect(pumpWear(stretches, NOW - 5 * DAY)).toBeNull()
    expect(pumpWear(stretches.slice(-2))).toBeNull()
  })
})

import { describe, expect, it } from 'vitest'
import { localClock } from '../../packages/chemistry/src/plant/clock.ts'
import { orpOf } from '../../packages/chemistry/src/plant/oxidant.ts'
import { createRandom } from '../../packages/chemistry/src/plant/random.ts'
import { TEMPLATES, type TemplateName } from '../../seed/src/company/templates.ts'
import { DAY, HOUR, last, median, NOW, plantOf, quantile, run, runDays } from './support.ts'

const templates = Object.keys(TEMPLATES) as TemplateName[]

describe('the generator', () => {
  it('gives the same numbers for the same seed and others for another', () => {
    const draw = (seed: string) => Array.from({ length: 5 }, createRandom(seed).next)
    expect(draw('a')).toEqual(draw('a'))
    expect(draw('a')).not.toEqual(draw('b'))
  })

  it('draws evenly, and about normally', () => {
    const random = createRandom('even')
    const even = Array.from({ length: 20_000 }, () => random.next())
    const normal = Array.from({ length: 20_000 }, () => random.normal())
    const mean = (list: number[]) => list.reduce((sum, value) => sum + value, 0) / list.length
    expect(mean(even)).toBeCloseTo(0.5, 1)
    expect(Math.min(...even)).toBeGreaterThanOrEqual(0)
    expect(Math.max(...even)).toBeLessThan(1)
    expect(mean(normal)).toBeCloseTo(0, 1)
    expect(mean(normal.map((value) => value * value))).toBeCloseTo(1, 1)
  })
})

describe('a plant', () => {
  it('writes the same numbers again for the same seed, and others for another', () => {
    const plant = plantOf('outdoorPool')
    const [first, again, other] = [runDays(plant, 8, 'one'), runDays(plant, 8, 'one'), runDays(plant, 8, 'two')]
    expect(again).toEqual(first)
    expect(other.samples).not.toEqual(first.samples)
  })

  it('does not change its own description', () => {
    const plant = plantOf('spa')
    const before = structuredClone(plant)
    runDays(plant, 3)
    expect(plant).toEqual(before)
  })

  it('writes a sample every five minutes up to and with the last instant', () => {
    const { samples } = runDays(plantOf('outdoorPool'), 2)
    expect(samples).toHaveLength(2 * 288)
    expect(last(samples).atMs).toBe(NOW)
    expect(samples.every((sample, at) => at === 0 || sample.atMs - (samples[at - 1]?.atMs ?? 0) === 300_000)).toBe(true)
  })

  it.each(templates)('loses no chlorine: what is fed is used, washed out, or there (%s)', (template) => {
    const plant = plantOf(template)
    const { end } = runDays(plant, 20)
    const { ledger, water } = end
    const there = water.sanitizerMgL + water.spreading.sanitizerMgL + water.inPipe.sanitizerMgL
    const came = plant.start.sanitizerMgL + ledger.fedMgL + ledger.byHandMgL
    expect(there + ledger.usedMgL + ledger.washedOutMgL).toBeCloseTo(came, 6)
    expect(ledger.fedMgL).toBeGreaterThan(5)
  })

  it('loses no litre: what left a drum and what came in is the change of its level', () => {
    const plant = plantOf('outdoorPool')
    const { end, drumLevels } = runDays(plant, 60, 'drums', [
      { kind: 'drumTakenFrom', role: 'ph', fromMs: NOW - 20 * DAY, toMs: NOW - 19 * DAY, amount: 3 },
    ])
    for (const feeder of end.feeders) {
      const start = feeder.spec.drum?.startLevelL ?? Number.NaN
      expect(feeder.levelL).toBeCloseTo(start + feeder.deliveredL - feeder.drawnL - feeder.takenL, 6)
      expect(feeder.deliveredL).toBeGreaterThan(0)
      const readings = drumLevels.filter(({ role }) => role === feeder.role)
      const delivered = readings.reduce((sum, { deliveredL }) => sum + deliveredL, 0)
      expect(delivered).toBeCloseTo(feeder.deliveredL, 0)
    }
  })

  it('feeds from the drum as much chlorine as the litres held', () => {
    const plant = plantOf('indoorPool')
    const { end } = runDays(plant, 10)
    const drawnL = end.feeders.find(({ role }) => role === 'primary')?.drawnL ?? 0
    const fedG = (end.ledger.fedMgL * plant.volumeL) / 1000
    // 120 g/L when fresh, and up to 10 % less after ten days
    expect(fedG / drawnL).toBeLessThan(120)
    expect(fedG / drawnL).toBeGreaterThan(100)
  })

  it.each(templates)('holds its set points when nothing is wrong (%s)', (template) => {
    const { samples, readings } = runDays(plantOf(template), 30)
    const settled = samples.filter(({ atMs }) => atMs > NOW - 25 * DAY)
    const off = settled.map((sample) => sample.orpMv - sample.orpSetPointMv)
    expect(quantile(off, 0.05)).toBeGreaterThan(-18)
    expect(quantile(off, 0.95)).toBeLessThan(18)
    const ph = settled.map((sample) => sample.ph)
    expect(quantile(ph, 0.05)).toBeGreaterThan(7.3)
    expect(quantile(ph, 0.95)).toBeLessThan(7.55)
    const target = plantOf(template).target.sanitizerMgL
    const measured = readings.map(({ values }) => values.freeChlorineMgL ?? Number.NaN)
    expect(quantile(measured, 0.05)).toBeGreaterThan(target * 0.55)
    expect(quantile(measured, 0.95)).toBeLessThan(target * 1.7)
  })

  it('never feeds acid and sanitizer in the same five minutes when nothing is wrong', () => {
    for (const template of ['outdoorPool', 'spa', 'splash'] as const) {
      const { samples } = runDays(plantOf(template), 10)
      expect(samples.filter((sample) => sample.sanitizerFeedPct > 0 && sample.phFeedPct > 0)).toEqual([])
      expect(samples.some((sample) => sample.sanitizerFeedPct > 0)).toBe(true)
      expect(samples.some((sample) => sample.phFeedPct > 0)).toBe(true)
    }
  })

  it('loses more chlorine in the sun than under a roof, and more yet without cyanuric acid', () => {
    const used = (cyanuricAcidMgL: number, setting: 'indoor' | 'outdoor') => {
      const plant = plantOf('outdoorPool')
      const without = { ...plant, setting, bathers: { ...plant.bathers, peak: 0 } }
      const water = { ...without, start: { ...without.start, cyanuricAcidMgL }, controller: null, feeders: [] }
      return run(water, { seed: 'sun', fromMs: NOW - 24 * HOUR, toMs: NOW - 14 * HOUR }).end.ledger.usedMgL
    }
    expect(used(0, 'outdoor')).toBeGreaterThan(used(30, 'outdoor') * 1.5)
    expect(used(30, 'outdoor')).toBeGreaterThan(used(30, 'indoor') * 1.5)
  })

  it('lets the pH rise by itself, faster where water is sprayed', () => {
    const rise = (aerationPerHour: number) => {
      const plant = { ...plantOf('indoorPool'), aerationPerHour, controller: null, feeders: [] }
      return -Math.log10(run(plant, { seed: 'air', fromMs: NOW - 2 * DAY, toMs: NOW }).end.water.hydrogen)
    }
    expect(rise(0.02)).toBeGreaterThan(7.5)
    expect(rise(0.1)).toBeGreaterThan(rise(0.02) + 0.1)
  })

  it('keeps in the pipe what is fed without flow, and gives the slug to the pool when flow returns', () => {
    const plant = plantOf('outdoorPool')
    const stop = NOW - 6 * HOUR
    const faults = [
      { kind: 'recirculationDown', fromMs: stop },
      { kind: 'flowIgnored', fromMs: stop },
      { kind: 'feederStuckOn', role: 'primary', amount: 0.5, fromMs: stop },
    ] as const
    const still = runDays(plant, 3, 'pipe', [...faults]).end.water
    expect(still.inPipe.sanitizerMgL).toBeGreaterThan(2)
    const flowing = runDays(plant, 3, 'pipe', [
      { ...faults[0], toMs: NOW - 2 * HOUR },
      faults[1],
      { ...faults[2], toMs: NOW - 2 * HOUR },
    ]).end.water
    expect(flowing.inPipe.sanitizerMgL).toBe(0)
    expect(flowing.sanitizerMgL).toBeGreaterThan(still.sanitizerMgL + 2)
  })

  it('loses strength as the days go by in a hypochlorite drum that nobody refills', () => {
    const { end } = runDays(plantOf('lapPool'), 10, 'fade', [{ kind: 'drumForgotten', role: 'primary', fromMs: 0 }])
    const strength = end.feeders.find(({ role }) => role === 'primary')?.strength
    expect(strength).toBeGreaterThan(0.88)
    expect(strength).toBeLessThan(0.93)
  })
})

describe('an ORP probe', () => {
  // Nernst's equation for HOCl + H⁺ + 2e⁻ = Cl⁻ + H₂O: 29.58 mV for a decade of HOCl, and -29.58 mV for a unit of pH, at 25 °C
  it('answers by the theoretical slope when its sensitivity is 1', () => {
    expect(orpOf(20, 7.5, 25, 1, false) - orpOf(2, 7.5, 25, 1, false)).toBeCloseTo(29.58, 0)
    expect(orpOf(20, 7.2, 25, 1, false) - orpOf(20, 8.2, 25, 1, false)).toBeCloseTo(29.58, 0)
  })

  it('falls without limit of theory towards bare water when the sanitizer is gone', () => {
    expect(orpOf(0, 7.5, 25, 1.5, false)).toBeGreaterThan(340)
    expect(orpOf(0, 7.5, 25, 1.5, false)).toBeLessThan(400)
  })
})

describe('the wall clock', () => {
  it.each([
    ['America/Chicago', '2026-11-01T06:30:00Z', 1.5],
    ['America/Chicago', '2026-11-01T07:30:00Z', 1.5],
    ['America/Chicago', '2026-03-08T08:30:00Z', 3.5],
    ['America/Phoenix', '2026-07-01T19:00:00Z', 12],
  ])('reads %s at %s as %d', (zone, at, hour) => {
    expect(localClock(zone)(Date.parse(at)).hour).toBeCloseTo(hour, 6)
  })

  it('knows weekday and day of the year', () => {
    expect(localClock('America/New_York')(Date.parse('2026-11-26T02:00:00Z'))).toMatchObject({
      weekday: 3,
      dayOfYear: 328,
    })
  })
})

it('tests by hand agree with the water within the kit’s error', () => {
  const { readings, samples } = runDays(plantOf('indoorPool'), 20)
  const apart = readings.map(({ values, displayPh }) => Math.abs((values.ph ?? 0) - (displayPh ?? 0)))
  expect(median(apart)).toBeLessThan(0.1)
  expect(samples.length).toBeGreaterThan(0)
})

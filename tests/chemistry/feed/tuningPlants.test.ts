// Advised settings on many plants, against what they promise and against the full chemistry; beside them what overshoots.
import {
  afterDose,
  busyStart,
  CHEMICALS,
  renderPhrase,
  type TuningCase,
  tuningRun,
  type Water,
} from '@sightglass/chemistry'
import { describe, expect, it } from 'vitest'
import { NOW } from '../support.ts'
import { ACID, acidAt, CHLORINE, WATER } from './examples.ts'
import { actsOn, HARMLESS, plantsOf, runOf, sharpOf, tunedOf } from './randomPlants.ts'

const ROLES = ['primary', 'ph'] as const
/** docs/feed.md states these. */
const OVERSHOOT = { primary: 7, ph: 0.05 }
const PLANTS_OF = { primary: plantsOf('primary'), ph: plantsOf('ph') }

const flowOf = ({ body }: TuningCase, times: number) => ({ ...body, flowLMin: times * (body.flowLMin as number) })
const rateOf = ({ feeder }: TuningCase, times: number) => ({ ...feeder, rateLH: times * (feeder.rateLH as number) })

describe.each(ROLES)('advised settings on many plants, %s', (role) => {
  const fitting = PLANTS_OF[role].filter(({ tuning }) => tuning.verdict === 'fits')

  it('fit most feeders, and are too small for some', () => {
    expect(fitting.length).toBeGreaterThan(PLANTS_OF[role].length / 2)
    expect(fitting.length).toBeLessThan(PLANTS_OF[role].length)
  })

  it(`overshoot by ${OVERSHOOT[role]} at most, and reach the set point in the time that is told`, () => {
    for (const { seed, overshoot, reachedMin, toldMin } of actsOn(role)) {
      expect(overshoot, seed).toBeLessThanOrEqual(OVERSHOOT[role])
      expect(toldMin, seed).not.toBeNull()
      expect(reachedMin, seed).not.toBeNull()
      expect(reachedMin, seed).toBeLessThanOrEqual(toldMin as number)
    }
  })

  it('do not overshoot either where the feeder is too small', () => {
    for (const plant of PLANTS_OF[role].filter(({ tuning }) => tuning.verdict === 'tooSmall')) {
      expect(runOf(plant, 24).advised.overshoot, plant.seed).toBeLessThanOrEqual(OVERSHOOT[role])
    }
  })

  it.each<[string, (given: TuningCase) => TuningCase]>([
    ['the water mixes half as fast', (given) => ({ ...given, body: flowOf(given, 0.5) })],
    ['the feeder gives a third more', (given) => ({ ...given, feeder: rateOf(given, 1.33) })],
    ['both', (given) => ({ ...given, body: flowOf(given, 0.5), feeder: rateOf(given, 1.33) })],
    [
      'alkalinity is a third less',
      (given) => ({ ...given, water: { ...given.water, totalAlkalinityMgL: 0.67 * given.water.totalAlkalinityMgL } }),
    ],
    ['nothing is used', (given) => ({ ...given, dailyUse: 0 })],
  ])('stay without harm where, unknown to anybody, %s', (_case, truth) => {
    for (const { given, setPoint, tuning, seed } of fitting.filter((_, at) => at % 3 === 0)) {
      const { advised } = tuningRun(truth(given), tuning, null, busyStart(given, NOW, setPoint, 48))
      expect(advised.overshoot, seed).toBeLessThanOrEqual(1.2 * HARMLESS[role])
    }
  })

  it('never give more unseen than the value may be over', () => {
    for (const { tuning, given } of PLANTS_OF[role]) {
      expect(tuning.largestDose.moves).toBeLessThanOrEqual(HARMLESS[role] + 1e-9)
      expect(tuning.band).toBeGreaterThanOrEqual(tuning.largestDose.moves - 1e-9)
      const turnoverMin = (given.body.volumeL as number) / (given.body.flowLMin as number)
      // as many doses as fall into one and a half times the mixing and the probe's time
      const unseen = (turnoverMin / 4 + 6 + tuning.onTimeMin) / (tuning.onTimeMin + tuning.waitMin)
      expect(unseen * tuning.largestDose.moves).toBeLessThanOrEqual(HARMLESS[role] * 1.05)
      expect(tuning.waitMin).toBeGreaterThanOrEqual(Math.min(10, tuning.onTimeMin))
    }
  })

  it('four times as long an on-time, a wait of 10 min and hardly any band go beyond harm, each of them', () => {
    const strong = fitting.filter(({ tuning }) => tuning.onTimeMin < 30)
    expect(strong.length).toBeGreaterThan(20)
    for (const plant of strong) {
      const { now, advised } = runOf(plant, 48, sharpOf(plant, role))
      expect(now?.overshoot, plant.seed).toBeGreaterThan(HARMLESS[role])
      expect(now?.overshoot, plant.seed).toBeGreaterThan(2 * advised.overshoot)
    }
  })
})

describe('the arithmetic of the trade', () => {
  it('10 % hypochlorite at 8 L/h in 100 m³: 45 s for 0.1 mg/L', () => {
    // 10 trade % is 100 g in a litre, by definition; 0.1 mg/L in 100,000 L is 10 g: 0.1 L, of 8 L in an hour
    const secondsByHand = ((0.1 * 100_000) / 1000 / 100 / 8) * 3600
    expect(secondsByHand).toBeCloseTo(45, 9)
    const { largestDose, onTimeMin } = tunedOf(CHLORINE)
    expect((onTimeMin * 60 * 0.1) / (largestDose.mgL as number)).toBeCloseTo(secondsByHand, 6)
    // 65 mV for ten times as much is 14.1 mV for each mg/L at 2 mg/L (common practice, no source): 10 mV are 0.71 mg/L
    expect(largestDose.mgL).toBeCloseTo(10 / (65 / Math.LN10 / 2), 6)
    expect(largestDose.litres).toBeCloseTo(0.71, 2)
  })

  it('31.45 % muriatic acid: a litre in 100 m³ takes 5 mg/L of alkalinity', () => {
    // 1.16 kg × 0.3145 / 36.46 g/mol is 10.0 mol; 10 eq in 100,000 L are 0.1 meq/L, × 50.04
    const { largestDose } = tunedOf(ACID)
    const perLitre = ((largestDose.meqL as number) * 50.043) / (largestDose.litres as number)
    expect(perLitre).toBeCloseTo(5, 1)
  })

  it('the largest dose of acid lowers pH by 0.1 by the full chemistry, too', () => {
    for (const totalAlkalinityMgL of [60, 80, 120, 180]) {
      for (const ph of [7.4, 7.6, 7.8]) {
        const given = { ...ACID, water: { ...WATER, totalAlkalinityMgL, ph } }
        const massG = (tunedOf(given).largestDose.litres as number) * 1159
        const full: Water = {
          ...{ tempC: 27, ph, totalAlkalinityMgL, calciumHardnessMgL: 250, cyanuricAcidMgL: 0, tdsMgL: 1000 },
          ...{ boronMgL: 0, freeChlorineMgL: 0, combinedChlorineMgL: 0, bromineMgL: 0, sulfateMgL: 0 },
        }
        const after = afterDose(full, 100_000, { chemical: CHEMICALS.hydrochloricAcid31, massG })
        expect(ph - after.ph, `pH ${ph}, alkalinity ${totalAlkalinityMgL}`).toBeGreaterThan(0.08)
        expect(ph - after.ph, `pH ${ph}, alkalinity ${totalAlkalinityMgL}`).toBeLessThan(0.115)
      }
    }
  })
})

describe('how settings were worked out', () => {
  const words = (given: TuningCase) =>
    tunedOf(given)
      .working.map((line) => renderPhrase(line, 'metric'))
      .join(' ')
  const small: TuningCase = { ...CHLORINE, feeder: { ...CHLORINE.feeder, rateLH: 2.5 } }
  const slow: TuningCase = { ...CHLORINE, body: { ...CHLORINE.body, flowLMin: 20 }, dailyUse: 20 }

  it('is told in seconds where minutes are too coarse, and in hundredths of pH', () => {
    expect(words(ACID)).toMatch(/One on-time of 1 min 45 s moves pH by 0\.10 pH: that much it may be over without harm/)
    expect(words(ACID)).toMatch(/On a usual day it stands 0\.03 pH short of its set point: .* no fault/)
  })

  it('says why a small feeder may feed again sooner', () => {
    expect(tunedOf(small)).toMatchObject({ onTimeMin: expect.closeTo(17, 1), waitMin: 66 })
    const smaller = { ...small, feeder: { ...small.feeder, rateLH: 1 } }
    // 10 mV are 0.71 L, 42.5 min of its run, which may be unseen: 42.5 / (30 + 66) of the time
    expect(tunedOf(smaller)).toMatchObject({ onTimeMin: 30, waitMin: 38 })
    expect(words(smaller)).toContain('So it may feed again after 38 min, before all of the dose is seen')
  })

  it('says whether a larger feeder helps, or whether it is the mixing', () => {
    expect(words({ ...small, feeder: { ...small.feeder, rateLH: 0.5 } })).toContain('fit a larger feeder')
    expect(tunedOf(slow).verdict).toBe('tooSmall')
    expect(words(slow)).toContain('because the water mixes so slowly')
  })

  it('of a generator speak of its band alone', () => {
    const generator: TuningCase = {
      ...CHLORINE,
      feeder: { role: 'primary', kind: 'saltGenerator', drum: null },
      outputGH: 60,
    }
    expect(words(generator)).toContain('It runs without a wait and is turned down over a band of')
    expect(words(generator)).not.toContain('on-time')
  })
})

describe('alkalinity', () => {
  it('makes the dose: the less of it, the shorter the on-time', () => {
    const on = [40, 60, 80, 120, 180].map((alkalinity) => tunedOf(acidAt(alkalinity)).onTimeMin)
    expect(on).toEqual([...on].sort((a, b) => a - b))
    // about in proportion
    expect((on[4] as number) / (on[1] as number)).toBeGreaterThan(2.5)
  })

  it('makes the overshoot of settings that stay as they are', () => {
    const sharp = { onTimeMin: 10, waitMin: 10, band: 0.02 }
    const over = [50, 100, 200].map((alkalinity) => {
      const given = acidAt(alkalinity)
      return tuningRun(given, tunedOf(given), sharp, busyStart(given, NOW, 7.4, 48)).now?.overshoot ?? Number.NaN
    })
    expect(over).toEqual([...over].sort((a, b) => b - a))
    expect(over[0]).toBeGreaterThan(1.8 * (over[2] as number))
  })
})

describe('the coming hours', () => {
  it('look the same whatever the set point that stands for the target: from the first sample on', () => {
    const tuning = tunedOf(CHLORINE)
    const at = (setPoint: number) => tuningRun(CHLORINE, tuning, null, busyStart(CHLORINE, NOW, setPoint, 24)).advised
    const [low, high] = [at(640), at(800)]
    expect(low.overshoot).toBe(high.overshoot)
    expect(low.reachedMin).toBe(high.reachedMin)
    expect(low.value.map((value) => value - 640)).toEqual(
      high.value.map((value) => expect.closeTo(value - 800, 6) as unknown as number),
    )
    // half of the target is 65 mV × log10 2 below
    expect((low.value[0] as number) - 640).toBeCloseTo(-65 * Math.log10(2), -1)
  })
})

describe('too long an on-time', () => {
  it('is worst with acid: the same pump and settings throw pH three times as far beyond harm as ORP', () => {
    const timesHarm = (given: TuningCase, setPoint: number, harmless: number) => {
      const long = { onTimeMin: 30, waitMin: 10, band: harmless / 5 }
      const { now } = tuningRun(given, tunedOf(given), long, busyStart(given, NOW, setPoint, 48))
      return (now?.overshoot ?? Number.NaN) / harmless
    }
    const chlorine = timesHarm(CHLORINE, 740, 10)
    expect(chlorine).toBeGreaterThan(1.5)
    for (const alkalinity of [60, 80, 120])
      expect(timesHarm(acidAt(alkalinity), 7.4, 0.1)).toBeGreaterThan(2 * chlorine)
    expect(timesHarm(ACID, 7.4, 0.1)).toBeGreaterThan(2.9 * chlorine)
  })
})

import {
  assessRedox,
  attribute,
  feedEffort,
  fitRedox,
  type RedoxDrift,
  type RedoxRecord,
  type RedoxWater,
} from '@sightglass/chemistry'
import { describe, expect, it } from 'vitest'
import {
  AIM,
  chlorineFor,
  daysAgo,
  heldPairs,
  hoursOf,
  NOW,
  PROBE,
  type Probe,
  pair,
  pairsOf,
  record,
  seeded,
  shows,
  texts,
  WATER,
  work,
} from './support.ts'

const driftOf = (given: Partial<RedoxRecord>): RedoxDrift => assessRedox(record(given), AIM, NOW).drift
const often = { days: 60 }
const part = (drift: RedoxDrift, factor: string) =>
  drift.attribution?.parts.find((one) => one.factor === factor)?.mv.value ?? Number.NaN

describe('whether ORP still means what it meant', () => {
  it.each([1, 2, 3, 4, 5, 6])('says nothing of a probe that stands (seed %i)', (seed) => {
    for (const pairs of [pairsOf(30, { ...often, seed }), heldPairs(30, 765, { ...often, seed })]) {
      const drift = driftOf({ pairs })
      expect(drift.alarm).toBe(false)
      expect(drift.shape).toBe('none')
      expect(drift.steps).toEqual([])
      expect(texts(drift.reasons)).toBe('')
    }
  })

  it.each([-1, 1])('calls it a slope where it goes on: a probe that ages by 6 mV a week (%i)', (way) => {
    const drift = driftOf({ pairs: pairsOf(40, { ...often, drift: (ago) => (way * 6 * (60 - ago)) / 7 }) })
    expect(drift).toMatchObject({ shape: 'slope', alarm: true, steps: [] })
    const trend = drift.trendMvPerWeek
    expect(trend?.low).toBeLessThan(way * 6)
    expect(trend?.high).toBeGreaterThan(way * 6)
    expect(drift.residualMv?.value).toBeCloseTo(way * 6 * 6, -1)
    expect(drift.attribution?.main).toBe('unexplained')
    expect(texts(drift.reasons)).toContain(
      way < 0 ? 'falls by {0} a week: the probe fouls or ages' : 'rises by {0} a week',
    )
  })

  it.each([-30, 30])('calls it a step where it happened once (%i mV), and says that nobody wrote it down', (mv) => {
    const drift = driftOf({ pairs: pairsOf(40, { ...often, drift: (ago) => (ago < 15 ? mv : 0) }) })
    expect(drift).toMatchObject({ shape: 'step', alarm: true })
    expect(drift.steps).toHaveLength(1)
    expect(drift.steps[0]?.mv.value).toBeCloseTo(mv, -1)
    expect(texts(drift.reasons)).toContain(
      `went ${mv < 0 ? 'down' : 'up'} by {0} at once, and no work was written down`,
    )
  })

  it('says which work made a step', () => {
    const drift = driftOf({
      pairs: pairsOf(40, { ...often, drift: (ago) => (ago < 15 ? 22 : 0) }),
      work: [work('orpProbeCleaned', 15)],
    })
    expect(drift.shape).toBe('step')
    expect(texts(drift.reasons)).toContain('at once when the ORP probe was cleaned')
  })

  it('begins anew with another probe: what the old one meant is no drift of the new one', () => {
    const pairs = pairsOf(60, { ...often, drift: (ago) => (ago < 15 ? 40 : 0) })
    expect(driftOf({ pairs }).alarm).toBe(true)
    for (const kind of ['orpProbeReplaced', 'controllerSwapped'] as const) {
      const drift = driftOf({ pairs, work: [work(kind, 15)] })
      expect(drift.alarm).toBe(false)
      expect(drift.sinceMs).toBeGreaterThan(daysAgo(15))
    }
  })

  it('does not blame the probe for fresh water or stabilizer that nobody has tested yet', () => {
    const pairs = pairsOf(40, { ...often, water: { cyanuricAcidMgL: 30 }, drift: (ago) => (ago < 15 ? -30 : 0) })
    const blamed = driftOf({ pairs, cyanuricAcidUsed: true })
    expect(blamed.alarm).toBe(true)
    for (const kind of ['waterReplaced', 'stabilizerAdded'] as const)
      expect(driftOf({ pairs, cyanuricAcidUsed: true, work: [work(kind, 15)] }).alarm).toBe(false)
  })

  it('does not alarm for less than is worth a visit', () => {
    const stepped = (mv: number, probe: Probe) =>
      driftOf({ pairs: pairsOf(40, { ...often, probe, noiseMv: 0.5, drift: (ago) => (ago < 15 ? mv : 0) }) })
    // 15 mV, even where that is much chlorine
    const flat = { ...PROBE, slopeMv: 25 }
    expect(stepped(-10, flat)).toMatchObject({ shape: 'step', alarm: false })
    expect(stepped(-20, flat).alarm).toBe(true)
    // and a factor of 1.6 of the acid, even where that is many millivolts
    const steep = { ...PROBE, slopeMv: 100 }
    expect(stepped(-16, steep)).toMatchObject({ shape: 'step', alarm: false })
    expect(stepped(-28, steep).alarm).toBe(true)
  })

  it('does not alarm by an ORP that tells nothing', () => {
    const pairs = pairsOf(60).map((one, i) => ({
      ...one,
      orp: { from: 'display' as const, value: (i < 40 ? 720 : 690) + (i % 3), spread: null },
    }))
    const model = fitRedox(record({ pairs }), NOW)
    expect(model.correlation).toBe('none')
    expect(driftOf({ pairs }).alarm).toBe(false)
  })

  it('says that it does not know before there are four pairs', () => {
    expect(driftOf({ pairs: pairsOf(3) })).toMatchObject({ shape: 'unknown', residualMv: null, alarm: false })
    expect(driftOf({})).toMatchObject({
      shape: 'unknown',
      attribution: null,
      alarm: false,
      probe: { state: 'unknown' },
    })
  })
})

describe('what explains it', () => {
  /** The same chlorine all along; something of the water changes over the last forty days, or the probe does. */
  const changing = (at: (way: number) => Partial<RedoxWater>, probeMv = 0, seed = 3) => {
    const random = seeded(seed)
    return Array.from({ length: 40 }, (_, i) => {
      const ago = 60 - 1.5 * i + 1 / 24
      const way = Math.max(0, Math.min(1, (45 - ago) / 30))
      const water = { ...WATER, cyanuricAcidMgL: 20, ...at(way) }
      water.sanitizerMgL *= 1.3 ** random.between(-1, 1)
      const orpMv =
        shows(water, { offsetMv: 745, slopeMv: 45, phMv: -25, tempMv: -1 }) +
        probeMv * way -
        25 * Math.log10(water.tdsMgL / 1000) +
        random.normal()
      return pair(
        daysAgo(ago),
        { ...water, sanitizerMgL: water.sanitizerMgL * (1 + 0.03 * random.normal()) },
        { orpMv },
      )
    })
  }
  const cases: [string, string, (way: number) => Partial<RedoxWater>, number][] = [
    ['stabilizer that gathered from 20 to 80 mg/L', 'stabilizer', (way) => ({ cyanuricAcidMgL: 20 + 60 * way }), 0],
    ['pH that rose from 7.2 to 7.8', 'ph', (way) => ({ ph: 7.2 + 0.6 * way }), 0],
    ['a probe that lost 30 mV', 'unexplained', () => ({}), -30],
  ]
  it.each(cases)('%s', (_what, factor, at, probeMv) => {
    const drift = driftOf({ pairs: changing(at, probeMv), cyanuricAcidUsed: true })
    expect(drift.attribution?.main).toBe(factor)
    expect(part(drift, factor)).toBeLessThan(-8)
    for (const one of drift.attribution?.parts ?? [])
      if (one.factor !== factor)
        expect(Math.abs(one.mv.value), one.factor).toBeLessThan(Math.abs(part(drift, factor)) / 2)
    // only the probe is worth an alarm: what was tested is told, and the set point follows it
    expect(drift.alarm).toBe(factor === 'unexplained')
  })

  it('temperature and dissolved solids are told with what they do', () => {
    // without cyanuric acid, which sets more chlorine free in warm water
    const warm = driftOf({ pairs: changing((way) => ({ tempC: 20 + 12 * way, cyanuricAcidMgL: 0 })) })
    expect(part(warm, 'temperature')).toBeLessThan(-4)
    expect(warm.alarm).toBe(false)
    const salt = driftOf({ pairs: changing((way) => ({ tdsMgL: 800 * 4 ** way })), cyanuricAcidUsed: true })
    expect(part(salt, 'dissolvedSolids')).toBeLessThan(-5)
    expect(salt.alarm).toBe(false)
  })

  it('adds up: the parts are the whole, in every mixture', () => {
    for (let seed = 1; seed <= 6; seed++) {
      const pairs = changing(
        (way) => ({ cyanuricAcidMgL: 20 + 40 * way, ph: 7.3 + 0.4 * way, tempC: 24 + 6 * way }),
        -12,
        seed,
      )
      const model = fitRedox(record({ pairs, cyanuricAcidUsed: true }), NOW)
      const attribution = attribute(model, daysAgo(50), NOW, 2.5)
      const sum = attribution?.parts.reduce((total, { mv }) => total + mv.value, 0)
      expect(sum).toBeCloseTo(attribution?.totalMv.value ?? Number.NaN, 9)
      for (const { mv } of attribution?.parts ?? []) expect(mv.low <= mv.value && mv.value <= mv.high).toBe(true)
    }
  })

  it('puts the evidence beside it', () => {
    const drift = driftOf({ pairs: changing(() => ({}), -30), cyanuricAcidUsed: true })
    const labels = drift.evidence.map(({ label }) => label)
    expect(labels).toContain('ORP for one reading, change')
    expect(labels).toContain('of it in the same water, by nothing that was tested')
    const values = drift.evidence.filter(({ label }) => label.startsWith('of it')).map(({ quantity }) => quantity.value)
    // parts of less than 1 mV are left out
    expect(
      Math.abs(values.reduce((sum, one) => sum + one, 0) - Number(drift.evidence[0]?.quantity.value)),
    ).toBeLessThan(4)
    expect(drift.evidence.every(({ quantity }) => Number.isFinite(quantity.value))).toBe(true)
  })
})

describe('what is named as main, over held bodies that were tested once a week', { timeout: 60_000 }, () => {
  /** A probe, a kit and a water with all their errors; over seven weeks the stabilizer gathers, the probe fouls, or nothing happens. */
  function named(story: 'stabilizer' | 'probe' | 'nothing', seed: number): string {
    const { normal } = seeded(seed + 900)
    const probe = {
      offsetMv: 750 + 40 * normal(),
      slopeMv: Math.max(12, 45 + 18 * normal()),
      phMv: Math.min(0, -29.6 + 15 * normal()),
      tempMv: 0.5 * normal(),
    }
    const setMv = shows({ ...WATER, cyanuricAcidMgL: 30 }, probe)
    let wandered = 0
    const pairs = Array.from({ length: 12 }, (_, i) => {
      const ago = 77 - 7 * i + 1 / 24
      const way = Math.max(0, Math.min(1, (60 - ago) / 50))
      wandered += 0.8 * Math.sqrt(7) * normal()
      const water = {
        ...WATER,
        ph: 7.4 + 0.06 * normal(),
        tempC: 26 + 2 * normal(),
        cyanuricAcidMgL: story === 'stabilizer' ? 30 + 40 * way : 30,
      }
      const off = wandered - (story === 'probe' ? 25 * way : 0)
      const chlorine = Math.min(15, Math.max(0.2, chlorineFor(setMv - off + 1.5 * normal(), water, probe)))
      const kit = {
        ...water,
        sanitizerMgL: Math.max(0.15, chlorine * (1 + 0.04 * normal()) + 0.08 * normal()),
        ph: water.ph + 0.03 * normal(),
        cyanuricAcidMgL: water.cyanuricAcidMgL * (1 + 0.08 * normal()),
      }
      return pair(daysAgo(ago), kit, { orpMv: Math.round(setMv + 1.5 * normal()), shownPh: water.ph + 0.02 * normal() })
    })
    const { advice, drift } = assessRedox(
      record({ pairs, cyanuricAcidUsed: true, setPoints: [{ atMs: daysAgo(100), orpMv: setMv }] }),
      AIM,
      NOW,
    )
    return (advice.changed ?? drift.attribution)?.main ?? 'none'
  }
  const shares = (story: 'stabilizer' | 'probe' | 'nothing') => {
    const bodies = 120
    const counts: Record<string, number> = {}
    for (let seed = 1; seed <= bodies; seed++) {
      const main = named(story, seed)
      counts[main] = (counts[main] ?? 0) + 1 / bodies
    }
    return (factor: string) => counts[factor] ?? 0
  }

  it('is stabilizer where it gathered, though the slope of a held body is known from theory alone', () => {
    const share = shares('stabilizer')
    expect(share('stabilizer')).toBeGreaterThan(0.65)
    expect(share('unexplained')).toBeLessThan(0.12)
  })

  it('is what no test explains where the probe fouled, and never stabilizer', () => {
    const share = shares('probe')
    expect(share('unexplained')).toBeGreaterThan(0.8)
    expect(share('stabilizer')).toBe(0)
  })

  it('is nothing in most bodies in which nothing happened but the wandering of the probe', () => {
    const share = shares('nothing')
    expect(share('none')).toBeGreaterThan(0.6)
    expect(share('stabilizer')).toBe(0)
  })
})

describe('feed effort for the same ORP, between visits', () => {
  const effort = (each: Parameters<typeof hoursOf>[1]) => {
    const given = record({ hours: hoursOf(35 * 24, each) })
    return feedEffort(given, fitRedox(given, NOW), NOW)
  }
  const jittered = (min: number, ago: number) => min * (1 + 0.1 * Math.sin(ago * 1.7))

  it('stays where it was', () => {
    const found = effort((ago) => ({ sanitizerFeedMin: jittered(3, ago) }))
    expect(found?.shape).toBe('none')
    expect(found?.ratio.value).toBeCloseTo(1, 1)
  })

  it.each([0.5, 2])('tells a step to %d times as much', (times) => {
    const found = effort((ago) => ({ sanitizerFeedMin: jittered(ago < 6.5 * 24 ? 3 * times : 3, ago) }))
    expect(found?.shape).toBe('step')
    expect(found?.ratio.value).toBeCloseTo(times, 0)
    expect(Math.abs((found?.sinceMs ?? 0) - daysAgo(6.5))).toBeLessThan(1.6 * 86_400_000)
  })

  it('tells a slope from it', () => {
    const found = effort((ago) => ({ sanitizerFeedMin: jittered(3 * 3 ** ((35 * 24 - ago) / (35 * 24)), ago) }))
    expect(found?.shape).toBe('slope')
    expect(found?.ratio.value).toBeGreaterThan(1.4)
  })

  it('does not call it effort where the set point was raised: ten times the feed stands for one slope of ORP', () => {
    const raised = 40
    const model = fitRedox(record(), NOW)
    const times = 10 ** (raised / model.slopeMv.value)
    const found = effort((ago) => {
      const up = ago < 7 * 24
      const mean = 720 + (up ? raised : 0)
      return {
        orpMv: { min: mean - 3, mean, max: mean + 3 },
        orpSetPointMv: mean,
        sanitizerFeedMin: jittered(up ? 0.5 * times : 0.5, ago),
      }
    })
    expect(found?.shape).toBe('none')
  })

  it('says nothing by days that were not told', () => {
    expect(effort((ago) => (ago < 7 * 24 ? { coveredMin: 10 } : {}))).toBeNull()
    expect(feedEffort(record(), fitRedox(record(), NOW), NOW)).toBeNull()
  })

  it('stands among the reasons, and says that a test decides what it means', () => {
    const drift = driftOf({
      hours: hoursOf(35 * 24, (ago) => ({ sanitizerFeedMin: jittered(ago < 6 * 24 ? 7 : 3, ago) })),
    })
    expect(texts(drift.reasons)).toContain('To hold the same ORP it now takes {0} of feed a day')
    expect(texts(drift.reasons)).toContain('A test tells why')
  })
})

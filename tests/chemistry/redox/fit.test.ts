import { chlorineAt, expectedOrp, fitRedox, type Interval, type RedoxRecord } from '@sightglass/chemistry'
import { describe, expect, it } from 'vitest'
import { daysAgo, heldPairs, NOW, PROBE, pair, pairsOf, record, shows, WATER, work } from './support.ts'

const width = ({ low, high }: Interval) => high - low
const covers = ({ low, high }: Interval, value: number) => low <= value && value <= high
const fitted = (given: Partial<RedoxRecord>) => fitRedox(record(given), NOW)

// 0.45 mg/L at pH 7.2 and 27 °C: 0.3 mg/L of hypochlorous acid
const KNOWN = { sanitizerMgL: 0.4505, ph: 7.2, cyanuricAcidMgL: 0, tempC: 27, tdsMgL: 1000 }

describe('without a pair it is theory', () => {
  const model = fitted({})
  const at = (given: Partial<typeof KNOWN>) => expectedOrp(model, { ...KNOWN, ...given }).value

  it('stands where DIN 19643-1 asks for 750 mV (second source), ± 40 mV, because reference electrodes alone part by that', () => {
    const known = expectedOrp(model, KNOWN)
    expect(known.value).toBeCloseTo(750, 0)
    expect(width(known) / 2).toBeCloseTo(1.645 * 40, 0)
  })

  it('rises by 8.9 mV when the hypochlorous acid doubles (computed from Nernst for two electrons)', () => {
    expect(at({ sanitizerMgL: 2 * KNOWN.sanitizerMgL }) - at({})).toBeCloseTo(8.9, 1)
  })

  it('falls by 29.6 mV for one pH through the hydrogen ion alone, and by what dissociates on top', () => {
    const acid = (ph: number) => 1 / (1 + 10 ** (ph - 7.514))
    const expected = -29.6 + 29.6 * Math.log10(acid(7.7) / acid(6.7))
    expect(at({ ph: 7.7 }) - at({ ph: 6.7 })).toBeCloseTo(expected, 0)
  })

  it('says that it has seen nothing', () => {
    expect(model).toMatchObject({
      pairsUsed: 0,
      correlation: 'assumed',
      points: [],
      steps: [],
      trend: null,
      water: null,
    })
  })
})

describe('with pairs', () => {
  it('goes to one pair nearly all the way, and hardly learns a slope from it', () => {
    const one = fitted({ pairs: [pair(daysAgo(1), {})] })
    expect(expectedOrp(one, WATER).value).toBeCloseTo(shows(WATER), -1)
    expect(width(one.slopeMv)).toBeGreaterThan(0.95 * width(fitted({}).slopeMv))
  })

  it.each([
    ['chlorine goes its own way and ORP answers', { pairs: pairsOf(40) }],
    [
      'a controller holds ORP and the set point moved',
      {
        pairs: heldPairs(60, (ago) => 770 + 8 * Math.sin(ago / 8)),
        setPoints: [{ atMs: daysAgo(60), orpMv: 770 }],
      },
    ],
  ])('finds the probe where %s', (_what, given) => {
    const model = fitted(given)
    expect(covers(model.slopeMv, PROBE.slopeMv)).toBe(true)
    expect(expectedOrp(model, WATER).value).toBeGreaterThan(shows(WATER) - 3)
    expect(expectedOrp(model, WATER).value).toBeLessThan(shows(WATER) + 3)
    expect(model.correlation).toBe('usable')
  })

  it('does not take a held ORP for one that does not answer: the wrong way round the slope would be near nothing', () => {
    const pairs = heldPairs(60, 770, { drift: (ago) => 6 * Math.sin(ago / 9) })
    const setPoints = [{ atMs: daysAgo(60), orpMv: 770 }]
    const wrongWay = fitted({ pairs })
    expect(wrongWay.slopeMv.value).toBeLessThan(20)
    const model = fitted({ pairs, setPoints })
    expect(covers(model.slopeMv, PROBE.slopeMv)).toBe(true)
    expect(model.correlation).not.toBe('none')
  })

  it('is the surer the more pairs there are: none, 1, 3, 30', () => {
    const all = pairsOf(30)
    const sizes = [0, 1, 3, 30].map((count) => {
      const model = fitted({ pairs: count === 0 ? [] : all.slice(-count) })
      return [width(expectedOrp(model, WATER)), width(model.slopeMv)] as const
    })
    for (let i = 1; i < sizes.length; i++) {
      expect(sizes[i]?.[0]).toBeLessThan(sizes[i - 1]?.[0] as number)
      expect(sizes[i]?.[1]).toBeLessThan(sizes[i - 1]?.[1] as number)
    }
    expect(sizes[0]?.[0]).toBeGreaterThan(100)
    expect(sizes[3]?.[0]).toBeLessThan(10)
  })

  it('knows what free chlorine goes with an ORP, which is the way back', () => {
    const model = fitted({ pairs: pairsOf(40) })
    const orp = expectedOrp(model, { ...WATER, sanitizerMgL: 3.3 })
    const found = chlorineAt(model, orp.value, WATER)
    expect(found.value).toBeCloseTo(3.3, 3)
    expect(covers(found, 3.3)).toBe(true)
    expect(chlorineAt(model, 100, WATER).value).toBeCloseTo(0.1, 3)
    expect(chlorineAt(model, 1500, WATER).value).toBeCloseTo(20, 1)
  })

  it('does not count what is not a pair: no ORP, no chlorine, an impossible display, a test after now', () => {
    const none = [
      pair(daysAgo(5), {}, { orpMv: null }),
      pair(daysAgo(4), { sanitizerMgL: 0 }),
      pair(daysAgo(3), {}, { orpMv: 300 }),
      pair(daysAgo(2), {}, { orpMv: 1000 }),
      pair(daysAgo(1.5), { ph: 9.9 }, { orpMv: 700 }),
      pair(daysAgo(-1), {}),
    ]
    expect(fitted({ pairs: none }).pairsUsed).toBe(0)
  })

  it('tells the water by all tests: one test of cyanuric acid that is far off does not move it by as much', () => {
    const tests = [30, 30, 30, 30, 60].map((cyanuricAcidMgL, i) => pair(daysAgo(8 - 2 * i + 0.1), { cyanuricAcidMgL }))
    const { water } = fitted({ pairs: tests, cyanuricAcidUsed: true })
    expect(water?.cyanuricAcidMgL).toBeLessThan(40)
    const worked = fitted({ pairs: tests, cyanuricAcidUsed: true, work: [work('stabilizerAdded', 1)] })
    expect(worked.water?.cyanuricAcidMgL).toBeGreaterThan(45)
  })

  it('takes pH from the probe, put right by all tests of pH', () => {
    const off = (tested: number, i: number) => pair(daysAgo(10 - i), { ph: tested }, { shownPh: 7.6, orpMv: 770 })
    const { points } = fitted({ pairs: [7.4, 7.4, 7.5, 7.3, 7.4, 7.4, 7.4].map(off) })
    for (const { water } of points) expect(water.ph).toBeCloseTo(7.4, 1)
    expect(Math.abs((points[2]?.water.ph ?? 0) - (points[3]?.water.ph ?? 0))).toBeLessThan(0.08)
  })
})

describe('steps and wild tests', () => {
  const stepped = (mv: number, ago = 20) => ({ drift: (at: number) => (at < ago ? mv : 0) })

  it.each([-30, 25])('finds a step of %i mV, when it was, and that nobody logged it', (mv) => {
    const { steps } = fitted({ pairs: pairsOf(60, stepped(mv)) })
    expect(steps).toHaveLength(1)
    expect(covers(steps[0]?.mv as Interval, mv)).toBe(true)
    expect(steps[0]?.afterMs).toBeLessThan(daysAgo(20))
    expect(steps[0]?.atMs).toBeGreaterThanOrEqual(daysAgo(20))
    expect(steps[0]?.work).toBeNull()
  })

  it('says what work made it', () => {
    const { steps } = fitted({ pairs: pairsOf(60, stepped(30)), work: [work('orpProbeReplaced', 20)] })
    expect(steps.map((step) => step.work)).toEqual(['orpProbeReplaced'])
  })

  it('finds none where there is none, whatever work was logged', () => {
    expect(
      fitted({ pairs: pairsOf(60), work: [work('orpProbeReplaced', 20), work('orpProbeCleaned', 8)] }).steps,
    ).toEqual([])
  })

  it('does not take one wild test for a step, nor two hours of it', () => {
    const pairs = pairsOf(40)
    const wild = pairs.map((one, i) =>
      i === 25 ? { ...one, orp: one.orp && { ...one.orp, value: one.orp.value - 60 } } : one,
    )
    const model = fitted({ pairs: wild })
    expect(model.steps).toEqual([])
    expect(model.points[25]?.weight).toBeLessThan(0.1)
  })

  it('takes a fresh start from a replaced probe: two pairs are enough to forget sixty', () => {
    const pairs = pairsOf(62, stepped(-35, 1.5))
    const model = fitted({ pairs, work: [work('orpProbeReplaced', 1.5)] })
    expect(expectedOrp(model, WATER).value).toBeLessThan(shows(WATER) - 28)
  })

  it('is less sure after work that nobody has tested since', () => {
    const pairs = pairsOf(30)
    const sure = width(expectedOrp(fitted({ pairs }), WATER))
    const cleaned = width(expectedOrp(fitted({ pairs, work: [work('orpProbeCleaned', 0.01)] }), WATER))
    const replaced = width(expectedOrp(fitted({ pairs, work: [work('orpProbeReplaced', 0.01)] }), WATER))
    expect(cleaned).toBeGreaterThan(sure)
    expect(replaced).toBeGreaterThan(80)
    expect(width(fitted({ pairs, work: [work('orpProbeReplaced', 0.01)] }).slopeMv)).toBeCloseTo(
      width(fitted({ pairs }).slopeMv),
      6,
    )
  })

  it('grows less sure with the days since the last pair', () => {
    const model = fitted({ pairs: pairsOf(30) })
    expect(width(expectedOrp(model, WATER, NOW + 20 * 86_400_000))).toBeGreaterThan(width(expectedOrp(model, WATER)))
  })
})

describe('whether ORP tells anything', () => {
  const noise = (count: number) =>
    pairsOf(count).map((one, i) => ({
      ...one,
      orp: { from: 'display' as const, value: 700 + ((i * 37) % 41), spread: null },
    }))

  it('does not judge by a handful of pairs', () => {
    expect(fitted({ pairs: noise(5) }).correlation).toBe('assumed')
  })

  it('says none where chlorine goes up and down by half and ORP does not follow', () => {
    const flat = pairsOf(60).map((one, i) => ({
      ...one,
      orp: { from: 'display' as const, value: 720 + (i % 3), spread: null },
    }))
    expect(fitted({ pairs: flat }).correlation).toBe('none')
  })

  it('says none where a controller holds ORP and chlorine is anything', () => {
    const pairs = heldPairs(40, 770).map((one, i) => ({
      ...one,
      test: { ...one.test, sanitizerMgL: 0.5 * 12 ** (((i * 29) % 40) / 40) },
    }))
    expect(fitted({ pairs, setPoints: [{ atMs: daysAgo(60), orpMv: 770 }] }).correlation).toBe('none')
  })

  it('leaves it to theory where chlorine hardly moved', () => {
    const quiet = pairsOf(40).map((one) => ({
      ...one,
      test: { ...one.test, sanitizerMgL: 2.5 },
      orp: { from: 'display' as const, value: Math.round(shows(WATER)), spread: null },
    }))
    expect(fitted({ pairs: quiet }).correlation).toBe('assumed')
  })

  it.each(['bromine', 'chlorineDioxide'] as const)('for %s goes by the pairs alone', (oxidant) => {
    expect(fitted({ pairs: pairsOf(40), oxidant }).correlation).toBe('usable')
    expect(fitted({ pairs: noise(40), oxidant }).correlation).toBe('none')
    expect(width(fitted({ oxidant }).slopeMv)).toBeGreaterThan(100)
  })
})

describe('sign', () => {
  it('never lets noise turn it: more acid more ORP, more pH less', () => {
    const turned = pairsOf(30).map((one) => ({
      ...one,
      orp: { from: 'display' as const, value: 1480 - (one.orp?.value ?? 0), spread: null },
    }))
    const model = fitted({ pairs: turned })
    const at = (given: object) => expectedOrp(model, { ...WATER, ...given }).value
    expect(at({ sanitizerMgL: 4 })).toBeGreaterThan(at({ sanitizerMgL: 2 }))
    expect(at({ ph: 7.8 })).toBeLessThan(at({ ph: 7.2 }))
  })
})

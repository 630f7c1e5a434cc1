import { type PhProbeAgreement, phProbeAgreement, type RedoxPair, type RedoxRecord } from '@sightglass/chemistry'
import { describe, expect, it } from 'vitest'
import { DAY, daysAgo, HOUR, hoursOf, NOW, pair, record, seeded, texts, work } from './support.ts'

const agreement = (given: Partial<RedoxRecord>): PhProbeAgreement => phProbeAgreement(record(given), NOW)

/** Tests of pH every other day; the display shows the water by `shown`, the kit is off by `kitSd`. */
function tests(
  shown: (ph: number, daysAgo: number) => number,
  given: { count?: number; seed?: number; kitSd?: number; ph?: (index: number) => number; everyDays?: number } = {},
): RedoxPair[] {
  const { count = 15, seed = 1, kitSd = 0.04, ph = () => 7.4, everyDays = 2 } = given
  const random = seeded(seed)
  return Array.from({ length: count }, (_, i) => {
    const ago = (count - 1 - i) * everyDays + 1 / 24
    const truth = ph(i)
    return pair(daysAgo(ago), { ph: truth + kitSd * random.normal() }, { shownPh: shown(truth, ago) })
  })
}

describe('offset', () => {
  it.each([-0.15, 0, 0.1])('is found with its interval: %d', (offset) => {
    const { offsetPh, state } = agreement({ pairs: tests((ph) => ph + offset) })
    expect(offsetPh?.low).toBeLessThan(offset)
    expect(offsetPh?.high).toBeGreaterThan(offset)
    expect(Math.abs((offsetPh?.value ?? 1) - offset)).toBeLessThan(0.05)
    expect(state).toBe('agrees')
  })

  it('is held by its 90 % interval in most of many bodies', () => {
    let held = 0
    const bodies = 200
    for (let seed = 1; seed <= bodies; seed++) {
      const random = seeded(seed + 500)
      const offset = 0.1 * random.normal()
      const { offsetPh } = agreement({ pairs: tests((ph) => ph + offset, { seed, kitSd: 0.06, count: 8 }) })
      if (offsetPh && offsetPh.low <= offset && offset <= offsetPh.high) held++
    }
    expect(held / bodies).toBeGreaterThan(0.85)
  })

  it('hardly moves by one wild test, and asks to repeat it', () => {
    const pairs = tests((ph) => ph).map((one, i) =>
      i === 14 ? { ...one, test: { ...one.test, ph: { value: 7.9, atMs: one.atMs } } } : one,
    )
    const found = agreement({ pairs })
    expect(found.state).toBe('retest')
    expect(Math.abs(found.offsetPh?.value ?? 1)).toBeLessThan(0.15)
    expect(texts(found.reasons)).toContain('One test alone says so')
  })

  it('takes only the nearest of what was shown around the test: the water moved too', () => {
    const pairs = tests((ph) => ph).map((one) => ({
      ...one,
      ph: { from: 'samples' as const, value: 7.1, spread: { min: 7.05, max: 7.45 } },
    }))
    expect(agreement({ pairs: pairs.slice(-1) }).state).toBe('agrees')
    expect(agreement({ pairs: pairs.slice(-1) }).newest?.apart).toBeLessThan(0.06)
  })
})

describe('when to calibrate', () => {
  it.each([-0.3, 0.3])('when tests one after the other say the same: %d', (offset) => {
    const found = agreement({ pairs: tests((ph, ago) => ph + (ago < 7 ? offset : 0)) })
    expect(found.state).toBe('calibrate')
    expect(texts(found.reasons)).toContain('clean and calibrate the pH probe')
  })

  it('not yet within what is tolerated: exactly 0.2 is no more than that', () => {
    expect(agreement({ pairs: tests((ph) => ph + 0.2, { kitSd: 0 }) }).state).toBe('agrees')
    expect(agreement({ pairs: tests((ph) => ph + 0.21, { kitSd: 0 }) }).state).toBe('calibrate')
  })

  it('says by when, where the offset is on its way', () => {
    const found = agreement({ pairs: tests((ph, ago) => ph + 0.12 - 0.004 * ago, { count: 30, kitSd: 0.02 }) })
    expect(found.state).toBe('agrees')
    expect(found.trendPhPerMonth?.low).toBeGreaterThan(0)
    expect(found.trendPhPerMonth?.value).toBeCloseTo(0.12, 1)
    const days = ((found.calibrateByMs ?? 0) - NOW) / DAY
    expect(days).toBeGreaterThan(7)
    expect(days).toBeLessThan(60)
  })

  it('says no day where it goes nowhere', () => {
    expect(agreement({ pairs: tests((ph) => ph + 0.05) }).calibrateByMs).toBeNull()
  })

  it('forgets what was before a calibration, a new probe, another controller', () => {
    const pairs = tests((ph, ago) => ph + (ago > 9 ? 0.4 : 0))
    for (const kind of ['phCalibrated', 'phProbeReplaced', 'controllerSwapped'] as const) {
      const found = agreement({ pairs, work: [work(kind, 9)] })
      expect(found.state).toBe('agrees')
      expect(found.pairsUsed).toBe(5)
    }
  })

  it('says of a probe that nobody tested since that nobody knows', () => {
    const found = agreement({ pairs: tests((ph) => ph), work: [work('phCalibrated', 0.01)] })
    expect(found).toMatchObject({ state: 'unknown', offsetPh: null })
    expect(texts(found.reasons)).toContain('Not tested since it was calibrated')
    expect(agreement({}).state).toBe('unknown')
  })

  it('asks for a calibration against a test made twice, where it parted as soon as it was calibrated', () => {
    const found = agreement({ pairs: tests((ph, ago) => ph + (ago < 7 ? 0.35 : 0)), work: [work('phCalibrated', 7)] })
    expect(found.state).toBe('calibrate')
    expect(texts(found.reasons)).toContain('against a test that was made twice')
  })

  it('leaves the pH set point alone, in every word', () => {
    for (const offset of [0, 0.3]) {
      const { reasons } = agreement({ pairs: tests((ph) => ph + offset) })
      expect(texts(reasons)).toContain('Leave the pH set point alone')
    }
  })
})

describe('when the slope is gone', () => {
  it.each([
    [84, 'slopeGone'],
    [85, 'agrees'],
    [97, 'agrees'],
  ] as const)('by what the calibration reported: %d %% → %s', (slopePct, state) => {
    const found = agreement({ pairs: tests((ph) => ph), work: [work('phCalibrated', 9, slopePct)] })
    expect(found.state).toBe(state)
    expect(found.slopeSign).toBe(state === 'agrees' ? null : 'calibration')
  })

  it('by calibrations that do not last', () => {
    const done = [work('phCalibrated', 50), work('phCalibrated', 30), work('phCalibrated', 12)]
    const pairs = tests((ph, ago) => ph + (ago < 6 ? 0.35 : 0))
    expect(agreement({ pairs, work: done })).toMatchObject({ state: 'slopeGone', slopeSign: 'never lasts' })
    expect(agreement({ pairs, work: done.slice(1) }).state).toBe('calibrate')
    expect(agreement({ pairs, work: [...done, work('phProbeReplaced', 10)] }).state).toBe('calibrate')
  })

  /** The water's pH goes up and down; the display shows a share of it. */
  const swinging = (share: number, seed = 1) =>
    tests((ph) => 7.4 + share * (ph - 7.4), { count: 24, seed, kitSd: 0.03, ph: (i) => 7.4 + 0.35 * Math.sin(i * 2.1) })

  it('by a display that shows a third of what the water does', () => {
    for (let seed = 1; seed <= 5; seed++)
      expect(agreement({ pairs: swinging(0.3, seed) })).toMatchObject({
        state: 'slopeGone',
        slopeSign: 'hardly follows',
      })
  })

  it('not by one that follows, nor where pH hardly moved', () => {
    for (let seed = 1; seed <= 10; seed++) {
      expect(agreement({ pairs: swinging(1, seed) }).state).not.toBe('slopeGone')
      expect(agreement({ pairs: tests(() => 7.4, { seed, kitSd: 0.06, count: 24 }) }).state).not.toBe('slopeGone')
    }
  })

  it('by a display that stands still while acid is fed', () => {
    const still = (given: object) =>
      hoursOf(14 * 24, (ago) => (ago < 20 ? { ph: { min: 7.4, mean: 7.4, max: 7.4 }, ...given } : {}))
    expect(agreement({ pairs: tests((ph) => ph), hours: still({}) })).toMatchObject({
      state: 'slopeGone',
      slopeSign: 'stands still',
    })
    expect(agreement({ pairs: tests((ph) => ph), hours: still({ phFeedMin: 0 }) }).state).toBe('agrees')
  })
})

it('does not hold a test against what was shown at another time', () => {
  const pairs = tests((ph) => ph + 0.5).map((one) => ({
    ...one,
    test: { ...one.test, ph: { value: 7.4, atMs: one.atMs - 2 * HOUR } },
  }))
  expect(agreement({ pairs }).state).toBe('unknown')
})

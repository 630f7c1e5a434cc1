import { fitRedox, type HourRecord, type ProbeCondition, probeCondition, type RedoxRecord } from '@sightglass/chemistry'
import { describe, expect, it } from 'vitest'
import { daysAgo, HOUR, hoursOf, NOW, pair, pairsOf, record, seeded, shows, texts, WATER } from './support.ts'

const conditionOf = (given: Partial<RedoxRecord>): ProbeCondition =>
  probeCondition(record(given), fitRedox(record(given), NOW), NOW)
const around = (mean: number, half = 3) => ({ min: mean - half, mean, max: mean + half })
const month = (each: (hoursAgo: number) => Partial<HourRecord>) => hoursOf(35 * 24, each)

describe('the ORP probe by its hours alone', () => {
  it('is well where it lives', () => {
    expect(conditionOf({ hours: month(() => ({})) }).state).toBe('well')
  })

  it('is unknown, never well, where hours are missing or water did not move', () => {
    expect(conditionOf({}).state).toBe('unknown')
    expect(conditionOf({ hours: hoursOf(48, () => ({ noFlowMin: 60 })) }).state).toBe('unknown')
    expect(conditionOf({ hours: hoursOf(48, (ago) => (ago < 30 ? { coveredMin: 5 } : {})) }).state).toBe('unknown')
    expect(conditionOf({ hours: hoursOf(48, () => ({ orpMv: null })) }).state).toBe('unknown')
  })

  describe('beside tests that found hardly any sanitizer', () => {
    const tests = (found: readonly number[], shown = 738) =>
      found.map((sanitizerMgL, i) => pair(daysAgo((found.length - i) / 3), { sanitizerMgL }, { orpMv: shown }))
    const setPoints = [{ atMs: daysAgo(60), orpMv: 740 }]
    const stateOf = (given: Partial<RedoxRecord>) => conditionOf({ setPoints, ...given }).state

    it('does not answer the water where two in a row did so while ORP stood at its set point', () => {
      const found = conditionOf({ setPoints, pairs: tests([2, 0, 0.05]) })
      expect(found).toMatchObject({ state: 'flat', sinceMs: daysAgo(2 / 3) })
      expect(texts(found.reasons)).toContain('it does not answer the water')
      expect(stateOf({ pairs: tests([0, 0]), hours: month(() => ({})) })).toBe('flat')
    })

    it('is not blamed for one such test, for one in between that found some, nor where ORP sank too', () => {
      expect(stateOf({ pairs: tests([2, 2, 0]) })).toBe('unknown')
      expect(stateOf({ pairs: tests([0, 0, 0.1]) })).toBe('unknown')
      expect(stateOf({ pairs: tests([0, 0], 679) })).toBe('unknown')
      expect(stateOf({ pairs: tests([0, 0], 680) })).toBe('flat')
      expect(stateOf({ pairs: tests([0, 0]), setPoints: [] })).toBe('unknown')
    })
  })

  it.each([
    ['a dry cell', 120],
    ['a broken cable', 0],
    ['an amplifier at its stop', 1999],
  ])('is impossible: %s', (_what, mV) => {
    const condition = conditionOf({ hours: month((ago) => (ago < 3 ? { orpMv: around(mV, 1) } : {})) })
    expect(condition.state).toBe('impossible')
    expect(condition.sinceMs).toBe(NOW - 2 * HOUR)
    expect(condition.evidence).toHaveLength(1)
  })

  it('is not impossible for one bad hour, nor for one that is over', () => {
    expect(conditionOf({ hours: month((ago) => (ago < 2 ? { orpMv: around(120) } : {})) }).state).toBe('well')
    expect(conditionOf({ hours: month((ago) => (ago > 5 && ago < 12 ? { orpMv: around(120) } : {})) }).state).toBe(
      'well',
    )
  })

  const stuck = (given: Partial<HourRecord>, hours = 20) =>
    month((ago) => (ago < hours ? { orpMv: { min: 721, mean: 721, max: 721 }, ...given } : {}))

  it('is stuck where feed ran and it stood still', () => {
    const condition = conditionOf({ hours: stuck({}) })
    expect(condition.state).toBe('stuck')
    expect(texts(condition.reasons)).toContain('without moving while sanitizer was fed')
  })

  it('is not stuck without feed, for a few hours, or where it always stands so', () => {
    expect(conditionOf({ hours: stuck({ sanitizerFeedMin: 0 }) }).state).toBe('well')
    expect(conditionOf({ hours: stuck({}, 8) }).state).toBe('well')
    expect(conditionOf({ hours: month(() => ({ orpMv: { min: 721, mean: 721, max: 721 } })) }).state).toBe('well')
  })

  it('is noisy where it swings by more than water can, and by more than it did', () => {
    const noisy = conditionOf({ hours: month((ago) => (ago < 14 ? { orpMv: around(720, 30) } : {})) })
    expect(noisy.state).toBe('noisy')
    expect(noisy.evidence.map(({ label }) => label)).toContain('ORP swing, usually')
    expect(conditionOf({ hours: month(() => ({ orpMv: around(720, 30) })) }).state).toBe('well')
    expect(conditionOf({ hours: month((ago) => (ago < 14 ? { orpMv: around(720, 12) } : {})) }).state).toBe('well')
  })
})

describe('its answer to the feed', () => {
  /** A burst of feed every two days, after which ORP rises, in the same hour or two hours late. */
  const bursts = (rise: (ago: number) => number, late: (ago: number) => boolean = () => false) =>
    month((ago) => {
      const phase = ago % 48
      const fed = phase === 24
      const risen = (late(ago) ? phase < 23 && phase > 18 : phase <= 24 && phase > 18) ? rise(ago) : 0
      return { sanitizerFeedMin: fed ? 45 : 3, orpMv: around(715 + risen + ((ago * 7) % 5) / 5) }
    })
  const lately = (ago: number) => ago < 7 * 24
  /** The kit found chlorine that ORP did not show. */
  const came = pairsOf(12, { days: 30 }).map((one, i) =>
    i === 11 ? pair(daysAgo(0.2), { sanitizerMgL: 5 }, { orpMv: shows(WATER) }) : one,
  )

  it('is well while it answers', () => {
    expect(conditionOf({ hours: bursts(() => 20) }).state).toBe('well')
  })

  it('is flat where it no longer does, and the kit shows that chlorine came', () => {
    const hours = bursts((ago) => (lately(ago) ? 0 : 20))
    const condition = conditionOf({ hours, pairs: came })
    expect(condition.state).toBe('flat')
    expect(texts(condition.reasons)).toContain('the test kit shows that the sanitizer came')
  })

  it('is not called flat while nobody tested: the feed may bring nothing', () => {
    const hours = bursts((ago) => (lately(ago) ? 0 : 20))
    expect(conditionOf({ hours }).state).not.toBe('flat')
    expect(conditionOf({ hours, pairs: pairsOf(12, { days: 30 }) }).state).not.toBe('flat')
  })

  it('is slow where the rise comes when the feed is over, which it did not before', () => {
    const condition = conditionOf({ hours: bursts(() => 20, lately) })
    expect(condition.state).toBe('slow')
    expect(texts(condition.reasons)).toContain('answers late')
    expect(
      conditionOf({
        hours: bursts(
          () => 20,
          () => true,
        ),
      }).state,
    ).toBe('well')
  })
})

it('says of no random hours that a probe is anything but well', () => {
  for (let seed = 1; seed <= 20; seed++) {
    const random = seeded(seed)
    const hours = month(() => {
      const mean = 720 + 4 * random.normal()
      return { orpMv: around(mean, random.between(1, 9)), sanitizerFeedMin: random.between(0, 20) }
    })
    expect(conditionOf({ hours }).state, `seed ${seed}`).toBe('well')
  }
})

// Each rule of feed and flow a little below and a little above its limit, and with what it goes by missing.
import { effortChange, type HourRecord, historyOf, renderPhrase } from '@sightglass/chemistry'
import { describe, expect, it } from 'vitest'
import { sinksAsIfItStood } from '../../../packages/chemistry/src/feed/sinking.ts'
import {
  ACID_PUMP,
  DAY,
  drum,
  feeder,
  find,
  HOUR,
  HYPOCHLORITE_PUMP,
  hour,
  kinds,
  NOW,
  POOL,
  severityOf,
  still,
} from '../support.ts'
import { past, usualMin, withPast } from './past.ts'

type Change = NonNullable<Parameters<typeof past>[0]>
const said = (kind: Parameters<typeof find>[1], change: Change, more: Parameters<typeof withPast>[0] = {}) =>
  severityOf(withPast({ hours: past(change), ...more }), kind)

describe('effort', () => {
  const effort = (times: number, lastHours: number, days?: number) => {
    const hours = past((ago) => (ago <= lastHours ? { sanitizerFeedMin: times * usualMin(ago) } : {}), days)
    const history = historyOf(hours, POOL)
    return effortChange(history, history.feed.primary, true)
  }

  it('is told in minutes a day, before and now, since the hour in which it turned', () => {
    const change = effort(3, 30)
    expect(change?.usualMinPerDay).toBeCloseTo(60, 6)
    expect(change?.nowMinPerDay).toBeCloseTo(180, 6)
    expect(change?.sinceMs).toBe(NOW - 30 * HOUR)
    expect(change?.sudden).toBe(true)
  })

  it.each([
    [1.4, 48, false],
    [2, 48, true],
    [2, 8, false], // too young for so little
    [5, 14, true],
    [1, 48, false],
    [0.3, 48, false], // less is no weakness
  ])('%s times as long for %s h: a change %s', (times, hours, changed) => {
    expect(effort(times, hours) !== null).toBe(changed)
  })

  it('needs four days to know what is usual', () => {
    expect(effort(3, 24, 4)).toBeNull()
    expect(effort(3, 24, 6)).not.toBeNull()
  })

  it('is not known from nothing', () => {
    const nothing = historyOf([], POOL)
    expect(effortChange(nothing, nothing.feed.primary, true)).toBeNull()
    const silent = historyOf(
      past(() => ({ sanitizerFeedMin: null })),
      POOL,
    )
    expect(effortChange(silent, silent.feed.primary, true)).toBeNull()
  })

  it('that comes over days is no sudden one', () => {
    const hours = past((ago) => ({ sanitizerFeedMin: (ago > 120 ? 1 : 1 + (120 - ago) / 50) * usualMin(ago) }))
    const history = historyOf(hours, POOL)
    expect(effortChange(history, history.feed.primary, true)?.sudden).toBe(false)
  })
})

describe('fed beyond the set point', () => {
  const fed = (role: 'primary' | 'ph', beyond: number, minutes: number, count = 2): Change =>
    role === 'ph'
      ? (ago) => (ago <= count ? { ph: still(7.4 - beyond, 0), phFeedMin: minutes } : {})
      : (ago) => (ago <= count ? { orpMv: still(740 + beyond, 0), sanitizerFeedMin: minutes } : {})

  it.each([
    ['primary', 7, 30, 'none'],
    ['primary', 9, 30, 'act'],
    ['primary', 9, 5, 'none'],
    ['primary', 9, 7, 'act'],
    ['ph', 0.05, 30, 'none'],
    ['ph', 0.07, 30, 'act'],
    ['ph', 0.07, 5, 'none'],
    ['ph', 0.07, 7, 'act'],
  ] as const)('%s, %s beyond, %s min an hour: %s', (role, beyond, minutes, severity) => {
    expect(said('overfeed', fed(role, beyond, minutes))).toBe(severity)
  })

  it('is not known where set point, value or feed are not reported', () => {
    const over = { orpMv: still(760, 0), sanitizerFeedMin: 30 }
    const latest = { orpSetPointMv: null }
    expect(said('overfeed', () => ({ ...over, orpSetPointMv: null }), { latest })).toBe('none')
    expect(said('overfeed', () => ({ ...over, orpMv: null }))).toBe('none')
    expect(said('overfeed', () => ({ ...over, sanitizerFeedMin: null }))).toBe('none')
  })
})

describe('a backup that carries, by hours on end', () => {
  const feeders = [HYPOCHLORITE_PUMP, feeder({ role: 'backup', drum: drum('calciumHypochlorite') }), ACID_PUMP]
  const carries =
    (count: number, minutes: number | null, orpMv: number, more: object = {}): Change =>
    (ago) =>
      ago <= count ? { backupFeedMin: minutes, orpMv: still(orpMv, 0), ...more } : { backupFeedMin: 10 }

  it.each([
    [5, 12, 730, 'none'],
    [6, 12, 730, 'act'],
    [6, 8, 730, 'none'], // 13 % of the time
    [6, 9, 730, 'act'],
    [6, 12, 736, 'none'], // not below by more than 5 mV
    [6, 12, 734, 'act'],
    [6, null, 730, 'none'],
  ] as const)('%s h, %s min each, ORP %s mV: %s', (count, minutes, orpMv, severity) => {
    expect(said('backupCarries', carries(count, minutes, orpMv), { feeders })).toBe(severity)
  })

  it('is not said of a body without a backup, nor while nothing flows', () => {
    expect(said('backupCarries', carries(8, 20, 700))).toBe('none')
    expect(said('backupCarries', carries(8, 20, 700, { noFlowMin: 60 }), { feeders })).toBe('none')
  })
})

describe('a feeder at its limit', () => {
  const limited =
    (days: number, short: number, hoursADay: number): Change =>
    (ago) => {
      const clock = (((24 - ago) % 24) + 24) % 24
      const busy = ago <= days * 24 && clock >= 12 && clock < 12 + hoursADay
      return busy ? { sanitizerFeedMin: 24, orpMv: still(740 - short, 0) } : {}
    }
  it.each([
    [7, 20, 4, 'watch'],
    [3, 20, 4, 'none'],
    [4, 20, 4, 'watch'],
    [7, 13, 4, 'none'], // hardly short
    [7, 20, 2, 'none'], // hardly long
  ] as const)('on %s days, %s mV short, %s hours a day: %s', (days, short, hoursADay, severity) => {
    // the same habit for three weeks, so that no change of effort explains it
    const habit: Change = (ago) => {
      const clock = (((24 - ago) % 24) + 24) % 24
      return {
        ...(clock >= 12 && clock < 12 + hoursADay ? { sanitizerFeedMin: 24 } : {}),
        ...limited(days, short, hoursADay)(ago),
      }
    }
    expect(said('feederAtLimit', habit)).toBe(severity)
  })

  it('is said of acid, and not where the feed or the value is not reported', () => {
    const acid: Change = (ago) => {
      const clock = (((24 - ago) % 24) + 24) % 24
      return clock >= 12 && clock < 17 ? { phFeedMin: 24, ph: still(7.55, 0) } : {}
    }
    expect(said('feederAtLimit', acid)).toBe('watch')
    expect(said('feederAtLimit', (ago) => ({ ...acid(ago), phFeedMin: null }))).toBe('none')
    expect(said('feederAtLimit', (ago) => ({ ...acid(ago), ph: null }))).toBe('none')
  })
})

describe('flow that falls', () => {
  const steady =
    (now: number): Change =>
    (ago) => ({ flowLMin: still(ago <= 12 ? now : 900, 1) })
  it.each([
    [730, 'none'], // 0.81 of the usual
    [710, 'watch'], // 0.79
    [595, 'watch'], // 0.66
    [575, 'act'], // 0.64
  ] as const)('to %s of 900 L/min for half a day: %s', (now, severity) => {
    expect(said('flowFalling', steady(now), { latest: { flowLMin: now } })).toBe(severity)
  })

  it('is not said in its first hours, without a meter, or without five days to go by', () => {
    const young: Change = (ago) => ({ flowLMin: still(ago <= 1 ? 500 : 900, 1) })
    expect(said('flowFalling', young, { latest: { flowLMin: 500 } })).toBe('none')
    expect(said('flowFalling', () => ({ flowLMin: null }), { latest: { flowLMin: null } })).toBe('none')
    const short = past(steady(500), 4)
    expect(severityOf(withPast({ hours: short, latest: { flowLMin: 500 } }), 'flowFalling')).toBe('none')
  })

  it.each([
    [3, 'none'],
    [4, 'watch'],
    [11, 'watch'],
    [12, 'act'],
  ] as const)('by a switch that drops in %s hours of the day: %s', (drops, severity) => {
    const flickers: Change = (ago) => ({ flowLMin: null, noFlowMin: ago <= 2 * drops && ago % 2 === 0 ? 4 : 0 })
    expect(said('flowFalling', flickers, { latest: { flowLMin: null } })).toBe(severity)
  })
})

describe('a flow switch that stopped dropping', () => {
  /** It dropped every `every` days up to `last` days ago. */
  const dropped =
    (every: number, last: number): Change =>
    (ago) => ({
      flowLMin: null,
      noFlowMin: ago >= last * 24 && (ago - last * 24) % (every * 24) === 0 ? 10 : 0,
    })
  const latest = { flowLMin: null }
  it.each([
    [2, 5, 'none'],
    [2, 7, 'watch'],
    [1, 2.5, 'none'], // three days at least
    [1, 4, 'watch'],
    [7, 14, 'none'], // too few drops to know a habit
  ] as const)('after every %s days, silent for %s days: %s', (every, last, severity) => {
    expect(said('flowSwitchStuck', dropped(every, last), { latest })).toBe(severity)
  })

  it('is not said while it shows no flow, or where no switch reports', () => {
    expect(said('flowSwitchStuck', dropped(1, 6), { latest: { ...latest, flowOn: false } })).toBe('none')
    expect(said('flowSwitchStuck', () => ({ flowLMin: null, noFlowMin: null }), { latest })).toBe('none')
  })
})

describe('hunting', () => {
  /** Rest, then a burst that throws the value so far beyond; `count` of them, ten hours apart. */
  const bursts =
    (role: 'primary' | 'ph', beyond: number, count: number): Change =>
    (ago) => {
      if (ago > 40) return role === 'ph' ? { phFeedMin: 1 } : {}
      const since = (40 - ago) % 10
      const burst = Math.floor((40 - ago) / 10) < count
      const value = burst && since > 0 && since < 5 ? beyond : -0.1 * beyond
      const feed = burst && since === 0 ? 20 : 0
      return role === 'ph'
        ? { phFeedMin: feed, ph: still(7.4 - value, 0) }
        : { sanitizerFeedMin: feed, orpMv: still(740 + value, 0) }
    }

  it.each([
    ['primary', 6, 4, 'none'],
    ['primary', 14, 1, 'none'],
    ['primary', 14, 2, 'watch'],
    ['primary', 18, 1, 'none'],
    ['primary', 23, 1, 'act'],
    ['ph', 0.04, 4, 'none'],
    ['ph', 0.1, 1, 'none'],
    ['ph', 0.1, 2, 'watch'],
    ['ph', 0.15, 1, 'act'],
  ] as const)('%s, %s beyond, %s bursts: %s', (role, beyond, count, severity) => {
    expect(said('feedHunting', bursts(role, beyond, count))).toBe(severity)
  })

  const advice = (more: Parameters<typeof withPast>[0]) =>
    find(withPast({ hours: past(bursts('primary', 15, 4)), ...more }), 'feedHunting')
      ?.advice.map((line) => renderPhrase(line, 'metric'))
      .join(' ')

  it('names on-time, wait and band for the body where rate, strength and volume are known, beside those of today', () => {
    const settings = { onTimeMin: 45, waitMin: 5, band: 5 }
    const pump = { ...HYPOCHLORITE_PUMP, rateLH: 30, settings }
    // 10 mV at a target of 2 mg/L are 0.71 mg/L: 213 g of 120 g/L, by 30 L/h. 300 m³ at 900 L/min: τ = 56 min, the wait 1.5 τ + 6
    expect(advice({ feeders: [pump, ACID_PUMP] })).toMatch(
      /Feed tuning for this body: on-time 3 min 35 s, wait 89 min, proportional band 13 mV\. Now: on-time 45 min, wait 5 min, proportional band 5 mV\./,
    )
    expect(advice({ feeders: [{ ...pump, settings: null }, ACID_PUMP] })).not.toContain('Now:')
  })

  it('says so where the pump is too large for any setting', () => {
    const huge = { ...HYPOCHLORITE_PUMP, rateLH: 5000 }
    expect(advice({ feeders: [huge, ACID_PUMP] })).toContain('too large for this body')
  })

  it.each([
    ['rate', { feeders: [HYPOCHLORITE_PUMP, ACID_PUMP] }],
    ['drum', { feeders: [{ ...HYPOCHLORITE_PUMP, rateLH: 30, drum: null }, ACID_PUMP] }],
    ['volume', { feeders: [{ ...HYPOCHLORITE_PUMP, rateLH: 30 }, ACID_PUMP], body: { volumeL: null } }],
    ['flow', { feeders: [{ ...HYPOCHLORITE_PUMP, rateLH: 30 }, ACID_PUMP], body: { flowLMin: null } }],
    ['feeder', { feeders: [] }],
  ] as const)('without the %s says what is needed for it', (_case, more) => {
    expect(advice({ ...more, feeders: [...more.feeders] })).toContain(
      'With volume, flow, what the feeder delivers and how strong its product is',
    )
  })
})

describe('ORP that sinks as in a cell that stands', () => {
  const sinks = (perHour: number, lastHours: number, usual = 1) => {
    const hours = past((ago) => {
      const swing = usual * Math.sin((ago / 24) * 2 * Math.PI)
      return { orpMv: still(740 + swing - (ago <= lastHours ? (lastHours - ago + 1) * perHour : 0), 0) }
    })
    return sinksAsIfItStood(historyOf(hours, POOL), NOW - lastHours * HOUR)
  }

  it.each([
    [4, 8, false],
    [8, 8, true],
    [8, 2, false], // gone on for too short
    [60, 1, false], // a probe that jumps does so within the hour
  ])('%s mV an hour for %s h: %s', (perHour, hours, expected) => {
    expect(sinks(perHour, hours)).toBe(expected)
  })

  it('is nothing where this water often loses as much', () => {
    expect(sinks(8, 8, 40)).toBe(false)
  })

  it('is not known from few days', () => {
    const few = Array.from({ length: 72 }, (_, at) => hour(72 - at, { orpMv: still(740 - at * 8, 0) }))
    expect(sinksAsIfItStood(historyOf(few, POOL), NOW - 8 * HOUR)).toBe(false)
  })
})

describe('history', () => {
  const one = (values: Partial<HourRecord>) => historyOf([hour(2), hour(1, values)], POOL)

  it('lays hours on a grid, and leaves holes where nothing was heard', () => {
    const history = historyOf([hour(5), hour(2)], POOL)
    expect(history.count).toBe(4)
    expect([...history.feed.primary].map((minutes) => Number.isNaN(minutes))).toEqual([false, true, true, false])
  })

  it('makes whole hours of what was covered, and none of less than half an hour', () => {
    expect(one({ coveredMin: 40, sanitizerFeedMin: 10 }).feed.primary[1]).toBeCloseTo(15, 6)
    expect(one({ coveredMin: 30, sanitizerFeedMin: 10 }).feed.primary[1]).toBeCloseTo(20, 6)
    expect(one({ coveredMin: 29, sanitizerFeedMin: 10 }).count).toBe(1)
  })

  it('does not count feed while nothing flowed: an interlock holds it then', () => {
    expect(one({ noFlowMin: 31 }).feed.primary[1]).toBeNaN()
    expect(one({ noFlowMin: 20, sanitizerFeedMin: 10 }).feed.primary[1]).toBeCloseTo(15, 6)
  })

  it('goes back three months at most, and takes hours in their order', () => {
    const long = Array.from({ length: 100 * 24 }, (_, at) => hour(100 * 24 - at))
    expect(historyOf(long, POOL).count).toBe(90 * 24)
    expect(historyOf(long, POOL).fromMs).toBe(NOW - 90 * DAY)
  })
})

describe('feed findings of a body', () => {
  it.each([
    ['without a controller', { more: { controller: null } }],
    ['whose controller reports nothing', { hours: [] }],
    ['without feeders', { feeders: [] }],
  ] as const)('%s are none', (_case, given) => {
    const found = kinds(withPast({ ...given, hours: [], feeders: [] } as Parameters<typeof withPast>[0]))
    for (const kind of ['feederWeak', 'feederAtLimit', 'backupCarries', 'overfeed', 'feedHunting', 'flowFalling'])
      expect(found).not.toContain(kind)
  })
})

import { renderPhrase } from '@sightglass/chemistry'
import { describe, expect, it } from 'vitest'
import { ACID_PUMP, drum, feeder, find, HOUR, HYPOCHLORITE_PUMP, kinds, NOW, severityOf, still } from '../support.ts'
import { past, pastTest, steadyTests, usualMin, withPast } from './past.ts'

const TRICHLOR = feeder({ role: 'primary', kind: 'erosion', drum: drum('trichlor') })

describe('fed beyond the set point', () => {
  const beyond = (count: number, values: object) =>
    withPast({ hours: past((hoursAgo) => (hoursAgo <= count ? values : {})) })

  it.each([
    [2, { orpMv: still(760, 5), sanitizerFeedMin: 30 }, 'act'],
    [1, { orpMv: still(760, 5), sanitizerFeedMin: 30 }, 'none'],
    [2, { orpMv: still(745, 5), sanitizerFeedMin: 30 }, 'none'], // within its band
    [2, { orpMv: still(760, 5), sanitizerFeedMin: 3 }, 'none'], // the rest of a cycle
  ] as const)('%s h with %j: %s', (count, values, severity) => {
    expect(severityOf(beyond(count, values), 'overfeed')).toBe(severity)
  })

  it('suspects the relay, and is said of acid too', () => {
    const finding = find(beyond(3, { ph: still(7.2), phFeedMin: 20 }), 'overfeed')
    expect(finding).toMatchObject({ subject: 'ph', causes: [{ cause: 'outputStuck' }, {}] })
    expect(finding && renderPhrase(finding.sentence, 'us')).toContain(
      'below its set point of 7.4, and acid is still fed',
    )
  })

  it('is not said while nothing flows', () => {
    expect(kinds(beyond(5, { orpMv: still(760, 5), sanitizerFeedMin: 30, noFlowMin: 60 }))).not.toContain('overfeed')
  })
})

describe('arrives unasked', () => {
  const climbs = (perHour: number, count = 10, start = 742) =>
    past((hoursAgo) =>
      hoursAgo <= count ? { orpMv: still(start + (count - hoursAgo) * perHour, 4), sanitizerFeedMin: 0 } : {},
    )

  it('is said of ORP that climbs while nothing is fed', () => {
    const finding = find(withPast({ hours: climbs(3) }), 'overfeed')
    expect(finding).toMatchObject({ subject: 'primary', severity: 'act' })
    expect(finding?.causes?.[0]?.cause).toBe('siphoning')
  })

  it('is not said of ORP that falls back after a dose by hand', () => {
    expect(kinds(withPast({ hours: climbs(-2, 10, 775) }))).not.toContain('overfeed')
  })

  it('is said of ORP that stays up through the hours that usually use most', () => {
    expect(kinds(withPast({ hours: climbs(0, 20, 755) }))).toContain('overfeed')
    expect(kinds(withPast({ hours: climbs(0, 7, 755) }))).not.toContain('overfeed')
  })

  it('is not said where the test kit finds less sanitizer: then the probe reads high', () => {
    const given = (sanitizerMgL: number) =>
      withPast({ hours: climbs(3), pastTests: steadyTests((hoursAgo) => (hoursAgo < 20 ? sanitizerMgL : 2.5)) })
    expect(kinds(given(1.6))).not.toContain('overfeed')
    expect(kinds(given(4))).toContain('overfeed')
  })

  it('is said of pH that sinks without acid, but not of a trichlor pool, which sinks by itself, nor of a probe that reads low', () => {
    const sinks = past((hoursAgo) => (hoursAgo <= 12 ? { ph: still(7.4 - (12 - hoursAgo) * 0.02), phFeedMin: 0 } : {}))
    expect(find(withPast({ hours: sinks }), 'overfeed')).toMatchObject({ subject: 'ph' })
    expect(kinds(withPast({ hours: sinks, feeders: [TRICHLOR, ACID_PUMP] }))).not.toContain('overfeed')
    const read = [...steadyTests(() => 2.5).slice(0, -1), pastTest(1, 2.5, 7.45)]
    expect(kinds(withPast({ hours: sinks, pastTests: read }))).not.toContain('overfeed')
  })
})

describe('hunting', () => {
  /** A burst every `every` hours that throws ORP to `peak` above its set point, and a slow way back. */
  const bursts = (every: number, peak: number, lastHours = 40) =>
    past((hoursAgo) => {
      if (hoursAgo > lastHours) return {}
      const since = (lastHours - hoursAgo) % every
      const feed = since === 0 ? 20 : 0
      const beyond = since === 0 ? 0 : peak - (since - 1) * (peak / (every - 1)) * 1.1
      return { sanitizerFeedMin: feed, orpMv: still(740 + beyond, 5) }
    })

  it('is said of bursts that throw ORP beyond its set point again and again', () => {
    const finding = find(withPast({ hours: bursts(10, 16) }), 'feedHunting')
    expect(finding).toMatchObject({ subject: 'primary', severity: 'watch' })
    expect(finding?.causes?.map(({ cause }) => cause).sort()).toEqual(['feederTooLarge', 'settingsTooSharp'])
    expect(finding?.advice.map(({ text }) => text).join(' ')).toContain('Leave the set points and the ORP probe')
  })

  it('is urgent where one burst goes far', () => {
    expect(severityOf(withPast({ hours: bursts(40, 60) }), 'feedHunting')).toBe('act')
  })

  it('is not said of small swings, nor of a feeder that runs a little all the time', () => {
    expect(kinds(withPast({ hours: bursts(10, 5) }))).not.toContain('feedHunting')
    expect(kinds(withPast({}))).not.toContain('feedHunting')
  })

  it('is not said of feed that answers a jump: alkalinity by hand, a calibration', () => {
    const answered = past((hoursAgo) => {
      if (hoursAgo > 20) return { phFeedMin: 0 }
      if (hoursAgo > 17) return { phFeedMin: 20, ph: still(7.4 + (hoursAgo - 17) * 0.1) }
      return { phFeedMin: 0, ph: still(7.28) }
    })
    expect(kinds(withPast({ hours: answered }))).not.toContain('feedHunting')
  })
})

describe('a feeder at its limit', () => {
  const limited = (days: number, atLimit = 24) =>
    past((hoursAgo) =>
      hoursAgo <= days * 24 && usualMin(hoursAgo) > 1 ? { sanitizerFeedMin: atLimit, orpMv: still(715, 5) } : {},
    )

  it('is said of one that falls short by day, most days, and need not run at night', () => {
    const finding = find(withPast({ hours: limited(21) }), 'feederAtLimit')
    expect(finding).toMatchObject({ subject: 'primary', severity: 'watch' })
    expect(finding?.causes?.[0]?.cause).toBe('feederTooSmall')
  })

  it('is not said after two busy days', () => {
    expect(kinds(withPast({ hours: limited(2) }))).not.toContain('feederAtLimit')
  })

  it('gives way where the feeder is known to deliver less than it did', () => {
    const found = kinds(
      withPast({ hours: past((hoursAgo) => (hoursAgo <= 5 * 24 ? { sanitizerFeedMin: 24, orpMv: still(712) } : {})) }),
    )
    expect(found).toContain('feederWeak')
    expect(found).not.toContain('feederAtLimit')
  })
})

describe('a feeder that rests although it is asked', () => {
  const rests = (count: number, orpMv: number) =>
    past((hoursAgo) => (hoursAgo <= count ? { sanitizerFeedMin: 0, orpMv: still(orpMv, 4) } : {}))

  it('is said after three hours at a distance at which it always fed', () => {
    const finding = find(withPast({ hours: rests(3, 728) }), 'orpNotHeld')
    expect(finding?.causes?.[0]?.cause).toBe('outputOff')
    expect(kinds(withPast({ hours: rests(2, 728) }))).not.toContain('orpNotHeld')
    expect(kinds(withPast({ hours: rests(5, 738) }))).not.toContain('orpNotHeld')
  })

  it('is not said where the backup runs, or where the weeks before are not known', () => {
    const backed = past((hoursAgo) =>
      hoursAgo <= 4 ? { sanitizerFeedMin: 0, backupFeedMin: 5, orpMv: still(728, 4) } : { backupFeedMin: 0 },
    )
    expect(kinds(withPast({ hours: backed }))).not.toContain('orpNotHeld')
    expect(kinds(withPast({ hours: rests(5, 728).slice(-24) }))).not.toContain('orpNotHeld')
  })
})

describe('a backup that carries', () => {
  const feeders = [
    feeder({ role: 'primary', kind: 'saltGenerator' }),
    feeder({ role: 'backup', drum: drum('sodiumHypochlorite') }),
    ACID_PUMP,
  ]
  const body = { sanitizerSystem: 'saltGenerator' as const }
  const runs = (lately: number) =>
    past((hoursAgo) => ({ backupFeedMin: hoursAgo <= 24 ? lately : hoursAgo % 24 === 6 ? 4 : 0 }))

  it('is said as soon as it runs far more than on its busiest days', () => {
    expect(severityOf(withPast({ hours: runs(4), feeders, body }), 'backupCarries')).toBe('watch')
    expect(kinds(withPast({ hours: runs(0.3), feeders, body }))).not.toContain('backupCarries')
  })

  it('points at the generator, and at the backup’s own drum', () => {
    const finding = find(withPast({ hours: runs(6), feeders, body }), 'backupCarries')
    expect(finding?.causes?.[0]?.cause).toBe('cellScaled')
    expect(finding?.advice.map(({ text }) => text).join(' ')).toContain('how long the backup’s drum lasts')
  })
})

describe('flow that falls', () => {
  const sinks = (lowest: number) =>
    past((hoursAgo) => ({ flowLMin: still(hoursAgo > 96 ? 900 : lowest + ((900 - lowest) * hoursAgo) / 96, 5) }))

  it.each([
    [860, 'none'], // a filter between two backwashes
    [740, 'none'],
    [660, 'watch'],
    [500, 'act'],
  ] as const)('to %s of 900 L/min: %s', (lowest, severity) => {
    expect(severityOf(withPast({ hours: sinks(lowest), latest: { flowLMin: lowest } }), 'flowFalling')).toBe(severity)
  })

  it('is said of a switch that drops in ever more hours, and not of one that drops at each backwash', () => {
    const drops = (which: (hoursAgo: number) => boolean) =>
      withPast({
        hours: past((hoursAgo) => ({ flowLMin: null, noFlowMin: which(hoursAgo) ? 5 : 0 })),
        latest: { flowLMin: null },
      })
    const flickers = find(
      drops((hoursAgo) => hoursAgo < 24 && hoursAgo % 4 === 0),
      'flowFalling',
    )
    expect(flickers?.causes?.[0]?.cause).toBe('strainerClogged')
    expect(flickers?.severity).toBe('watch')
    expect(kinds(drops((hoursAgo) => hoursAgo % 72 === 5))).not.toContain('flowFalling')
    expect(kinds(drops((hoursAgo) => hoursAgo % 4 === 0))).not.toContain('flowFalling')
  })
})

describe('a flow switch that does not change', () => {
  const drops = (lastAgo: number) =>
    withPast({
      hours: past((hoursAgo) => ({
        flowLMin: null,
        noFlowMin: hoursAgo >= lastAgo && hoursAgo % 72 === lastAgo % 72 ? 10 : 0,
      })),
      latest: { flowLMin: null },
    })

  it('is said once it has shown flow far longer than it ever did', () => {
    expect(find(drops(10 * 24), 'flowSwitchStuck')?.causes?.[0]?.cause).toBe('switchStuckOn')
    expect(kinds(drops(4 * 24))).not.toContain('flowSwitchStuck')
  })

  it('is not said of one that never dropped: nobody knows whether it should have', () => {
    expect(kinds(withPast({ latest: { flowLMin: null } }))).not.toContain('flowSwitchStuck')
  })
})

describe('feed findings', () => {
  it('say nothing of a quiet plant with a known past', () => {
    const given = withPast({ pastTests: steadyTests(() => 2.5), feeders: [HYPOCHLORITE_PUMP, ACID_PUMP] })
    expect(kinds(given).filter((kind) => !['testOverdue'].includes(kind))).toEqual([])
  })

  it('are the same whether hours beyond three months are given or not', () => {
    const long = past((hoursAgo) => (hoursAgo <= 30 ? { sanitizerFeedMin: 3 * usualMin(hoursAgo) } : {}), 120)
    expect(find(withPast({ hours: long }), 'feederWeak')?.sinceMs).toBe(NOW - 30 * HOUR)
  })
})

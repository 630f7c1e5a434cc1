import { type DrumLevel, renderPhrase } from '@sightglass/chemistry'
import { describe, expect, it } from 'vitest'
import { ACID_PUMP, DAY, drum, feeder, find, HOUR, HYPOCHLORITE_PUMP, kinds, NOW, still } from '../support.ts'
import { past, steadyTests, usualMin, withPast } from './past.ts'

/** The feeder ran so many times as long in the last hours; ORP sank a little, as a proportional feed makes it. */
const longer = (times: number, lastHours: number, more: object = {}) =>
  past((hoursAgo) =>
    hoursAgo <= lastHours
      ? { sanitizerFeedMin: Math.min(24, times * usualMin(hoursAgo)), orpMv: still(740 - 3 * times, 5), ...more }
      : {},
  )
const causes = (given: ReturnType<typeof withPast>, kind: Parameters<typeof find>[1] = 'feederWeak') =>
  find(given, kind)?.causes?.map(({ cause }) => cause) ?? []

describe('a feeder that delivers less than it did', () => {
  it.each([
    [1, 30, false],
    [1.3, 30, false],
    [3, 30, true],
    [3, 4, false], // too young to tell
    [8, 14, true],
  ] as const)('runs %s times as long for %s h: said %s', (times, hours, said) => {
    expect(kinds(withPast({ hours: longer(times, hours) })).includes('feederWeak')).toBe(said)
  })

  it('says how long it ran before and how long now, and for whom', () => {
    const finding = find(withPast({ hours: longer(3, 30) }), 'feederWeak')
    expect(finding && renderPhrase(finding.sentence, 'us')).toBe(
      'The primary runs 180 min a day instead of 60 min, to hold the same ORP.',
    )
    expect(finding).toMatchObject({ subject: 'primary', severity: 'watch', sinceMs: NOW - 30 * HOUR })
  })

  it('is urgent where next to nothing arrives and the set point is not held', () => {
    const given = withPast({ hours: longer(10, 20, { orpMv: still(705) }) })
    expect(find(given, 'feederWeak')?.severity).toBe('act')
    // told once: the set point that is not held follows from it
    expect(kinds(given)).not.toContain('orpNotHeld')
  })

  it('stays said while it lasts, against the days before it began', () => {
    expect(kinds(withPast({ hours: longer(3, 9 * 24) }))).toContain('feederWeak')
  })

  it('is over when the feeder runs as before for half a day', () => {
    const mended = past((hoursAgo) =>
      hoursAgo <= 60 && hoursAgo > 14 ? { sanitizerFeedMin: 3 * usualMin(hoursAgo) } : {},
    )
    expect(kinds(withPast({ hours: mended }))).not.toContain('feederWeak')
  })

  it('is not said where the water asks for more by day only: bathers and sun', () => {
    const crowd = past((hoursAgo) =>
      hoursAgo <= 60 && usualMin(hoursAgo) > 1 ? { sanitizerFeedMin: 3 * usualMin(hoursAgo) } : {},
    )
    expect(kinds(withPast({ hours: crowd }))).not.toContain('feederWeak')
  })

  it('is not said where the test kit finds more sanitizer at the same ORP: then ORP means something else', () => {
    const more = withPast({ hours: longer(2.5, 40), pastTests: steadyTests((hoursAgo) => (hoursAgo < 40 ? 4.5 : 2.5)) })
    expect(kinds(more)).not.toContain('feederWeak')
    const same = withPast({ hours: longer(2.5, 40), pastTests: steadyTests(() => 2.5) })
    expect(kinds(same)).toContain('feederWeak')
  })

  it('waits for the next test where there will be one and the set point is held', () => {
    const lastTestBefore = steadyTests(() => 2.5).filter(({ atMs }) => atMs < NOW - 14 * HOUR)
    expect(kinds(withPast({ hours: longer(6, 13), pastTests: lastTestBefore }))).not.toContain('feederWeak')
    expect(kinds(withPast({ hours: longer(6, 16), pastTests: lastTestBefore }))).toContain('feederWeak')
  })

  it('is not said while a raised set point is being caught up with', () => {
    const raised = past((hoursAgo) =>
      hoursAgo <= 11 ? { orpSetPointMv: 752, orpMv: still(745), sanitizerFeedMin: 3 * usualMin(hoursAgo) } : {},
    )
    expect(kinds(withPast({ hours: raised, latest: { orpSetPointMv: 752 } }))).not.toContain('feederWeak')
  })

  it('is not said of a controller that was not heard for the days that it would be compared with', () => {
    const short = longer(3, 30).slice(-4 * 24)
    expect(kinds(withPast({ hours: short }))).not.toContain('feederWeak')
    const gaps = longer(3, 30).filter((_, at) => at % 3 === 0 || at > 20 * 24)
    expect(kinds(withPast({ hours: gaps }))).not.toContain('feederWeak')
  })

  it('is not said where the feed is not reported', () => {
    const silent = past(() => ({ sanitizerFeedMin: null, phFeedMin: null }))
    expect(kinds(withPast({ hours: silent, latest: { sanitizerFeedPct: null, phFeedPct: null } }))).not.toContain(
      'feederWeak',
    )
  })

  it('is said of acid only where the test kit agrees with the pH probe', () => {
    const acid = past((hoursAgo) => (hoursAgo <= 30 ? { phFeedMin: 8, ph: still(7.47) } : {}))
    expect(find(withPast({ hours: acid }), 'feederWeak')).toMatchObject({ subject: 'ph' })
    const tests = steadyTests(() => 2.5).map((one) => ({ ...one, ph: one.atMs > NOW - 30 * HOUR ? 7.2 : 7.4 }))
    expect(kinds(withPast({ hours: acid, pastTests: tests }))).not.toContain('feederWeak')
  })
})

describe('what is behind a weak feeder', () => {
  /** Levels every week; the pump moves `litresPerMin` for each minute of run. */
  const levels = (lastAgoDays: number, lastL: number, deliveredL = 0): DrumLevel[] => [
    { atMs: NOW - (lastAgoDays + 14) * DAY, levelL: 190, deliveredL: 0 },
    { atMs: NOW - (lastAgoDays + 7) * DAY, levelL: 130, deliveredL: 0 },
    { atMs: NOW - lastAgoDays * DAY, levelL: lastL, deliveredL },
  ]
  const pump = (drumLevels: DrumLevel[]) =>
    feeder({ role: 'primary', drum: drum('sodiumHypochlorite', drumLevels), rateLH: 8.6 })

  it('is the drum where by its run it must be empty', () => {
    const feeders = [pump(levels(2, 15)), ACID_PUMP]
    expect(causes(withPast({ hours: longer(10, 20), feeders }))[0]).toBe('drumEmpty')
  })

  it.each([0, 2.8])('is the drum where %s of 200 L were read, however well it fell until then', (levelL) => {
    const feeders = [pump(levels(0.5, levelL)), ACID_PUMP]
    expect(causes(withPast({ hours: longer(10, 40), feeders }))[0]).toBe('drumEmpty')
    expect(causes(withPast({ hours: longer(2.5, 40), feeders }))[0]).toBe('drumEmpty')
  })

  it('speaks of alkalinity, fresh water and air where more acid is used, not of bathers and sun', () => {
    const acid = past((hoursAgo) => (hoursAgo <= 30 ? { phFeedMin: 5, ph: still(7.42) } : {}))
    const found = find(withPast({ hours: acid }), 'feederWeak')
    const told = found?.advice.map((line) => renderPhrase(line, 'us')).join(' ')
    expect(found?.causes?.map(({ cause }) => cause)).toContain('demandUp')
    expect(told).toContain('alkalinity')
    expect(told).not.toContain('bathers, sun')
  })

  it('is the pump where the drum is full and nothing arrives', () => {
    const feeders = [pump(levels(2, 180, 110)), ACID_PUMP]
    const found = causes(withPast({ hours: longer(10, 20), feeders }))
    expect(found[0]).toBe('lostPrime')
    expect(found).not.toContain('drumEmpty')
  })

  it('is the tube where it came over days', () => {
    const slowly = past((hoursAgo) => {
      const times = hoursAgo > 120 ? 1 : 1 + (120 - hoursAgo) / 50
      return { sanitizerFeedMin: times * usualMin(hoursAgo) }
    })
    expect(causes(withPast({ hours: slowly, feeders: [pump(levels(6, 150, 80)), ACID_PUMP] }))[0]).toBe('tubeWorn')
  })

  it('is the product where it came with a delivery and part of it still arrives', () => {
    const feeders = [pump(levels(30 / 24, 190, 120)), ACID_PUMP]
    expect(causes(withPast({ hours: longer(3, 28), feeders }))[0]).toBe('productWeak')
  })

  it('tells what to bring, in the order of the causes', () => {
    const finding = find(withPast({ hours: longer(10, 20), feeders: [pump(levels(2, 15)), ACID_PUMP] }), 'feederWeak')
    expect(finding?.bring?.[0]?.text).toBe('chemical for the drum')
    expect(finding?.causes?.reduce((sum, { share }) => sum + share, 0)).toBeCloseTo(1, 1)
  })

  it('is the cell of a generator, cold water or little salt, by what is known of the water', () => {
    const feeders = [feeder({ role: 'primary', kind: 'saltGenerator' }), ACID_PUMP]
    const body = { sanitizerSystem: 'saltGenerator' as const }
    expect(causes(withPast({ hours: longer(3, 30), feeders, body }))[0]).toBe('cellScaled')
    const cold = past((hoursAgo) => (hoursAgo <= 30 ? { tempC: still(16) } : {}))
    expect(causes(withPast({ hours: cold, feeders, body }))[0]).toBe('waterCold')
    const salty = (saltMgL: number) => ({
      tests: { ...withPast({}).tests, saltMgL: { value: saltMgL, atMs: NOW - 30 * HOUR } },
    })
    expect(causes(withPast({ feeders, body, more: salty(2000) }))[0]).toBe('saltLow')
    expect(kinds(withPast({ feeders, body, more: salty(3200) }))).not.toContain('feederWeak')
  })

  it('is wear where the drum falls less for each minute of run, even if the set point is held', () => {
    const falls = [60, 60, 30]
    let levelL = 190
    const worn: DrumLevel[] = [{ atMs: NOW - 20 * DAY, levelL, deliveredL: 0 }]
    falls.forEach((fall, at) => {
      levelL -= fall
      worn.push({ atMs: NOW - (13.5 - at * 6.5) * DAY, levelL: levelL + 60, deliveredL: 60 })
      levelL += 60
    })
    const finding = find(withPast({ feeders: [pump(worn), ACID_PUMP] }), 'feederWeak')
    expect(finding?.causes?.[0]?.cause).toBe('tubeWorn')
    expect(finding && renderPhrase(finding.sentence, 'metric')).toContain('by the fall of its drum')
    const well = worn.map((level, at) => (at === 3 ? { ...level, levelL: level.levelL - 30 } : level))
    expect(kinds(withPast({ feeders: [pump(well), ACID_PUMP] }))).not.toContain('feederWeak')
  })

  it('does not go by a drum that two feeders share', () => {
    const shared = drum('sodiumHypochlorite', levels(2, 15))
    const feeders = [feeder({ role: 'primary', drum: shared }), feeder({ role: 'backup', drum: shared }), ACID_PUMP]
    // the level as read, 15 of 200 L, still speaks for the drum a little; its fall does not
    expect(causes(withPast({ hours: longer(10, 20), feeders }))).toContain('lostPrime')
    expect(HYPOCHLORITE_PUMP.drum?.levels).toEqual([])
  })
})

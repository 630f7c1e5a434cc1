import { type DrumLevel, type FeederFacts, type Snapshot, suppliesOf } from '@sightglass/chemistry'
import { describe, expect, it } from 'vitest'
import { ACID_PUMP, DAY, drum, feeder, kinds, NOW } from '../support.ts'
import { past, withPast } from './past.ts'

/** Read every `every` days and filled up each time, so much a day. */
const levels = (perDay: number, every = 4): DrumLevel[] =>
  [5, 4, 3, 2, 1, 0].map((visit) => ({
    atMs: NOW - visit * every * DAY,
    levelL: 150,
    deliveredL: visit === 5 ? 0 : every * perDay,
  }))
const CHLORINE = feeder({ role: 'primary', drum: drum('sodiumHypochlorite', levels(10)) })
/** Every feeder runs 60 min a day. */
const HOURS = past(() => ({ sanitizerFeedMin: 2.5, backupFeedMin: 2.5, phFeedMin: 2.5 }))
const supplies = (feeders: FeederFacts[], more: Partial<Snapshot> = {}) =>
  suppliesOf(withPast({ hours: HOURS, feeders, more }), NOW, NOW + 7 * DAY, 2)

describe('the drums of a body', () => {
  it('each have their forecast, their plan, and what fell beside the run', () => {
    const [chlorine, acid] = supplies([CHLORINE, ACID_PUMP])
    expect(chlorine?.forecast).toMatchObject({ from: 'runTime', doubt: null })
    expect(chlorine?.forecast?.run?.litresPerHour.typical).toBeCloseTo(10, 6)
    expect(chlorine?.forecast?.run?.minutesPerDay.typical).toBeCloseTo(60, 6)
    expect(chlorine?.forecast?.useLPerDay.typical).toBeCloseTo(10, 6)
    expect(chlorine?.plan).toMatchObject({ content: 'sodiumHypochlorite', lasts: 'sure', fillKg: null })
    expect(chlorine?.plan?.fillL.typical).toBeCloseTo(200 - 150 + 70, 6)
    expect((chlorine?.plan?.latestMs ?? 0) - (chlorine?.plan?.orderMs ?? 0)).toBe(2 * DAY)
    expect(chlorine?.stretches.length).toBeGreaterThan(3)
    expect(acid).toMatchObject({ forecast: null, plan: null, stretches: [], wear: null })
  })

  it('that feeders share are told once, by their levels alone: no run time tells their fall', () => {
    const backup = { ...CHLORINE, id: 'backup', role: 'backup' as const }
    const [shared, ...others] = supplies([CHLORINE, backup])
    expect(others).toEqual([])
    expect(shared).toMatchObject({ feeders: [{ id: 'primary' }, { id: 'backup' }], stretches: [], wear: null })
    expect(shared?.forecast?.from).toBe('levels')
  })

  it('that feeders of another body draw on are told by their levels alone, too', () => {
    const elsewhere = { ...CHLORINE, drum: { ...drum('sodiumHypochlorite', levels(10)), sharedElsewhere: true } }
    expect(supplies([elsewhere])[0]).toMatchObject({ stretches: [], wear: null, forecast: { from: 'levels' } })
    // so that a spa that uses more does not look like the worn pump of its pool
    const worn = levels(10).map((level, at) => (at === 5 ? { ...level, deliveredL: 12 } : level))
    const pump = (sharedElsewhere: boolean) => ({
      ...CHLORINE,
      drum: { ...drum('sodiumHypochlorite', worn), sharedElsewhere },
    })
    const found = (sharedElsewhere: boolean) =>
      kinds(withPast({ hours: HOURS, feeders: [pump(sharedElsewhere), ACID_PUMP] })).includes('feederWeak')
    expect([found(false), found(true)]).toEqual([true, false])
  })

  it.each([
    ['without a controller', { controller: null }],
    ['whose feed is not reported', null],
  ] as const)('of a body %s are forecast by their levels', (_case, more) => {
    const silent = past(() => ({ sanitizerFeedMin: null }))
    const given = more ? withPast({ feeders: [CHLORINE], more }) : withPast({ hours: silent, feeders: [CHLORINE] })
    const [only] = suppliesOf(given, NOW)
    expect(only?.forecast).toMatchObject({ from: 'levels', run: null })
    expect(only?.forecast?.useLPerDay.typical).toBeCloseTo(10, 6)
  })

  it('are none of a salt generator, but its backup’s is', () => {
    const generator = feeder({ role: 'primary', kind: 'saltGenerator' })
    expect(supplies([generator])).toEqual([])
    expect(supplies([generator, { ...CHLORINE, id: 'backup', role: 'backup' }])).toHaveLength(1)
  })

  it('of tablets and gas are forecast by the run of their feeder too, but know no wear', () => {
    for (const [kind, content] of [
      ['erosion', 'trichlor'],
      ['co2', 'carbonDioxide'],
    ] as const) {
      const role = kind === 'co2' ? ('ph' as const) : ('primary' as const)
      const fell = levels(10).map((level, at) => (at === 5 ? { ...level, deliveredL: 8 } : level))
      const [only] = supplies([feeder({ role, kind, drum: drum(content, fell) })])
      expect(only?.forecast?.from).toBe('runTime')
      expect(only?.plan?.fillKg).not.toBeNull()
      expect(only?.wear).toBeNull()
    }
  })

  it('show the wear of a pump, from when it was last served', () => {
    const worn = levels(10).map((level, at) => (at >= 4 ? { ...level, deliveredL: 16 } : level))
    const pump = { ...CHLORINE, drum: drum('sodiumHypochlorite', worn) }
    expect(supplies([pump])[0]?.wear?.ratio).toBeCloseTo(0.4, 6)
    const served = (feederId: string, ago: number) =>
      supplies([pump], { feedWork: [{ kind: 'feederServiced', atMs: NOW - ago * DAY, feederId }] })[0]?.wear
    expect(served('primary', 9)).toBeNull()
    expect(served('', 9)).toBeNull()
    expect(served('ph', 9)).not.toBeNull()
    expect(served('primary', 30)).not.toBeNull()
  })

  it('do not hear of hours that have not come', () => {
    const ahead = withPast({ hours: HOURS, feeders: [CHLORINE] })
    const before = suppliesOf(ahead, NOW - 2 * DAY)[0]?.forecast?.run?.minutesPerDay.typical
    expect(before).toBeCloseTo(60, 6)
  })
})

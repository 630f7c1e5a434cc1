import { type FeedDay, type FeederFacts, feedView, noFeedView, type Snapshot } from '@sightglass/chemistry'
import { describe, expect, it } from 'vitest'
import { DAY, drum, NOW, POOL, profile, sample, snapshot, still } from '../support.ts'
import { past, withPast } from './past.ts'

const PUMP: FeederFacts = {
  id: 'pump',
  name: 'Chlorine pump',
  role: 'primary',
  kind: 'pump',
  rateLH: 8,
  settings: { onTimeMin: 25, waitMin: 5, band: 3 },
  drum: drum(
    'sodiumHypochlorite',
    [12, 8, 4, 0].map((ago) => ({ atMs: NOW - ago * DAY, levelL: 20 + 10 * ago, deliveredL: 0 })),
  ),
}
const ACID: FeederFacts = {
  ...PUMP,
  id: 'acid',
  name: 'Acid pump',
  role: 'ph',
  drum: drum('hydrochloricAcid', []),
  settings: { onTimeMin: 25, waitMin: 5, band: 0.02 },
}
const days = (count: number, each: (at: number) => Partial<FeedDay> = () => ({})): FeedDay[] =>
  Array.from({ length: count }, (_, at) => ({
    fromMs: NOW - (count - at) * DAY,
    heardMin: 1440,
    feedMin: { primary: 120, backup: null, ph: 40 },
    ...each(at),
  }))
const CONTROLLER: Snapshot['controller'] = {
  channels: ['ph', 'orpMv'],
  lastHeardAtMs: NOW,
  latest: sample({ orpSetPointMv: 720, phSetPoint: 7.4 }),
  hours: [],
}
const view = (given: Partial<Snapshot> = {}, told: FeedDay[] = days(10)) =>
  feedView({
    snapshot: snapshot({ controller: CONTROLLER, feeders: [PUMP, ACID], ...given }),
    profile: profile(),
    days: told,
    slopeMv: null,
    orpSetPointMv: null,
    nowMs: NOW,
  })
const texts = (phrases: readonly { text: string }[] = []) => phrases.map(({ text }) => text).join(' ')

describe('feed effort', () => {
  it('is minutes in 24 hours, for each role by itself, and nothing where less than half a day was heard', () => {
    const { effort } = view(
      {},
      days(4, (at) =>
        at === 1
          ? { heardMin: 719, feedMin: { primary: 60, backup: null, ph: 1 } }
          : at === 2
            ? { heardMin: 720, feedMin: { primary: 60, backup: null, ph: 1 } }
            : {},
      ),
    )
    expect(effort.map(({ role }) => role)).toEqual(['primary', 'ph'])
    expect(effort[0]?.minPerDay).toEqual([120, null, 120, 120])
    expect(effort[0]).toMatchObject({ usualMinPerDay: 120, feeders: [{ id: 'pump', name: 'Chlorine pump' }] })
    expect(effort[1]?.minPerDay).toEqual([40, null, 2, 40])
  })

  it('knows no usual day from two', () => {
    expect(view({}, days(2)).effort[0]?.usualMinPerDay).toBeNull()
  })

  it('shows what is fed by a role without a feeder', () => {
    const { effort } = view({ feeders: [] })
    expect(effort.map(({ role, feeders }) => [role, feeders.length])).toEqual([
      ['primary', 0],
      ['ph', 0],
    ])
  })
})

describe('drums', () => {
  it('run down from the level of now, the usual use between the fastest and the slowest, and end at nothing', () => {
    const [chlorine] = view().drums
    expect(chlorine?.forecast?.useLPerDay.typical).toBeCloseTo(10, 6)
    const course = chlorine?.course ?? []
    expect(course[0]).toMatchObject({ atMs: NOW, typical: 20 })
    expect(course.at(-1)).toMatchObject({ low: 0, typical: 0, high: 0 })
    for (const { low, typical, high } of course) {
      expect(low).toBeLessThanOrEqual(typical)
      expect(typical).toBeLessThanOrEqual(high)
    }
    const usualEnd = course.find(({ typical }) => typical === 0)
    expect(((usualEnd?.atMs ?? 0) - NOW) / DAY).toBeCloseTo(chlorine?.forecast?.daysLeft.typical ?? Number.NaN, 3)
    expect(texts(chlorine?.told)).toMatch(/It does not last to a round in \{0\}/)
    expect(texts(chlorine?.told)).toMatch(/fill it up/)
  })

  it('that were never read, or once, say what to do', () => {
    const [never] = view({ feeders: [ACID] }).drums
    expect(never).toMatchObject({ forecast: null, plan: null, course: [] })
    expect(texts(never?.told)).toMatch(/read it, twice with a day between/)
    const once = { ...PUMP, drum: drum('sodiumHypochlorite', [{ atMs: NOW - DAY, levelL: 50, deliveredL: 0 }]) }
    expect(texts(view({ feeders: [once] }).drums[0]?.told)).toMatch(/One reading tells no use/)
  })
})

describe('feed settings of a feeder', () => {
  it('that is weak today are not judged by what it runs, with why', () => {
    const hours = past((hoursAgo) => (hoursAgo <= 40 ? { phFeedMin: 20, ph: still(7.7) } : {}))
    const [chlorine, acid] = view(
      withPast({ hours, latest: { orpSetPointMv: 720, phSetPoint: 7.4 }, feeders: [PUMP, ACID] }),
    ).tuning
    expect(acid).toMatchObject({ advised: null, run: null, start: null })
    expect(acid?.told?.text).toContain('not judged until it is sound')
    expect(chlorine?.advised).not.toBeNull()
  })

  it('that is too small are not told to be left as if all were well', () => {
    const settings = { onTimeMin: 30, waitMin: 5, band: 20 }
    const small = view(
      { feeders: [{ ...PUMP, rateLH: 1, settings }, ACID] },
      days(10, () => ({ feedMin: { primary: 450, backup: null, ph: 40 } })),
    )
    expect(small.tuning[0]?.advised?.verdict).toBe('tooSmall')
    expect(small.tuning[0]?.told?.text).toContain('For a busy hour the feeder is too small')
  })
})

describe('a drum', () => {
  it.each([
    [0, true],
    [2.8, true],
    [2.9, false],
  ])('read at %s of 200 L is told as read empty: %s', (levelL, readEmpty) => {
    const read = drum('sodiumHypochlorite', [{ atMs: NOW - DAY, levelL, deliveredL: 0 }])
    expect(view({ feeders: [{ ...PUMP, drum: read }] }).drums[0]?.readEmpty).toBe(readEmpty)
  })
})

describe('feed settings', () => {
  it('stand beside the advised ones, with the coming day under either', () => {
    const [chlorine, acid] = view().tuning
    expect(chlorine).toMatchObject({ unit: 'mV', today: PUMP.settings, missing: [], start: { setPoint: 720 } })
    expect(chlorine?.run?.now?.value).toHaveLength(24 * 12)
    expect(chlorine?.run?.advised.value).toHaveLength(24 * 12)
    expect(acid?.unit).toBe('pH')
    expect(acid?.run?.now?.overshoot).toBeGreaterThan(acid?.run?.advised.overshoot ?? Number.NaN)
    expect(acid?.told?.text).toMatch(/Set as today it goes beyond its set point by \{0\}, as advised by \{1\}/)
    expect(acid?.cautions).toContain('neverTogether')
  })

  it.each<[string, Partial<Omit<Snapshot, 'body'>> & { body?: object }, RegExp]>([
    ['volume', { body: { volumeL: null } }, /volume is not entered/],
    ['flow', { body: { flowLMin: null } }, /recirculation flow is not entered/],
    ['rate', { feeders: [{ ...PUMP, rateLH: null }] }, /delivers at full rate is not entered/],
    ['drum', { feeders: [{ ...PUMP, drum: null }] }, /drum that it draws from is not entered/],
    ['test', { tests: {} }, /never tested/],
    [
      'output of a generator',
      { feeders: [{ ...PUMP, kind: 'saltGenerator', drum: null }] },
      /generator makes in an hour/,
    ],
  ])('are not advised without %s, and it says so', (_what, { body, ...given }, words) => {
    const whole = snapshot({ controller: CONTROLLER, feeders: [PUMP], ...given, body: { ...POOL, ...body } })
    const [first] = feedView({
      snapshot: whole,
      profile: profile(),
      days: days(9),
      slopeMv: null,
      orpSetPointMv: null,
      nowMs: NOW,
    }).tuning
    expect(first).toMatchObject({ advised: null, run: null, told: null })
    expect(texts(first?.missing)).toMatch(words)
  })

  it('are advised without those of today, and without a picture where the set point is not known', () => {
    const [first] = view({
      feeders: [{ ...PUMP, settings: null }],
      controller: { ...CONTROLLER, latest: sample({ orpSetPointMv: null }) } as Snapshot['controller'],
    }).tuning
    expect(first?.advised).not.toBeNull()
    expect(first?.run).toBeNull()
    expect(texts(first?.missing)).toMatch(/ORP set point is not known/)
    expect(texts(first?.missing)).toMatch(/set today is not entered/)
  })

  it('say what was taken as usual', () => {
    const { tests } = snapshot()
    const { totalAlkalinityMgL: _, ...rest } = tests
    expect(texts(view({ tests: rest }).tuning[1]?.assumed)).toBe('Total alkalinity was never tested: taken as {0}.')
  })
})

describe('what is missing', () => {
  it('is said with how to get it', () => {
    expect(texts(view({ feeders: [] }).missing)).toMatch(/No feeder is entered/)
    expect(texts(view({ controller: null }).missing)).toMatch(/No controller is entered/)
    expect(texts(view({}, []).missing)).toMatch(/has not reported any feed/)
    expect(texts(view({ feeders: [{ ...PUMP, drum: null }] }).missing)).toMatch(/No drum is entered/)
    expect(view().missing).toEqual([])
    expect(noFeedView(NOW, { text: 'Retired.', quantities: [] }).missing).toHaveLength(1)
  })
})

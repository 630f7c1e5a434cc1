import { feedView, noFeedView, profileByKey, type Snapshot } from '@sightglass/chemistry'
import { describe, expect, it } from 'vitest'
import { prepareFeed } from '../../../apps/web/screens/feed/prepare.ts'
import { known, NOW, ZONE } from '../support.ts'

const DAY = 86_400_000
const MIDNIGHT = Date.parse('2026-11-25T06:00:00Z')

const DRUM = {
  id: 'd1',
  name: 'Day tank',
  content: 'sodiumHypochlorite' as const,
  capacityL: 200,
  levels: [
    { atMs: NOW - 12 * DAY, levelL: 60, deliveredL: 0 },
    { atMs: NOW - 8 * DAY, levelL: 120, deliveredL: 100 },
    { atMs: NOW - 4 * DAY, levelL: 80, deliveredL: 0 },
    { atMs: NOW, levelL: 40, deliveredL: 0 },
  ],
}
const PUMP: Snapshot['feeders'][number] = {
  id: 'f1',
  name: 'Chlorine pump',
  role: 'primary',
  kind: 'pump',
  rateLH: 8,
  settings: { onTimeMin: 25, waitMin: 5, band: 3 },
  drum: DRUM,
}

function view(given: Partial<Snapshot> = {}, minutes: (number | null)[] = [120, 130, null, 110, 125]) {
  const { snapshot, profile } = known({}, { feeders: [PUMP], ...given })
  return feedView({
    snapshot,
    profile: profile ?? (profileByKey('cdc-mahc') as never),
    days: minutes.map((ran, at) => ({
      fromMs: MIDNIGHT - (minutes.length - 1 - at) * DAY,
      heardMin: ran === null ? 0 : 1440,
      feedMin: { primary: ran, backup: null, ph: null },
    })),
    slopeMv: null,
    orpSetPointMv: 740,
    nowMs: NOW,
  })
}
const model = (given: Partial<Snapshot> = {}, minutes?: (number | null)[], system: 'us' | 'metric' = 'metric') =>
  prepareFeed(view(given, minutes), { system, zone: ZONE })

describe('feed effort', () => {
  it('is a bar for each day, in the middle of it, and a gap where nothing was heard', () => {
    const [effort] = model().effort
    expect(effort?.title).toBe('Primary sanitizer: Chlorine pump')
    expect(effort?.usual).toBe('Usually 2.1 h a day in the last week.')
    expect(effort?.chart?.rows.map(({ ran }) => ran)).toEqual([2, 130 / 60, null, 110 / 60, 125 / 60])
    expect(effort?.chart?.rows[0]?.x).toBe(MIDNIGHT - 3.5 * DAY)
    expect(effort?.chart?.summary).toBe('between 1.8 h and 2.2 h over 5 days; 1 day not heard')
    expect(effort?.days.map(({ day, ran }) => `${day} ${ran}`)).toEqual([
      'Wed Nov 25 2.1 h',
      'Tue Nov 24 1.8 h',
      'Mon Nov 23 not heard',
      'Sun Nov 22 2.2 h',
      'Sat Nov 21 2 h',
    ])
  })

  it('of little is told in minutes', () => {
    const [effort] = model({}, [20, 0, 89]).effort
    expect(effort?.chart?.y.title).toBe('minutes')
    expect(effort?.usual).toBe('Usually 20 min a day in the last week.')
  })

  it('never heard has no picture', () => {
    expect(model({}, [null, null]).effort[0]).toMatchObject({ chart: null })
    expect(model({}, []).effort[0]).toMatchObject({ chart: null, days: [] })
  })
})

describe('drums', () => {
  it('say how long they last as a range, what to bring and until when', () => {
    const [drum] = model().drums
    expect(drum).toMatchObject({ title: 'Day tank', what: 'Sodium hypochlorite, for Chlorine pump' })
    expect(drum?.head).toMatch(/^\d+(\.\d)? to \d+(\.\d)? days left, about 4 days$/)
    expect(drum?.told.join(' ')).toMatch(
      /It does not last to a round in 7\sdays\..*fill it up.*Fill it by Nov 2\d, .* at the latest/,
    )
    expect(drum?.levels[2]).toMatchObject({ level: '120 L', delivered: '100 L' })
  })

  it('read empty are to be filled now, with no day before now to do it by', () => {
    const levels = [...(DRUM.levels ?? []), { atMs: NOW - DAY / 2, levelL: 0, deliveredL: 0 }]
    const [drum] = model({ feeders: [{ ...PUMP, drum: { ...DRUM, levels } }] }).drums
    expect(drum?.head).toBe('It was read empty')
    expect(drum?.told).toContain('Fill it now.')
    expect(drum?.told.join(' ')).not.toContain('at the latest')
  })

  it('draw what was read, a delivery as a rise at one moment, and the range from now on', () => {
    const [drum] = model().drums
    const rows = drum?.chart?.rows ?? []
    expect(rows.filter(({ read }) => read !== undefined).map(({ read }) => read)).toEqual([60, 120, 80, 40])
    expect(rows.filter(({ line }) => line !== undefined).map(({ line }) => line)).toEqual([60, 20, 120, 80, 40])
    const ahead = rows.filter(({ range }) => range !== undefined)
    const [least, most] = (ahead[0]?.range ?? []) as number[]
    expect(most).toBe(40)
    expect(least).toBeGreaterThan(35)
    expect(ahead.at(-1)?.range).toEqual([0, 0])
    expect(drum?.chart?.marks).toEqual([{ at: NOW, label: 'now' }])
  })

  it('in gallons are the same drum', () => {
    const [drum] = model({}, undefined, 'us').drums
    expect(drum?.chart?.y.title).toBe('gal')
    expect(drum?.levels[0]?.level).toBe('10.6 gal')
  })

  it('that last for years are not told to the day', () => {
    const levels = [20, 10, 0].map((ago) => ({ atMs: NOW - ago * DAY, levelL: 100 + 0.1 * ago, deliveredL: 0 }))
    const [drum] = model({ feeders: [{ ...PUMP, drum: { ...DRUM, levels } }] }).drums
    expect(drum?.head).toBe('More than 60 days left')
    expect(drum?.told.join(' ')).not.toMatch(/at the latest/)
  })

  it('never read have no picture', () => {
    const [drum] = model({ feeders: [{ ...PUMP, drum: { ...DRUM, levels: [] } }] }).drums
    expect(drum).toMatchObject({ head: 'Days left: not known', chart: null, levels: [] })
  })
})

describe('feed settings', () => {
  it('stand side by side, with both runs in one picture', () => {
    const [settings] = model().settings
    expect(settings?.rows.slice(0, 3).map(({ label, today }) => [label, today])).toEqual([
      ['Longest on-time', '25 min'],
      ['Wait after it', '5 min'],
      ['Proportional band', '3 mV'],
    ])
    expect(settings?.chart?.series.map(({ key }) => key)).toEqual(['today', 'advised'])
    expect(settings?.chart?.rows).toHaveLength(288)
    expect(settings?.chart?.x.ticks.map(({ label }) => label)).toEqual(['now', '6 h', '12 h', '18 h', '24 h'])
    expect(settings?.chart?.levels[0]?.label).toBe('set point 740')
    expect(settings?.told).not.toBe('')
    expect(settings?.cautions.length).toBeGreaterThan(0)
  })

  it('that nobody entered are named so', () => {
    const [settings] = model({ feeders: [{ ...PUMP, settings: null }] }).settings
    expect(settings?.rows[0]?.today).toBe('not entered')
    expect(settings?.chart?.series.map(({ key }) => key)).toEqual(['advised'])
    expect(settings?.missing.join(' ')).toMatch(/How the controller is set today is not entered/)
  })

  it('that cannot be worked out leave only what is missing', () => {
    const [settings] = model({ feeders: [{ ...PUMP, rateLH: null }] }).settings
    expect(settings).toMatchObject({ rows: [], chart: null, working: [], cautions: [], told: '' })
    expect(settings?.missing.join(' ')).toMatch(/delivers at full rate is not entered/)
  })
})

it('of a body without anything is only what is missing', () => {
  const empty = prepareFeed(noFeedView(NOW, { text: 'Retired.', quantities: [] }), { system: 'us', zone: ZONE })
  expect(empty).toEqual({ missing: ['Retired.'], effort: [], drums: [], settings: [] })
})

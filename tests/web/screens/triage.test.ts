import type { TriageRow } from '@sightglass/contract'
import { describe, expect, it } from 'vitest'
import { holdOrder, prepareRow } from '../../../apps/web/screens/triage/prepare.ts'
import { apiQuery, EVERYTHING, readView, writeView } from '../../../apps/web/screens/triage/query.ts'

const now = Date.parse('2026-11-25T12:00:00Z')
const row = (part: Partial<TriageRow> = {}): TriageRow => ({
  bodyId: '0199b0c4-7a1e-7000-8000-000000000001',
  bodyName: 'Lap pool',
  facilityId: '0199b0c4-7a1e-7000-8000-000000000002',
  facilityName: 'Saltmarsh Hotel',
  area: 'Harbor',
  timeZone: 'America/Chicago',
  useClass: 'pool',
  setting: 'outdoor',
  sanitizerSystem: 'hypochlorite',
  severity: 'act',
  score: 61.4,
  kinds: ['phHigh'],
  daysLeft: 2.5,
  heardAt: '2026-11-25T11:48:00Z',
  assessedAt: '2026-11-25T11:59:00Z',
  view: {
    sentences: [
      {
        text: 'pH {0} is over the maximum of {1}.',
        quantities: [
          { value: 7.9, unit: 'pH' },
          { value: 7.8, unit: 'pH' },
        ],
      },
      { text: 'The water is {0}.', quantities: [{ value: 40, unit: '°C' }] },
      { text: 'Third.', quantities: [] },
    ],
    findings: 5,
    test: { ph: { value: 7.9, at: '2026-11-25T10:00:00Z' }, sanitizer: { value: 2, at: '2026-11-25T10:00:00Z' } },
    controller: { at: '2026-11-25T11:48:00Z', ph: null, orpMv: 712 },
    ranges: { ph: { min: 7, max: 7.8 }, sanitizer: { min: 1, max: 10 }, orpMv: { min: 600, max: 900 } },
    trace: null,
  },
  ...part,
})

describe('a row of the morning list', () => {
  it('says since when and why a body is out of use, and never that it is fine', () => {
    const view = { ...row().view, sentences: [], findings: 0 } as NonNullable<TriageRow['view']>
    const outOfUse = { from: '2026-11-03T12:00:00Z', to: null, reason: 'Shut for the winter' }
    const model = prepareRow(row({ severity: 'outOfUse', score: null, view: { ...view, outOfUse } }), 'us', now)
    expect(model.sentences).toEqual(['Out of use since Nov 3, 6:00 am: Shut for the winter.'])
    expect(model).toMatchObject({ severityWord: 'Out of use', score: 'no score' })
    const known = { ...view, outOfUse: { ...outOfUse, to: '2027-04-01T11:00:00Z' } }
    expect(prepareRow(row({ severity: 'outOfUse', view: known }), 'us', now).sentences[0]).toContain(
      'until Apr 1 2027, 6:00 am',
    )
  })

  it('says the worst in sentences with numbers in the reader’s units, and how many more there are', () => {
    const model = prepareRow(row(), 'us', now)
    expect(model.sentences).toEqual(['pH 7.9 is over the maximum of 7.8.', 'The water is 104\u00a0°F.'])
    expect(model.more).toBe('and 3 more')
    expect(prepareRow(row(), 'metric', now).sentences[1]).toBe('The water is 40.0\u00a0°C.')
  })

  it('marks each value by its range and says how old it is', () => {
    const { test, controller } = prepareRow(row(), 'us', now)
    expect(test.values.map(({ label, place }) => [label, place])).toEqual([
      ['Cl', 'in'],
      ['pH', 'over'],
    ])
    expect(test.age).toBe('2 h old')
    expect(controller.values.map(({ label }) => label)).toEqual(['ORP'])
    expect(controller.age).toBe('12 min old')
  })

  it('shows bromine where bromine is used', () => {
    expect(prepareRow(row({ sanitizerSystem: 'bromine' }), 'us', now).test.values[0]?.label).toBe('Br')
  })

  it('never dresses silence up as fine', () => {
    const silent = prepareRow(
      row({ severity: 'unheard', score: null, heardAt: null, view: null, daysLeft: null }),
      'us',
      now,
    )
    expect(silent).toMatchObject({ severityWord: 'Unheard', score: 'no score', heard: null, daysLeft: null })
    expect(silent.sentences).toEqual(['Not assessed yet.'])
    const heardOnce = row({ severity: 'unheard', score: null })
    if (heardOnce.view) heardOnce.view = { ...heardOnce.view, sentences: [], findings: 0 }
    expect(prepareRow(heardOnce, 'us', now).sentences).toEqual(['Nothing recent enough to judge it by.'])
  })

  it.each([
    [0.4, 'under 1 day', true],
    [1, '1 day', true],
    [2.5, '2.5 days', true],
    [6.96, '7 days', true],
    [7, '7 days', false],
    [31.2, '31 days', false],
  ])('%d days of chemical left reads “%s”', (daysLeft, text, low) => {
    expect(prepareRow(row({ daysLeft }), 'us', now).daysLeft).toEqual({ text, low })
  })
})

describe('the order under a reader’s hand', () => {
  const rows = (...ids: string[]) => ids.map((bodyId) => ({ bodyId, fresh: false }))
  const fresh = (...ids: string[]) => ids.map((bodyId) => ({ bodyId, fresh: true }))

  it('stays while the values in it are renewed', () => {
    const held = holdOrder(rows('a', 'b', 'c'), fresh('c', 'a', 'b'))
    expect(held.rows).toEqual(fresh('a', 'b', 'c'))
    expect(held.moved).toBe(3)
  })

  it('keeps a body that has left the page, as it was last seen', () => {
    expect(holdOrder(rows('a', 'b'), fresh('a', 'c')).rows).toEqual([...fresh('a'), ...rows('b')])
  })

  it('says nothing when only values changed', () => {
    expect(holdOrder(rows('a', 'b'), fresh('a', 'b'))).toEqual({ rows: fresh('a', 'b'), moved: 0 })
  })

  it('counts bodies that came or went', () => {
    expect(holdOrder(rows('a'), fresh('a', 'b')).moved).toBe(1)
    expect(holdOrder(rows('a', 'b'), fresh('a')).moved).toBe(1)
  })

  it('is the fresh one when none is held', () => expect(holdOrder(null, fresh('b', 'a')).moved).toBe(0))
})

describe('the address of a view', () => {
  it('comes back as it was written', () => {
    const view = {
      severity: ['close', 'act'] as ('close' | 'act')[],
      kind: ['phHigh' as const],
      area: ['Harbor', 'North, upper'],
      sanitizerSystem: ['bromine' as const],
      facilityId: '0199b0c4-7a1e-7000-8000-000000000002',
      q: 'spa & pool',
      sort: 'daysLeft' as const,
      byFacility: true,
    }
    expect(readView(new URL(writeView(view), 'http://x').searchParams)).toEqual(view)
  })

  it('is bare when everything is shown', () => expect(writeView(EVERYTHING)).toBe('/'))

  it('leaves out what means nothing', () => {
    const search = new URLSearchParams('severity=terrible&severity=act&finding=x&sort=up&facility=1&group=y&area=')
    expect(readView(search)).toEqual({ ...EVERYTHING, severity: ['act'] })
  })

  it('asks the API for one page and for nothing that is not chosen', () => {
    expect(apiQuery(EVERYTHING, 200, 100)).toEqual({ offset: 200, limit: 100, sort: 'worst' })
  })
})

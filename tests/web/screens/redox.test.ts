import { assessRedox, noRedoxView, type RedoxRecord, redoxView } from '@sightglass/chemistry'
import { describe, expect, it } from 'vitest'
import { prepareRedox } from '../../../apps/web/screens/redox/prepare.ts'
import { NOW, ZONE } from '../support.ts'

const DAY = 86_400_000
const PLACE = { bodyId: 'b1', system: 'us', zone: ZONE } as const

/** Tests of an hour before now and of the days before, with the ORP that the display showed. */
const recordOf = (given: Partial<RedoxRecord> = {}): RedoxRecord => ({
  oxidant: 'chlorine',
  cyanuricAcidUsed: false,
  work: [{ kind: 'orpProbeCleaned', atMs: NOW - 9.5 * DAY }],
  setPoints: [{ atMs: NOW - 60 * DAY, orpMv: 740 }],
  hours: [],
  pairs: Array.from({ length: 20 }, (_, at) => {
    const atMs = NOW - (19 - at) * DAY - 3_600_000
    const measured = (value: number) => ({ value, atMs })
    return {
      atMs,
      test: {
        sanitizerMgL: 1.5 + 0.1 * (at % 3),
        combinedChlorineMgL: 0.1,
        ph: measured(7.4),
        cyanuricAcidMgL: null,
        tempC: measured(27),
        tdsMgL: measured(900),
      },
      orp: { from: 'display' as const, value: 740 + (at % 3), spread: null },
      ph: { from: 'display' as const, value: 7.45, spread: null },
    }
  }),
  ...given,
})

function model(given: Partial<RedoxRecord> = {}, system: 'us' | 'metric' = 'us', urgent = true) {
  const record = recordOf(given)
  const aim = { targetMgL: 2, orpMinMv: null, orpMaxMv: null, phSetPoint: 7.4 }
  const assessment = assessRedox(record, aim, NOW)
  const logged = [{ atMs: NOW - 2 * DAY, orpMv: 740 }]
  return prepareRedox(redoxView({ record, assessment, aim, logged, showsOrp: true, urgent }), { ...PLACE, system })
}

describe('what ORP means, ready to be shown', () => {
  it('is the advised set point, with the way to log it', () => {
    const { setPoint } = model()
    const advised = /^Move the set point to (\d+) mV today$/.exec(setPoint?.head ?? '')?.[1]
    expect(Number(advised)).toBeGreaterThan(740)
    expect(setPoint?.logHref).toBe(`/bodies/b1/work/new?orpSetPointMv=${advised}`)
    expect(setPoint?.values[0]).toEqual({ label: 'Set point now', value: '740 mV' })
    expect(setPoint?.values.at(-1)).toEqual({
      label: 'Set it today to',
      value: `${advised} mV (+${Number(advised) - 740} mV)`,
    })
    expect(setPoint?.cautions.length).toBeGreaterThan(0)
  })

  it('is quiet about another set point where no finding asks for it', () => {
    const { setPoint, curve } = model({}, 'us', false)
    expect(setPoint?.head).toMatch(/^Set point: 7\d\d mV would hold the target \(now 740 mV\)$/)
    expect(setPoint).toMatchObject({ action: 'keep', logHref: '' })
    expect(setPoint?.values.map(({ label }) => label)).not.toContain('Set it today to')
    expect(curve?.levels.map(({ label }) => label)).toEqual([
      'set to 740 mV',
      expect.stringMatching(/^holds the target: 7\d\d mV$/),
    ])
  })

  it('offers no log of a move where none is advised', () => {
    const { setPoint } = model({ setPoints: [] })
    expect(setPoint).toMatchObject({ head: 'Nothing tells where it should be', logHref: '' })
    expect(setPoint?.values[0]?.value).toBe('not known')
  })

  it('draws the curve with its band, pairs before and after the break, and both set points as lines', () => {
    const { curve } = model()
    expect(curve?.series.map(({ key, form }) => [key, form])).toEqual([
      ['band', 'band'],
      ['curve', 'line'],
      ['since', 'dots'],
      ['before', 'rings'],
    ])
    expect(curve?.rows.filter(({ since }) => since !== undefined)).toHaveLength(10)
    expect(curve?.rows.filter(({ before }) => before !== undefined)).toHaveLength(10)
    expect(curve?.levels.map(({ label }) => label)).toEqual([
      'set to 740 mV',
      expect.stringMatching(/^today: 7\d\d mV$/),
    ])
    expect(curve?.summary).toMatch(/^20 pairs; ORP \d+ mV at .* ppm/)
    expect(curve?.x.title).toBe('Free hypochlorous acid, ppm')
    for (const { at } of curve?.x.ticks ?? []) expect(at).toBeGreaterThanOrEqual(curve?.x.domain[0] ?? Number.NaN)
  })

  it('draws seen against expected over time, with set points as a stair and what was done as marks', () => {
    const { course, done } = model()
    expect(course?.marks.map(({ label }) => label)).toEqual(['ORP probe cleaned', ''])
    expect(course?.rows.filter(({ set }) => set !== undefined).map(({ set }) => set)).toEqual([740, 740])
    expect(course?.rows.find(({ seen }) => seen !== undefined)?.words).toMatch(
      /^Nov 6, 5:00 am: seen 740 mV, expected \d+ mV \(/,
    )
    expect(done).toEqual([
      'Nov 23, 6:00 am: ORP set point moved to 740 mV',
      expect.stringMatching(/^Nov 15, .*: ORP probe cleaned/),
    ])
  })

  it('tells each pair in the table, newest first', () => {
    const { pairs } = model()
    expect(pairs?.rows).toHaveLength(20)
    expect(pairs?.rows[0]?.at).toBe('Nov 25, 5:00 am')
    expect(pairs?.rows[0]?.cells.slice(0, 2)).toEqual(['1.6', '7.4'])
    expect(pairs?.rows[0]?.note).toBe('')
    expect(pairs?.rows.at(-1)?.note).toBe('before the last break')
  })

  it('holds the pH probe beside what is tolerated', () => {
    const { phProbe } = model()
    expect(phProbe?.chart?.levels.map(({ label }) => label)).toEqual(['+0.2', '−0.2'])
    expect(phProbe?.chart?.rows[0]?.words).toMatch(/display 7\.45, test kit 7\.4 \(\+0\.05\)/)
  })

  it('says what moved ORP in the reader’s units, and zero without a sign', () => {
    const parts = (system: 'us' | 'metric') => model({}, system).drift?.parts ?? []
    expect(parts('us').find(({ name }) => name === 'Temperature')?.change).toBe('still 81 °F')
    expect(parts('metric').find(({ name }) => name === 'Temperature')?.change).toBe('still 27.0 °C')
    expect(parts('us').find(({ name }) => name === 'pH')?.moved).toBe('0 mV (0 to 0)')
  })

  it('shows no value that nobody tested', () => {
    const pairs = recordOf().pairs.map((one) => ({ ...one, test: { ...one.test, tempC: null, tdsMgL: null } }))
    const { drift, curve } = model({ pairs })
    expect(drift?.parts.map(({ name }) => name)).toEqual(['pH', 'Explained by no test'])
    expect(drift?.untested).toBe('Not tested: cyanuric acid, temperature, dissolved solids.')
    expect(curve?.y.title).toBe('mV, at pH 7.4 and 81 °F (not tested)')
    expect(model().drift?.untested).toBe('Not tested: cyanuric acid.')
  })

  it('says of what was tested for the first time that it was not tested before', () => {
    const pairs = recordOf().pairs.map((one, at) => (at < 15 ? { ...one, test: { ...one.test, tdsMgL: null } } : one))
    const { drift } = model({ pairs })
    expect(drift?.parts.find(({ name }) => name === 'Dissolved solids')?.change).toBe('not tested to 900 ppm')
  })

  it('is a list of what is missing where nothing is known', () => {
    const empty = prepareRedox(noRedoxView(NOW, { text: 'Test first.', quantities: [] }), PLACE)
    expect(empty).toMatchObject({
      missing: ['Test first.'],
      curve: null,
      course: null,
      setPoint: null,
      drift: null,
      phProbe: null,
      pairs: null,
    })
    expect(model({ pairs: [] })).toMatchObject({ curve: null, course: null, pairs: null })
  })
})

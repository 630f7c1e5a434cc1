import { describe, expect, it } from 'vitest'
import { HISTORY_KINDS, prepareHistory } from '../../../apps/web/charts/prepare/history.ts'
import { prepareTrace, runs } from '../../../apps/web/charts/prepare/trace.ts'

const ranges = { ph: { min: 7.2, max: 7.8 }, orpMv: { min: 650, max: 900 } }
const size = { width: 100, height: 44 }
const trace = (ph: (number | null)[], orpMv: (number | null)[]) => ({
  startAt: '2026-11-18T12:00:00Z',
  stepMin: 240,
  ph,
  orpMv,
})

describe('the small trace', () => {
  it('breaks its line where nothing was heard', () => {
    const model = prepareTrace(
      trace([7.4, 7.5, null, null, 7.4, 7.4], [null, null, null, null, null, null]),
      ranges,
      size,
    )
    expect(model?.ph.path.match(/M/g)).toHaveLength(2)
    expect(model?.orp.path).toBe('')
  })

  it('draws a value between two silences as a dot', () => {
    const model = prepareTrace(trace([null, 7.4, null], [700, null, 700]), ranges, size)
    expect(model?.ph.path).toMatch(/^M50 [\d.]+h0\.01$/)
  })

  it('is nothing when nothing was heard at all', () => {
    expect(prepareTrace(trace([null, null], [null, null]), ranges, size)).toBeNull()
  })

  it('keeps a value inside the range inside the band, and one outside out of it', () => {
    const model = prepareTrace(trace([7.5, 8.4], [700, 700]), ranges, size)
    const [inside, outside] = [...(model?.ph.path.matchAll(/[ML][\d.]+ ([\d.]+)/g) ?? [])].map(([, y]) => Number(y))
    const band = model?.ph.band ?? { y: 0, height: 0 }
    expect(inside).toBeGreaterThan(band.y)
    expect(inside).toBeLessThan(band.y + band.height)
    expect(outside).toBeLessThan(band.y)
  })

  it('says in words what it shows, and how long it is silent', () => {
    const model = prepareTrace(trace([7.4, null, 7.6], [700, null, 720]), ranges, size)
    expect(model?.words).toBe('Last 7 days: pH 7.4 to 7.6, ORP 700 to 720 mV; nothing heard for 4 h of it')
  })

  it('finds the unbroken runs', () => {
    expect(runs([null, 1, 2, null, 3])).toEqual([
      [
        [1, 1],
        [2, 2],
      ],
      [[4, 3]],
    ])
  })
})

describe('the larger chart', () => {
  const week = trace([7.4, null, 7.9, ...Array<number>(39).fill(7.5)], [])

  it('keeps gaps as gaps', () => {
    const model = prepareHistory(week, week.ph, ranges.ph, HISTORY_KINDS.ph, 'America/Chicago')
    expect(model?.rows[1]).toMatchObject({ value: null, words: 'Nov 18, 10:00 am: nothing heard' })
    expect(model?.summary).toBe('pH between 7.40 and 7.90; 4 h without data')
  })

  it('shows the range whole and puts a tick at each midnight of the facility', () => {
    const model = prepareHistory(week, week.ph, ranges.ph, HISTORY_KINDS.ph, 'America/Chicago')
    expect(model?.domain[0]).toBeLessThanOrEqual(7.2)
    expect(model?.domain[1]).toBeGreaterThanOrEqual(7.9)
    expect(model?.ticks[0]).toEqual({ ms: Date.parse('2026-11-19T06:00:00Z'), label: 'Thu Nov 19' })
    expect(model?.ticks).toHaveLength(7)
  })

  it('is nothing without a value', () => {
    expect(prepareHistory(week, [null], ranges.ph, HISTORY_KINDS.ph, 'UTC')).toBeNull()
  })
})

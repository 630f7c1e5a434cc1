import { readFileSync } from 'node:fs'
import {
  assessRedox,
  fitRedox,
  type OffsetStep,
  probeCondition,
  type RedoxModel,
  type RedoxPair,
} from '@sightglass/chemistry'
import { beforeAll, describe, expect, it } from 'vitest'
import { fitLevel } from '../../../packages/chemistry/src/redox/level.ts'
import {
  absence,
  at,
  between,
  type Channel,
  isClean,
  type Row,
  rowsOf,
  sensorRecord,
  sensorsAbsent,
  type Year,
} from './sensors.ts'
import { DAY, HOUR } from './support.ts'

/** Pairs as rare as somebody who tests often would make them, each the median of its stretch. */
const FOUR_HOURS = 4 * HOUR
const AIM = { targetMgL: 0.1, orpMinMv: null, orpMaxMv: null, phSetPoint: null }
const YEARS: readonly Year[] = [2017, 2018]

// said in every run, so that nobody takes a run without them for one with them
if (sensorsAbsent) console.info(`Sensors of a works: ${sensorsAbsent}.`)

it('says how to hand the sensors over where they are absent', () => {
  expect(absence(undefined)).toContain('absent: skipped. Set SIGHTGLASS_REDOX_DATA to the folder')
  expect(absence('/nowhere')).toContain('is set, but gecco2017_10min.csv')
})

describe.skipIf(sensorsAbsent !== null)('sensors of a works with chlorine dioxide', { timeout: 120_000 }, () => {
  const rows = {} as Record<Year, Row[]>
  beforeAll(() => {
    for (const year of YEARS) rows[year] = rowsOf(year)
  })
  const fitted = (year: Year, channel: Channel, everyMs: number, some: readonly Row[] = rows[year]) =>
    fitRedox(sensorRecord(some, channel, everyMs), (some[some.length - 1] as Row).atMs)

  it('are read whole', () => {
    expect(rows[2017].length).toBeGreaterThan(11_000)
    expect(rows[2018].length).toBeGreaterThan(13_500)
    for (const year of YEARS) expect(rows[year].filter(isClean).length / rows[year].length).toBeGreaterThan(0.99)
  })

  describe('steps', () => {
    /** The step that happened at a time, to within how rare the pairs are. */
    const stepAt = ({ steps }: RedoxModel, time: string, everyMs: number): OffsetStep | undefined =>
      steps.find(({ afterMs, atMs }) => afterMs - everyMs <= at(time) && at(time) <= atMs + everyMs)

    it.each([
      ['cl2', 1],
      ['cl2', 4],
      ['cl', 1],
      ['cl', 4],
    ] as const)(
      'are found after the services of 17 and 24 April, and at both ends of the eight days that no label marks (%s, every %s h)',
      (channel, hours) => {
        const everyMs = hours * HOUR
        const model = fitted(2017, channel, everyMs)
        const size = (time: string) => stepAt(model, time, everyMs)?.mv.value
        expect(size('2016-04-17 02:45')).toBeCloseTo(10, -0.7)
        expect(size('2016-04-24 02:15')).toBeLessThan(-16)
        expect(size('2016-04-24 02:15')).toBeGreaterThan(-26)
        expect(size('2016-05-01 04:30')).toBeLessThan(-20)
        expect(size('2016-05-01 04:30')).toBeGreaterThan(-36)
        expect(size('2016-05-09 14:13')).toBeGreaterThan(14)
        expect(model.steps.every(({ work }) => work === null)).toBe(true)
        // one more may stand over eight days of which there is no row
        const others = model.steps.filter(
          ({ atMs }) =>
            !['2016-04-17 03:00', '2016-04-24 02:00', '2016-05-01 05:00', '2016-05-09 16:00'].some(
              (time) => Math.abs(atMs - at(time)) <= FOUR_HOURS,
            ),
        )
        expect(
          others.every(({ afterMs, atMs }) => afterMs < at('2016-03-07 05:00') && atMs > at('2016-03-15 04:00')),
        ).toBe(true)
      },
    )

    it.each([1, 4])('of the second file lie within a day of labelled services alone (every %s h)', (hours) => {
      const everyMs = hours * HOUR
      for (const channel of ['cl', 'cl2'] as const) {
        const model = fitted(2018, channel, everyMs)
        expect(stepAt(model, '2016-09-22 09:00', everyMs)?.mv.value).toBeLessThan(-5)
        const labelled = rows[2018].filter(({ event }) => event).map(({ atMs }) => atMs)
        for (const { afterMs, atMs } of model.steps)
          expect(labelled.some((time) => time >= afterMs - DAY && time <= atMs + everyMs)).toBe(true)
      }
    })

    it('are told within a day and a half, and the eight days as far off', () => {
      const record = sensorRecord(rows[2017], 'cl2', FOUR_HOURS)
      const drift = (time: string) => assessRedox(record, AIM, at(time)).drift
      const since = (time: string, from: string) =>
        drift(time).steps.flatMap(({ atMs }) => (atMs > at(from) ? [new Date(atMs).toISOString().slice(0, 10)] : []))
      expect(since('2016-04-17 00:00', '2016-03-16 00:00')).toEqual([])
      expect(since('2016-04-18 12:00', '2016-03-16 00:00')).toEqual(['2016-04-17'])
      expect(since('2016-04-25 12:00', '2016-03-16 00:00')).toEqual(['2016-04-17', '2016-04-24'])
      const off = drift('2016-05-02 12:00')
      expect(off).toMatchObject({ shape: 'step', alarm: true, attribution: { main: 'unexplained' } })
      expect(off.residualMv?.value).toBeLessThan(-25)
    })

    it('in pairs a day apart are found, but for the end of the eight days, after which there is no whole day', () => {
      const model = fitted(2017, 'cl2', DAY)
      const days = model.steps.map(({ atMs }) => new Date(atMs).toISOString().slice(0, 10))
      expect(days).toEqual(['2016-04-17', '2016-04-24', '2016-05-01'])
    })
  })

  describe('pH', () => {
    it.each(YEARS)('seems to raise ORP in all raw rows of %i, and is found to lower it in the very same', (year) => {
      const all = rows[year]
      expect(
        correlation(
          all.map(({ ph }) => ph),
          all.map(({ orpMv }) => orpMv),
        ),
      ).toBeGreaterThan(0.5)
      for (const channel of ['cl', 'cl2'] as const)
        expect(fitted(year, channel, 10 * 60_000).phMv.high).toBeLessThan(-5)
    })

    it.each(YEARS)('lowers ORP by pairs four hours apart too (%i)', (year) => {
      for (const channel of ['cl', 'cl2'] as const) expect(fitted(year, channel, FOUR_HOURS).phMv.high).toBeLessThan(0)
    })
  })

  describe('the chlorine channels', () => {
    /** On how many days from the third week on, by what was known until then. */
    function judgedDaily(year: Year, channel: Channel, hours: number) {
      const all = rows[year]
      const record = sensorRecord(all, channel, hours * HOUR)
      const days = { none: 0, usable: 0, assumed: 0 }
      for (let nowMs = (all[0] as Row).atMs + 21 * DAY; nowMs < (all[all.length - 1] as Row).atMs; nowMs += DAY)
        days[fitRedox(record, nowMs).correlation]++
      return days
    }

    it.each([1, 4, 12, 24])('the insensitive one has no usable correlation (every %s h)', (hours) => {
      for (const year of YEARS) expect(fitted(year, 'cl', hours * HOUR).correlation).toBe('none')
    })

    it.each([1, 4])('the other one has, on every day on which it is judged (every %s h)', (hours) => {
      for (const year of YEARS) expect(judgedDaily(year, 'cl2', hours).none).toBe(0)
    })

    it('the other one has it too in half days and days of 2017, but those of 2018 are too few and too much alike', () => {
      expect(judgedDaily(2017, 'cl2', 12).none).toBe(0)
      expect(judgedDaily(2018, 'cl2', 24).usable).toBe(0)
    })

    it.each([1, 4, 12, 24])('the insensitive one has none on nearly any day (every %s h)', (hours) => {
      for (const year of YEARS) {
        const { none, usable } = judgedDaily(year, 'cl', hours)
        expect(none).toBeGreaterThan(60)
        // three days of 140 at four hours, in 2018
        expect(usable).toBeLessThanOrEqual(hours === 4 ? 3 : 0)
      }
    })

    it('and nobody is told a set point by the insensitive one', () => {
      const record = { ...sensorRecord(rows[2018], 'cl', FOUR_HOURS), setPoints: [] }
      const { advice, drift } = assessRedox(
        { ...record, setPoints: [{ atMs: at('2016-08-01 00:00'), orpMv: 755 }] },
        AIM,
        at('2016-10-31 00:00'),
      )
      expect(advice.action).toBe('cannotTell')
      expect(advice.todayMv).toBeNull()
      expect(drift.alarm).toBe(false)
    })
  })

  describe('clean weeks', () => {
    const CLEAN = [
      [2017, '2016-03-15 04:00', '2016-04-16 00:00'],
      [2018, '2016-08-03 10:00', '2016-09-22 07:00'],
      [2018, '2016-09-23 00:00', '2016-11-03 00:00'],
    ] as const

    it.each(CLEAN)('raise no alarm, no slope and no step, judged every day (%i, %s to %s)', (year, from, to) => {
      for (const everyMs of [FOUR_HOURS, DAY]) {
        for (const channel of ['cl', 'cl2'] as const) {
          const record = sensorRecord(between(rows[year], from, to), channel, everyMs)
          let judged = 0
          for (let nowMs = at(from) + 10 * DAY; nowMs <= at(to); nowMs += DAY) {
            const { drift } = assessRedox(record, AIM, nowMs)
            const told = `${channel} ${new Date(nowMs).toISOString()} ${drift.residualMv?.value}`
            expect(drift.alarm, told).toBe(false)
            expect(drift.shape, told).toBe('none')
            expect(drift.probe.state, told).toBe('well')
            judged++
          }
          expect(judged).toBeGreaterThan(20)
        }
      }
    })

    it('would raise one by a relation of two weeks that is carried on: temperature went from 6.5 to 11 °C meanwhile', () => {
      const clean = rows[2018].filter(isClean)
      const temps = clean.map(({ tempC }) => tempC)
      expect(Math.max(...temps) - Math.min(...temps)).toBeGreaterThan(4)
      const record = sensorRecord(clean, 'cl2', FOUR_HOURS)
      const missed = carriedOn(record.pairs, at('2016-08-17 00:00'), at('2016-10-17 00:00'), at('2016-11-01 00:00'))
      expect(missed).toBeLessThan(-15)
      const { drift } = assessRedox(record, AIM, at('2016-11-01 00:00'))
      expect(Math.abs(drift.residualMv?.value ?? Number.NaN)).toBeLessThan(8)
      expect(drift.alarm).toBe(false)
    })
  })

  it('are told on the page on redox as they come out today', () => {
    const lines = readFileSync(new URL('../../../docs/redox.md', import.meta.url), 'utf8').split('\n')
    const signed = (value: number | undefined) =>
      `${(value ?? Number.NaN) < 0 ? '−' : '+'}${Math.abs(value ?? Number.NaN).toFixed(0)}`
    const models = [1, 4].map((hours) => fitted(2017, 'cl2', hours * HOUR))
    const found = (day: string) =>
      models
        .map(({ steps }) => signed(steps.find(({ atMs }) => new Date(atMs).toISOString().startsWith(day))?.mv.value))
        .join(' | ')
    expect(lines).toContain(`| service, 17 April 2016 | +10 mV | ${found('2016-04-17')} |`)
    expect(lines).toContain(`| service, 24 April | about −20 | ${found('2016-04-24')} |`)
    expect(lines).toContain(`| the eight days off that no label marks, 1 May | about −30 | ${found('2016-05-01')} |`)
    expect(lines).toContain(`| their end, 9 May | back | ${found('2016-05-09')} |`)
    const raw = (year: Year, channel: Channel) => signed(fitted(year, channel, 10 * 60_000).phMv.value)
    expect(lines).toContain(
      `| pH in the very same raw rows, one pair each, by Cl_2 (by Cl) | lowers it | ${raw(2017, 'cl2')} (${raw(2017, 'cl')}) mV for one pH in 2017, ${raw(2018, 'cl2')} (${raw(2018, 'cl')}) in 2018 | |`,
    )
  })

  it('hears an outage of the probe within the third hour', () => {
    const record = sensorRecord(rows[2017], 'cl2', FOUR_HOURS)
    const model = fitRedox(record, at('2016-04-20 03:59'))
    expect(probeCondition(record, model, at('2016-04-20 01:00')).state).toBe('well')
    expect(probeCondition(record, model, at('2016-04-20 03:59')).state).toBe('impossible')
  })
})

function correlation(a: readonly number[], b: readonly number[]): number {
  const mean = (some: readonly number[]) => some.reduce((sum, x) => sum + x, 0) / some.length
  const [ma, mb] = [mean(a), mean(b)]
  const product = mean(a.map((x, i) => (x - ma) * ((b[i] as number) - mb)))
  return product / Math.sqrt(mean(a.map((x) => (x - ma) ** 2)) * mean(b.map((x) => (x - mb) ** 2)))
}

/** What plain regression on the pairs until a time misses later, mV on average: a level that never wanders, nothing believed before. */
function carriedOn(pairs: readonly RedoxPair[], untilMs: number, fromMs: number, toMs: number): number {
  const columns = (some: readonly RedoxPair[]) => [
    Float64Array.from(some, ({ test }) => Math.log10(test.sanitizerMgL ?? Number.NaN) + 1),
    Float64Array.from(some, ({ test }) => (test.ph?.value ?? Number.NaN) - 8.4),
    Float64Array.from(some, ({ test }) => (test.tempC?.value ?? Number.NaN) - 8),
  ]
  const first = pairs.filter(({ atMs }) => atMs < untilMs)
  const n = first.length
  const { beta, last } = fitLevel(
    {
      days: Float64Array.from(first, ({ atMs }) => atMs / DAY),
      value: Float64Array.from(first, ({ orp }) => orp?.value ?? Number.NaN),
      columns: columns(first),
      variance: new Float64Array(n).fill(1),
      jump: new Float64Array(n),
      fading: new Float64Array(n).fill(1),
      blur: new Float64Array(n),
    },
    0,
    { level: 750, levelVariance: 1e9, mean: [0, 0, 0], variance: [1e9, 1e9, 1e9] },
  )
  const dot = (row: readonly number[]) => row.reduce((sum, x, j) => sum + x * (beta[j] as number), 0)
  const level = last.level - dot([...last.columns])
  const later = pairs.filter(({ atMs }) => atMs >= fromMs && atMs < toMs)
  const regressors = columns(later)
  const missed = later.map(
    ({ orp }, i) => (orp?.value ?? Number.NaN) - level - dot(regressors.map((column) => column[i] as number)),
  )
  return missed.reduce((sum, x) => sum + x, 0) / missed.length
}

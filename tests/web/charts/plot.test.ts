import { describe, expect, it } from 'vitest'
import { axisOf, between, dayAxis, inOrder, named, roundStep } from '../../../apps/web/charts/prepare/plot.ts'
import { HOUR, NOW, ZONE } from '../support.ts'

const DAY = 24 * HOUR

describe('an axis', () => {
  it.each([
    [10, 5, 2],
    [10, 6, 2],
    [1, 6, 0.2],
    [0.03, 6, 0.005],
    [700, 6, 200],
    [60, 6, 10],
    [0.24, 6, 0.05],
  ])('of a span of %d in at most %d parts goes by %d', (span, most, step) => {
    expect(roundStep(span, most)).toBeCloseTo(step, 9)
  })

  it('holds all values on round numbers, told alike', () => {
    const axis = axisOf([703, 751], { title: 'mV', leastSpan: 40 })
    expect(axis.domain).toEqual([700, 760])
    expect(axis.ticks.map(({ label }) => label)).toEqual(['700', '710', '720', '730', '740', '750', '760'])
    expect(axisOf([7.38, 7.44], { title: 'pH', leastSpan: 0.4 }).ticks.map(({ label }) => label)).toEqual([
      '7.2',
      '7.3',
      '7.4',
      '7.5',
      '7.6',
      '7.7',
    ])
  })

  it('is never finer than asked, nor below what cannot be less, and stands without a value', () => {
    const [low, high] = axisOf([740], { title: '', leastSpan: 40 }).domain
    expect(high - low).toBeGreaterThanOrEqual(40)
    expect(axisOf([0, 0.1], { title: '', leastSpan: 1, atLeast: 0 }).domain[0]).toBe(0)
    expect(axisOf([], { title: '', leastSpan: 1, atLeast: 0 }).domain).toEqual([0, 1])
    expect(axisOf([0.0213, 0.041], { title: '', leastSpan: 0.001 }).ticks[1]?.label).toMatch(/^0\.0\d+$/)
  })

  it('that is cut names nothing outside', () => {
    const cut = between(axisOf([0.02, 0.11], { title: '', leastSpan: 0.001, atLeast: 0 }), 0.021, 0.1)
    expect(cut.domain).toEqual([0.021, 0.1])
    for (const { at } of cut.ticks) expect(at).toBeGreaterThanOrEqual(0.021)
    expect(cut.ticks.length).toBeGreaterThan(2)
  })
})

describe('an axis of days', () => {
  it('names midnights of the facility’s clock, few of many', () => {
    const axis = dayAxis(NOW - 60 * DAY, NOW, ZONE)
    expect(axis.ticks.length).toBeLessThanOrEqual(6)
    expect(axis.ticks.at(-1)?.label).toBe('Nov 25')
    // midnight in Chicago is 06:00 UTC in winter
    expect(axis.ticks.at(-1)?.at).toBe(Date.parse('2026-11-25T06:00:00Z'))
  })

  it('of nothing is a day long', () => {
    expect(dayAxis(NOW, NOW, ZONE).domain).toEqual([NOW, NOW + DAY])
  })
})

it('rows of several series stand in one order', () => {
  expect(inOrder([{ x: 3 }, { x: 1 }], [{ x: 2, words: 'two' }])).toEqual([{ x: 1 }, { x: 2, words: 'two' }, { x: 3 }])
})

it('marks whose label would lie on another keep their line and lose their label', () => {
  const marks = [
    { at: 10, label: 'a' },
    { at: 52, label: 'b' },
    { at: 95, label: 'c' },
  ]
  expect(named(marks, [0, 100]).map(({ label }) => label)).toEqual(['a', 'b', 'c'])
  const close = [...marks, { at: 92, label: 'd' }, { at: 30, label: 'e' }]
  expect(named(close, [0, 100]).map(({ label }) => label)).toEqual(['', '', '', '', ''])
  expect(named([{ at: 100, label: 'now' }], [0, 100])[0]?.label).toBe('now')
})

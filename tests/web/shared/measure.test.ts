import { describe, expect, it } from 'vitest'
import { placeOf, rangeText, thingText, valueModel } from '../../../apps/web/shared/measure.ts'

describe('a value beside its range', () => {
  it('is converted with its range into the reader’s units', () => {
    expect(valueModel('tempC', 'Water', 40, { min: null, max: 40 }, 'us')).toMatchObject({
      value: '104',
      unit: '°F',
      range: 'at most 104',
      place: 'in',
    })
    expect(valueModel('tempC', 'Water', 40, { min: null, max: 40 }, 'metric')).toMatchObject({
      value: '40.0',
      unit: '°C',
    })
  })

  it('shows the digit that puts it outside, so that it does not read like its limit', () => {
    expect(valueModel('ph', 'pH', 7.84, { min: 7, max: 7.8 }, 'us')).toMatchObject({ value: '7.84', place: 'over' })
    expect(valueModel('freeChlorineMgL', 'Cl', 0.96, { min: 1, max: 10 }, 'us')).toMatchObject({
      value: '0.96',
      place: 'under',
    })
    expect(valueModel('ph', 'pH', 7.8, { min: 7, max: 7.8 }, 'us')).toMatchObject({ value: '7.8', place: 'in' })
  })

  it.each([
    [{ min: 1, max: 10 }, '1.0–10'],
    [{ min: 3, max: null }, 'at least 3.0'],
    [{ min: null, max: 0.4 }, 'at most 0.4'],
    [{ min: null, max: null }, ''],
  ])('writes the range %j as “%s”', (range, text) => expect(rangeText('freeChlorineMgL', range, 'us')).toBe(text))

  it('shows a value that passed its limit apart from it, also after conversion', () => {
    expect(valueModel('tempC', 'Water', 40.1, { min: null, max: 40 }, 'us')).toMatchObject({
      value: '104.2',
      range: 'at most 104',
      place: 'over',
    })
    expect(valueModel('totalAlkalinityMgL', 'Alkalinity', 59.6, { min: 60, max: 180 }, 'us')).toMatchObject({
      value: '59.6',
      range: '60–180',
      place: 'under',
    })
  })

  it.each([
    [{ min: 7.25, max: null }, 'ph', 'at least 7.25'],
    [{ min: null, max: 39.7222222222 }, 'tempC', 'at most 103.5'],
    [{ min: 650, max: 900 }, 'orpMv', '650–900'],
    [{ min: null, max: 45 }, 'cyanuricAcidToChlorineRatio', 'at most 45:1'],
  ])('does not round a limit to another one: %j of %s is %s', (range, thing, text) =>
    expect(rangeText(thing, range, 'us')).toBe(text),
  )

  it('writes a value as sentences do, and as finely as it was measured', () => {
    expect(thingText('freeChlorineMgL', 12, 'us')).toBe('12 ppm')
    expect(thingText('freeChlorineMgL', 12.4, 'us')).toBe('12.4 ppm')
    expect(thingText('saturationIndex', 0.3, 'us')).toBe('+0.30')
    expect(thingText('cyanuricAcidMgL', 0, 'metric')).toBe('0 mg/L')
    expect(thingText('tdsMgL', 1250, 'metric')).toBe('1,250 mg/L')
    expect(thingText('flowLMin', 378.5411784, 'us')).toBe('100 gpm')
  })

  it('writes a range that begins under zero with words, not with a dash', () => {
    expect(rangeText('saturationIndex', { min: -0.3, max: 0.5 }, 'us')).toBe('−0.30 to +0.50')
  })

  it('says ppm to US readers and mg/L to others', () => {
    expect(thingText('freeChlorineMgL', 1.5, 'us')).toBe('1.5 ppm')
    expect(thingText('freeChlorineMgL', 1.5, 'metric')).toBe('1.5 mg/L')
  })

  it('is not called inside a range that there is not', () => expect(placeOf(7, { min: null, max: null })).toBe('open'))
})

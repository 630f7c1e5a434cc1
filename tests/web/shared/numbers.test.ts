import { describe, expect, it } from 'vitest'
import { bytes, plainNumber, typedNumber } from '../../../apps/web/shared/numbers.ts'

describe('a number that a person typed', () => {
  it.each([
    ['7.4', 7.4],
    [' 7,4 ', 7.4],
    ['.5', 0.5],
    ['1,200', 1200],
    ['1,200.5', 1200.5],
    ['−0.3', -0.3],
    ['12 500', 12500],
  ])('“%s” is %d', (text, value) => expect(typedNumber(text)).toEqual({ state: 'number', value }))

  it('is empty when nothing was typed, which is not zero', () => expect(typedNumber('  ')).toEqual({ state: 'empty' }))

  it.each(['7.4.1', 'about 7', '7,4,1', '--', '1e3', '7.4 ppm'])('“%s” is said to be wrong, not guessed', (text) => {
    expect(typedNumber(text).state).toBe('wrong')
  })
})

describe('a number that is shown', () => {
  it.each([
    [1234567.891, 1, '1,234,567.9'],
    [7, 1, '7'],
    [-0.04, 1, '0'],
    [-0.3, 1, '−0.3'],
    [0.125, 3, '0.125'],
  ])('%d with %i digits is %s', (value, digits, text) => expect(plainNumber(value, digits)).toBe(text))

  it('keeps its zeros when asked', () => expect(plainNumber(7, 1, { keepZeros: true })).toBe('7.0'))
  it('says the size of a file', () =>
    expect([bytes(512), bytes(11_411), bytes(104_857_600)]).toEqual(['512 bytes', '11.4 kB', '104.9 MB']))
})

import {
  celsiusToFahrenheit,
  cubicMetresPerHourToLitresPerMinute,
  cubicMetresToLitres,
  fahrenheitToCelsius,
  feetToMetres,
  fluidOuncesToLitres,
  formatQuantity,
  gallonsPerMinuteToLitresPerMinute,
  gallonsToLitres,
  gramsToOunces,
  gramsToPounds,
  litresPerMinuteToCubicMetresPerHour,
  litresPerMinuteToGallonsPerMinute,
  litresPerSecondToLitresPerMinute,
  litresToCubicMetres,
  litresToFluidOunces,
  litresToGallons,
  metresToFeet,
  ouncesToGrams,
  poundsToGrams,
  type Quantified,
  renderPhrase,
  squareFeetToSquareMetres,
  squareMetresToSquareFeet,
  UNITS,
} from '@sightglass/chemistry'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'

const PAIRS = [
  [celsiusToFahrenheit, fahrenheitToCelsius],
  [gallonsToLitres, litresToGallons],
  [fluidOuncesToLitres, litresToFluidOunces],
  [cubicMetresToLitres, litresToCubicMetres],
  [gallonsPerMinuteToLitresPerMinute, litresPerMinuteToGallonsPerMinute],
  [cubicMetresPerHourToLitresPerMinute, litresPerMinuteToCubicMetresPerHour],
  [poundsToGrams, gramsToPounds],
  [ouncesToGrams, gramsToOunces],
  [squareFeetToSquareMetres, squareMetresToSquareFeet],
  [feetToMetres, metresToFeet],
] as const

describe('conversions', () => {
  it.each(PAIRS.map(([there, back]) => [there.name, back.name, there, back] as const))(
    '%s and %s undo each other',
    (_there, _back, there, back) => {
      fc.assert(
        fc.property(fc.double({ min: -1e6, max: 1e6, noNaN: true }), (value) => {
          expect(back(there(value))).toBeCloseTo(value, 6)
        }),
      )
    },
  )

  it.each([
    [celsiusToFahrenheit, 40, 104],
    [fahrenheitToCelsius, 32, 0],
    [gallonsToLitres, 1, 3.785411784],
    [gallonsPerMinuteToLitresPerMinute, 100, 378.5411784],
    [cubicMetresPerHourToLitresPerMinute, 6, 100],
    [litresPerSecondToLitresPerMinute, 2, 120],
    [fluidOuncesToLitres, 128, 3.785411784],
    [poundsToGrams, 1, 453.59237],
    [ouncesToGrams, 16, 453.59237],
    [feetToMetres, 10, 3.048],
    [squareFeetToSquareMetres, 1, 0.09290304],
  ] as const)('%o of %s is %s, by definition', (convert, value, expected) => {
    expect(convert(value)).toBeCloseTo(expected, 9)
  })
})

describe('a quantity as text', () => {
  it.each([
    [{ value: 1.5, unit: 'mg/L' }, '1.5 ppm', '1.5 mg/L'],
    [{ value: 250, unit: 'mg/L' }, '250 ppm', '250 mg/L'],
    [{ value: 0.0123, unit: 'mg/L' }, '0.01 ppm', '0.01 mg/L'],
    [{ value: 0.0012, unit: 'mg/L' }, '0.001 ppm', '0.001 mg/L'],
    [{ value: 0, unit: 'mg/L' }, '0.0 ppm', '0.0 mg/L'],
    [{ value: 7, unit: 'pH' }, '7.0', '7.0'],
    [{ value: 40, unit: '°C' }, '104 °F', '40.0 °C'],
    [{ value: -2, unit: '°C' }, '28 °F', '−2.0 °C'],
    [{ value: 378.5411784, unit: 'L' }, '100 gal', '379 L'],
    [{ value: 378.5411784, unit: 'L/min' }, '100 gpm', '379 L/min'],
    [{ value: 1, unit: 'd' }, '1 day', '1 day'],
    [{ value: 2.5, unit: 'd' }, '2.5 days', '2.5 days'],
    [{ value: 36, unit: 'h' }, '36 h', '36 h'],
    [{ value: 45.5, unit: 'ratio' }, '45.5:1', '45.5:1'],
    [{ value: 45, unit: 'ratio' }, '45:1', '45:1'],
    [{ value: 0.5, unit: 'SI' }, '+0.50', '+0.50'],
    [{ value: -0.5, unit: 'SI' }, '−0.50', '−0.50'],
    [{ value: -0.001, unit: 'SI' }, '0.00', '0.00'],
    [{ value: 40, unit: '%' }, '40 %', '40 %'],
    [{ value: 720.4, unit: 'mV' }, '720 mV', '720 mV'],
  ] as const)('%j', (quantity, us, metric) => {
    expect(formatQuantity(quantity, 'us')).toBe(us)
    expect(formatQuantity(quantity, 'metric')).toBe(metric)
  })

  it('is never empty, in any unit and size', () => {
    fc.assert(
      fc.property(fc.constantFrom(...UNITS), fc.double({ min: -1e5, max: 1e5, noNaN: true }), (unit, value) => {
        for (const system of ['us', 'metric'] as const) {
          expect(formatQuantity({ value, unit }, system)).toMatch(/^[+−]?\d/)
        }
      }),
    )
  })
})

describe('a phrase', () => {
  const q = (value: number, unit: Quantified['unit']): Quantified => ({ value, unit })
  it('is filled in the reader’s units', () => {
    const phrase = { text: '{1} after {0}, again {0}.', quantities: [q(27, '°C'), q(3.785411784, 'L')] }
    expect(renderPhrase(phrase, 'us')).toBe('1 gal after 81 °F, again 81 °F.')
    expect(renderPhrase(phrase, 'metric')).toBe('3.8 L after 27.0 °C, again 27.0 °C.')
  })

  it('never lets a value read like the limit that it passed', () => {
    expect(renderPhrase({ text: '{0} < {1}', quantities: [q(6.999, 'pH'), q(7, 'pH')] }, 'us')).toBe('6.999 < 7.000')
    expect(renderPhrase({ text: '{0} = {1}', quantities: [q(7, 'pH'), q(7, 'pH')] }, 'us')).toBe('7.0 = 7.0')
    expect(renderPhrase({ text: '{0} > {1}', quantities: [q(40.1, '°C'), q(40, '°C')] }, 'us')).toBe(
      '104.2 °F > 104.0 °F',
    )
  })

  it('leaves a placeholder that has no quantity as it stands', () => {
    expect(renderPhrase({ text: '{0} {1}', quantities: [q(1, 'count')] }, 'us')).toBe('1 {1}')
  })
})

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
  plainNumber,
  poundsToGrams,
  type Quantified,
  renderPhrase,
  squareFeetToSquareMetres,
  squareMetresToSquareFeet,
  UNIT_LABELS,
  UNIT_SYSTEMS,
  UNITS,
  type Unit,
  type UnitSystem,
  unitOf,
  unitsOf,
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
          expect(Math.abs(back(there(value)) - value)).toBeLessThanOrEqual(1e-12 * Math.max(100, Math.abs(value)))
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
    [{ value: 0.1, unit: 'mg/L' }, '0.1 ppm', '0.1 mg/L'],
    [{ value: 0.0999, unit: 'mg/L' }, '0.1 ppm', '0.1 mg/L'],
    [{ value: 0.0374, unit: 'mg/L' }, '0.037 ppm', '0.037 mg/L'],
    [{ value: 0.01, unit: 'mg/L' }, '0.010 ppm', '0.010 mg/L'],
    [{ value: 0.00123, unit: 'mg/L' }, '0.0012 ppm', '0.0012 mg/L'],
    [{ value: 0.00005, unit: 'mg/L' }, '0.0001 ppm', '0.0001 mg/L'],
    [{ value: 0.00004, unit: 'mg/L' }, '0.0 ppm', '0.0 mg/L'],
    [{ value: 9.96, unit: 'mg/L' }, '10 ppm', '10 mg/L'],
    [{ value: 3200, unit: 'mg/L' }, '3,200 ppm', '3,200 mg/L'],
    [{ value: 0, unit: 'mg/L' }, '0.0 ppm', '0.0 mg/L'],
    [{ value: 7, unit: 'pH' }, '7.0', '7.0'],
    [{ value: 40, unit: '°C' }, '104 °F', '40.0 °C'],
    [{ value: -2, unit: '°C' }, '28 °F', '−2.0 °C'],
    [{ value: 378.5411784, unit: 'L' }, '100 gal', '379 L'],
    [{ value: 0, unit: 'L' }, '0 gal', '0 L'],
    [{ value: 0.1, unit: 'L' }, '3.4 fl oz', '100 mL'],
    [{ value: 0.9975, unit: 'L' }, '34 fl oz', '998 mL'],
    [{ value: 0.9996, unit: 'L' }, '34 fl oz', '1 L'],
    [{ value: 1, unit: 'L' }, '34 fl oz', '1 L'],
    [{ value: 1.253, unit: 'L' }, '42 fl oz', '1.25 L'],
    [{ value: 3.7, unit: 'L' }, '125 fl oz', '3.7 L'],
    [{ value: 3.78, unit: 'L' }, '1 gal', '3.8 L'],
    [{ value: 4.5, unit: 'L' }, '1.19 gal', '4.5 L'],
    [{ value: 200_000, unit: 'L' }, '52,834 gal', '200,000 L'],
    [{ value: 0, unit: 'g' }, '0 lb', '0 kg'],
    [{ value: 5, unit: 'g' }, '0.176 oz', '5 g'],
    [{ value: 340, unit: 'g' }, '12 oz', '340 g'],
    [{ value: 453.59237, unit: 'g' }, '1 lb', '454 g'],
    [{ value: 453, unit: 'g' }, '1 lb', '453 g'],
    [{ value: 1500, unit: 'g' }, '3.3 lb', '1.5 kg'],
    [{ value: 11_340, unit: 'g' }, '25 lb', '11.3 kg'],
    [{ value: -340, unit: 'g' }, '−12 oz', '−340 g'],
    [{ value: 4, unit: 'L/h' }, '1.06 gal/h', '4 L/h'],
    [{ value: 250, unit: 'm²' }, '2,691 sq ft', '250 m²'],
    [{ value: 378.5411784, unit: 'L/min' }, '100 gpm', '379 L/min'],
    [{ value: 1, unit: 'd' }, '1 day', '1 day'],
    [{ value: 2.5, unit: 'd' }, '2.5 days', '2.5 days'],
    [{ value: 36, unit: 'h' }, '36 h', '36 h'],
    [{ value: 45.5, unit: 'ratio' }, '45.5:1', '45.5:1'],
    [{ value: 45, unit: 'ratio' }, '45:1', '45:1'],
    [{ value: 9.94, unit: 'h' }, '9.9 h', '9.9 h'],
    [{ value: 9.96, unit: 'h' }, '10 h', '10 h'],
    [{ value: 10.4, unit: 'h' }, '10 h', '10 h'],
    [{ value: 0.04, unit: 'd' }, '0 days', '0 days'],
    [{ value: 99.44, unit: 'ratio' }, '99.4:1', '99.4:1'],
    [{ value: 99.96, unit: 'ratio' }, '100:1', '100:1'],
    [{ value: 100.4, unit: 'ratio' }, '100:1', '100:1'],
    [{ value: 90.4, unit: 'min' }, '90 min', '90 min'],
    [{ value: 12.4, unit: '%' }, '12 %', '12 %'],
    [{ value: 3.4, unit: 'count' }, '3', '3'],
    [{ value: 15_300.4, unit: 'mg·min/L' }, '15,300 mg·min/L', '15,300 mg·min/L'],
    [{ value: 20, unit: 'L/min' }, '5.3 gpm', '20 L/min'],
    [{ value: 19.96, unit: 'L/min' }, '5.3 gpm', '20 L/min'],
    [{ value: 0.00004, unit: 'L/h' }, '0 gal/h', '0 L/h'],
    [{ value: 0.00123, unit: 'L/h' }, '0.0003 gal/h', '0.0012 L/h'],
    [{ value: 0.5, unit: 'SI' }, '+0.50', '+0.50'],
    [{ value: -0.5, unit: 'SI' }, '−0.50', '−0.50'],
    [{ value: -0.001, unit: 'SI' }, '0.00', '0.00'],
    [{ value: 40, unit: '%' }, '40 %', '40 %'],
    [{ value: 720.4, unit: 'mV' }, '720 mV', '720 mV'],
  ] as const)('%j', (quantity, us, metric) => {
    expect(formatQuantity(quantity, 'us')).toBe(us)
    expect(formatQuantity(quantity, 'metric')).toBe(metric)
  })

  it('has the decimals asked for, in the unit that then fits', () => {
    expect(formatQuantity({ value: 7.8, unit: 'pH' }, 'us', { extra: 1 })).toBe('7.80')
    expect(formatQuantity({ value: 7.84, unit: 'pH' }, 'us', { least: 2 })).toBe('7.84')
    expect(formatQuantity({ value: 7.84, unit: 'pH' }, 'us', { least: 0 })).toBe('7.8')
    expect(formatQuantity({ value: 999.6, unit: 'g' }, 'metric')).toBe('1 kg')
    expect(formatQuantity({ value: 999.6, unit: 'g' }, 'metric', { extra: 1 })).toBe('999.6 g')
  })

  it('that is no number is said to be unknown', () => {
    for (const value of [Number.NaN, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY])
      expect(formatQuantity({ value, unit: 'g' }, 'us')).toBe('unknown')
  })
})

const anyUnit = fc.constantFrom(...UNITS)
const anySystem = fc.constantFrom(...UNIT_SYSTEMS)
const anyValue = fc.oneof(
  fc.double({ min: -1e6, max: 1e6, noNaN: true }),
  fc.double({ min: -100, max: 100, noNaN: true }),
  fc.double({ min: -0.1, max: 0.1, noNaN: true }),
)

/** A text read back into the stored unit. */
function readBack(text: string, unit: Unit, system: UnitSystem): number {
  const [, number = '', label = ''] = /^([+−]?[\d,.]+)(?::1)? ?(.*)$/.exec(text) ?? []
  const scale = unitsOf(unit, system).find((one) => one.label === (label === 'day' ? 'days' : label))
  if (!scale) throw new Error(`${text} is in no unit of ${unit}`)
  return scale.toStored(Number(number.replaceAll(',', '').replace('−', '-')))
}

describe('any quantity as text', () => {
  it('is a number and its label, never NaN and never a zero with a sign', () => {
    fc.assert(
      fc.property(anyUnit, anySystem, anyValue, (unit, system, value) => {
        const text = formatQuantity({ value, unit }, system)
        expect(text).toMatch(/^[+−]?\d{1,3}(,\d{3})*(\.\d+)?(:1)?( \D.*)?$/)
        expect(text).not.toMatch(/^[+−]0(\.0+)?(?!\.?\d)/)
      }),
    )
  })

  it('of a larger value never reads less', () => {
    fc.assert(
      fc.property(
        anyUnit,
        anySystem,
        anyValue,
        fc.double({ min: 0, max: 1, noNaN: true }),
        (unit, system, low, share) => {
          const high = low + share * Math.max(1e-3, Math.abs(low))
          const [less, more] = [low, high].map((value) =>
            readBack(formatQuantity({ value, unit }, system), unit, system),
          )
          expect(less).toBeLessThanOrEqual((more ?? Number.NaN) + 1e-9 * Math.abs(more ?? 0))
        },
      ),
      { numRuns: 2000 },
    )
  })

  it.each(['L', 'L/min', 'L/h', 'g', 'm²'] as const)('of %s is off by a fortieth at most', (unit) => {
    fc.assert(
      fc.property(anySystem, fc.double({ min: 0.1, max: 1e6, noNaN: true }), (system, value) => {
        const read = readBack(formatQuantity({ value, unit }, system), unit, system)
        expect(Math.abs(read - value)).toBeLessThanOrEqual(value * 0.025001)
      }),
      { numRuns: 1000 },
    )
  })

  it('of an amount never reads 1,000 where 1 of the next unit would do', () => {
    fc.assert(
      fc.property(
        fc.constantFrom('g', 'L'),
        anySystem,
        fc.double({ min: 1e-3, max: 1e4, noNaN: true }),
        (unit, system, value) => {
          const most = { us: { g: 16, L: 128 }, metric: { g: 1000, L: 1000 } }[system][unit]
          const [number = '', ...label] = formatQuantity({ value, unit }, system).split(' ')
          if (label.join(' ') === unitsOf(unit, system)[0]?.label) expect(Number(number)).toBeLessThan(most)
          else expect(Number(number.replaceAll(',', ''))).toBeGreaterThanOrEqual(1)
        },
      ),
      { numRuns: 1000 },
    )
  })
})

describe('the table of units', () => {
  it('leads back to what was stored, in every unit of both systems', () => {
    for (const system of UNIT_SYSTEMS) {
      for (const unit of UNITS) {
        for (const { toReader, toStored } of unitsOf(unit, system)) {
          fc.assert(
            fc.property(anyValue, (value) => {
              const slack = 1e-12 * Math.max(100, Math.abs(value))
              expect(Math.abs(toStored(toReader(value)) - value)).toBeLessThanOrEqual(slack)
              expect(Math.abs(toReader(toStored(value)) - value)).toBeLessThanOrEqual(slack)
            }),
          )
        }
      }
    }
  })

  it.each([
    ['g', 'us', 'oz, lb'],
    ['g', 'metric', 'g, kg'],
    ['L', 'us', 'fl oz, gal'],
    ['L', 'metric', 'mL, L'],
    ['°C', 'us', '°F'],
    ['L/min', 'us', 'gpm'],
    ['m²', 'us', 'sq ft'],
    ['mg/L', 'us', 'ppm'],
    ['mg/L', 'metric', 'mg/L'],
    ['pH', 'us', ''],
  ] as const)('has for %s in %s: %s; the last is the usual one', (unit, system, labels) => {
    const units = unitsOf(unit, system)
    expect(units.map(({ label }) => label).join(', ')).toBe(labels)
    expect(unitOf(unit, system)).toBe(units.at(-1))
    for (const { label } of units) if (label) expect(UNIT_LABELS).toContain(label)
  })

  it('knows no cups and no scoops', () => {
    expect(UNIT_LABELS.filter((label) => /cup|scoop|spoon|quart|pint/i.test(label))).toEqual([])
    expect(UNIT_LABELS).toContain('day')
    expect(UNIT_LABELS).not.toContain('')
  })
})

describe('a plain number', () => {
  it.each([
    [1234567.891, 1, false, '1,234,567.9'],
    [7, 1, true, '7.0'],
    [7, 1, false, '7'],
    [100, 0, false, '100'],
    [-0.04, 1, true, '0.0'],
    [-0, 0, false, '0'],
    [-0.3, 1, false, '−0.3'],
  ] as const)('%d with %d decimals, zeros kept: %s, is %s', (value, decimals, keepZeros, text) => {
    expect(plainNumber(value, decimals, { keepZeros })).toBe(text)
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

  it('tells amounts apart in the units of the reader', () => {
    const phrase = { text: '{0} of {1}', quantities: [q(1000, 'g'), q(1004, 'g')] }
    expect(renderPhrase(phrase, 'metric')).toBe('1 kg of 1.004 kg')
    expect(renderPhrase({ text: '{0}, {1}', quantities: [q(0.25, 'L'), q(20, 'L')] }, 'us')).toBe('8.5 fl oz, 5.3 gal')
  })

  it('gives decimals only to those that read alike, three more at most', () => {
    expect(renderPhrase({ text: '{0} {1} {2}', quantities: [q(7, 'pH'), q(7.04, 'pH'), q(8.2, 'pH')] }, 'us')).toBe(
      '7.00 7.04 8.2',
    )
    const close = (one: number, other: number) =>
      renderPhrase({ text: '{0} {1}', quantities: [q(one, 'pH'), q(other, 'pH')] }, 'us')
    expect(close(7.0001, 7.0002)).toBe('7.0001 7.0002')
    expect(close(7.00001, 7.00002)).toBe('7.0000 7.0000')
  })

  it('holds more than ten quantities', () => {
    const quantities = Array.from({ length: 12 }, (_, index) => q(index, 'count'))
    expect(renderPhrase({ text: '{1} {11} {10}', quantities }, 'us')).toBe('1 11 10')
  })

  it('leaves a placeholder that has no quantity as it stands', () => {
    expect(renderPhrase({ text: '{0} {1}', quantities: [q(1, 'count')] }, 'us')).toBe('1 {1}')
  })
})

import {
  celsiusToFahrenheit,
  fahrenheitToCelsius,
  gallonsPerMinuteToLitresPerMinute,
  gallonsToLitres,
  litresPerMinuteToGallonsPerMinute,
  litresToGallons,
  squareFeetToSquareMetres,
  squareMetresToSquareFeet,
  type Unit,
  type UnitSystem,
} from '@sightglass/chemistry'
import { plainNumber } from './numbers.ts'

/** The reader's units: US customary by default. What is stored never changes with it. */
export type System = UnitSystem

interface Shown {
  label: string
  digits: number
  toReader: (stored: number) => number
  toStored: (reader: number) => number
}

const same = (value: number) => value
const plain = (label: string, digits: number): Shown => ({ label, digits, toReader: same, toStored: same })

/** The stored units, and two of the plant that no judgement uses. */
export type AnyUnit = Unit | 'm²' | 'L/h'

const US: Partial<Record<AnyUnit, Shown>> = {
  '°C': { label: '°F', digits: 0, toReader: celsiusToFahrenheit, toStored: fahrenheitToCelsius },
  L: { label: 'gal', digits: 0, toReader: litresToGallons, toStored: gallonsToLitres },
  'L/min': {
    label: 'gpm',
    digits: 0,
    toReader: litresPerMinuteToGallonsPerMinute,
    toStored: gallonsPerMinuteToLitresPerMinute,
  },
  'mg/L': plain('ppm', 1),
  'L/h': { label: 'gal/h', digits: 2, toReader: litresToGallons, toStored: gallonsToLitres },
  'm²': { label: 'sq ft', digits: 0, toReader: squareMetresToSquareFeet, toStored: squareFeetToSquareMetres },
}

const METRIC: Record<AnyUnit, Shown> = {
  'mg/L': plain('mg/L', 1),
  pH: plain('', 1),
  mV: plain('mV', 0),
  '°C': plain('°C', 1),
  L: plain('L', 0),
  'L/min': plain('L/min', 0),
  min: plain('min', 0),
  h: plain('h', 1),
  d: plain('days', 1),
  '%': plain('%', 0),
  SI: plain('', 2),
  ratio: plain('', 0),
  count: plain('', 0),
  'm²': plain('m²', 0),
  'L/h': plain('L/h', 1),
}

export const unitOf = (unit: AnyUnit, system: System): Shown => (system === 'us' ? US[unit] : undefined) ?? METRIC[unit]

const THING_UNITS: Record<string, Unit> = {
  ph: 'pH',
  phSetPoint: 'pH',
  orpMv: 'mV',
  orpSetPointMv: 'mV',
  tempC: '°C',
  flowLMin: 'L/min',
  saturationIndex: 'SI',
  cyanuricAcidToChlorineRatio: 'ratio',
  sanitizerFeedPct: '%',
  backupFeedPct: '%',
  phFeedPct: '%',
  flowOn: 'count',
}

export const thingUnit = (thing: string): Unit => THING_UNITS[thing] ?? 'mg/L'

// Test kits read pH and chlorine in tenths; the rest in whole units.
const WHOLE = ['totalAlkalinityMgL', 'calciumHardnessMgL', 'cyanuricAcidMgL', 'tdsMgL', 'saltMgL']

const digitsOf = (thing: string, system: System) =>
  WHOLE.includes(thing) ? 0 : unitOf(thingUnit(thing), system).digits

/** A second digit where a kit or probe gives one, so that 7.84 beside “at most 7.8” does not read 7.8. */
const digitsFor = (thing: string, value: number, system: System) => {
  const digits = digitsOf(thing, system)
  const fine = ['pH', 'mg/L'].includes(thingUnit(thing)) && Number(value.toFixed(2)) !== Number(value.toFixed(1))
  return digits === 1 && fine ? 2 : digits
}

export function thingNumber(thing: string, stored: number, system: System) {
  const value = unitOf(thingUnit(thing), system).toReader(stored)
  const digits = digitsFor(thing, value, system)
  return plainNumber(value, digits, { keepZeros: digits > 0 })
}

export const thingUnitLabel = (thing: string, system: System) => unitOf(thingUnit(thing), system).label

/** Number and unit: `7.4`, `1.2 ppm`, `82 °F`. */
export function thingText(thing: string, stored: number, system: System) {
  const label = thingUnitLabel(thing, system)
  return `${thingNumber(thing, stored, system)}${label && ` ${label}`}`
}

export interface Range {
  min: number | null
  max: number | null
}

/** A range in the reader's units: `7.2–7.8`, `at least 1`, `at most 0.4`; '' when there is none. */
export function rangeText(thing: string, { min, max }: Range, system: System) {
  const number = (stored: number) => {
    const value = unitOf(thingUnit(thing), system).toReader(stored)
    const digits = Math.max(1, digitsOf(thing, system))
    // as sentences write limits: 3.0 and 10
    return plainNumber(value, digits, { keepZeros: Math.abs(value) < 10 && digitsOf(thing, system) > 0 })
  }
  if (min !== null && max !== null)
    return min < 0 ? `${number(min)} to ${number(max)}` : `${number(min)}–${number(max)}`
  if (min !== null) return `at least ${number(min)}`
  return max === null ? '' : `at most ${number(max)}`
}

export type Place = 'in' | 'under' | 'over' | 'open'

/** Where a value lies by its range; `open` when there is no range to lie in. */
export function placeOf(value: number, { min, max }: Range): Place {
  if (min === null && max === null) return 'open'
  if (min !== null && value < min) return 'under'
  return max !== null && value > max ? 'over' : 'in'
}

/** A value beside its range, ready to be drawn. */
export interface ValueModel {
  label: string
  value: string
  unit: string
  range: string
  place: Place
}

export const valueModel = (thing: string, label: string, value: number, range: Range, system: System): ValueModel => ({
  label,
  value: thingNumber(thing, value, system),
  unit: thingUnitLabel(thing, system),
  range: rangeText(thing, range, system),
  place: placeOf(value, range),
})

import { plainNumber, quantityParts, type Unit, type UnitSystem, unitOf } from '@sightglass/chemistry'

// the one table of units is chemistry's; screens take it from here with what belongs to it
export { unitOf } from '@sightglass/chemistry'

/** The reader's units: US customary by default. What is stored never changes with it. */
export type System = UnitSystem

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

/** In what a thing is stored. */
export const thingUnit = (thing: string): Unit => THING_UNITS[thing] ?? 'mg/L'

// Test kits read pH and chlorine in tenths; the rest in whole units.
const WHOLE = ['totalAlkalinityMgL', 'calciumHardnessMgL', 'cyanuricAcidMgL', 'tdsMgL', 'saltMgL']

// A kit or probe may give a second decimal; what was measured so finely is shown so.
const FINE: Partial<Record<Unit, number>> = { pH: 2, 'mg/L': 2 }
// 103.5 °F as a limit is no 104 °F
const FINE_LIMIT = { ...FINE, '°C': 1 }

const decimalsGiven = (value: number, most: number) => String(Number(value.toFixed(most))).split('.')[1]?.length ?? 0

function numberText(thing: string, stored: number, system: System, fine = FINE, extra = 0) {
  const unit = thingUnit(thing)
  const value = unitOf(unit, system).toReader(stored)
  if (WHOLE.includes(thing)) return plainNumber(value, extra)
  return quantityParts({ value: stored, unit }, system, { extra, least: decimalsGiven(value, fine[unit] ?? 0) }).number
}

/** The number alone, as sentences write it, and as finely as it was measured: `7.4`, `7.84`, `82`. */
export const thingNumber = (thing: string, stored: number, system: System) => numberText(thing, stored, system)

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

/** A range in the reader's units: `7.2–7.8`, `at least 1.0`, `at most 0.4`; '' when there is none. */
export function rangeText(thing: string, { min, max }: Range, system: System) {
  const number = (stored: number) => limitNumber(thing, stored, system)
  if (min !== null && max !== null)
    return min < 0 ? `${number(min)} to ${number(max)}` : `${number(min)}–${number(max)}`
  if (min !== null) return `at least ${number(min)}`
  return max === null ? '' : `at most ${number(max)}`
}

const limitNumber = (thing: string, stored: number, system: System) => numberText(thing, stored, system, FINE_LIMIT)

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

export function valueModel(thing: string, label: string, value: number, range: Range, system: System): ValueModel {
  const place = placeOf(value, range)
  const passed = place === 'under' ? range.min : place === 'over' ? range.max : null
  return {
    label,
    value: passed === null ? thingNumber(thing, value, system) : apart(thing, value, passed, system),
    unit: thingUnitLabel(thing, system),
    range: rangeText(thing, range, system),
    place,
  }
}

/** With decimals until it no longer reads like the limit that it passed. */
function apart(thing: string, value: number, passed: number, system: System) {
  const text = (stored: number, extra: number) => numberText(thing, stored, system, FINE, extra)
  const extra = [0, 1, 2, 3].find((decimals) => text(value, decimals) !== text(passed, decimals))
  return text(value, extra ?? 0)
}

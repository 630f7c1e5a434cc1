import type { Quantified, Unit } from './finding.ts'
import {
  celsiusToFahrenheit,
  fahrenheitToCelsius,
  GRAMS_PER_OUNCE,
  GRAMS_PER_POUND,
  LITRES_PER_FLUID_OUNCE,
  LITRES_PER_GALLON,
  SQUARE_METRES_PER_SQUARE_FOOT,
} from './quantities.ts'

/** The one table of how stored quantities are written and read back, and where rounding is decided: docs/units.md. */

export const UNIT_SYSTEMS = ['us', 'metric'] as const
/** What a reader wants to see: US customary (°F, gallons) or metric. Stored units are metric. */
export type UnitSystem = (typeof UNIT_SYSTEMS)[number]

/** One way to write a stored unit. */
export interface ReaderUnit {
  /** 'ppm', '°F', 'fl oz'; '' where a number stands alone. */
  label: string
  toReader: (stored: number) => number
  toStored: (reader: number) => number
  /** Decimals of a number of this size (in the reader's unit, not negative). */
  decimals: (size: number) => number
}

interface Writing {
  /** Smallest first; the last one is the usual one, of which fields and charts speak. */
  scales: readonly [ReaderUnit, ...ReaderUnit[]]
  /** 2.0 rather than 2: read off an instrument in tenths. */
  keepZeros?: boolean
  /** + before what is above zero. */
  signed?: boolean
  /** In place of the label after '1'. */
  one?: string
  /** Right behind the number, in place of a label. */
  tail?: string
}

const fixed = (decimals: number) => () => decimals
const tenthsUnderTen = (size: number) => (size < 10 ? 1 : 0)

/** The fewest decimals that keep a number to this share of itself; at most four, and none for nothing. */
const decimalsKeeping = (share: number) => (size: number) =>
  size === 0 ? 0 : Math.min(4, Math.max(0, Math.ceil(-Math.log10(2 * share * size) - 1e-9)))

/** Doses, levels, flows, volumes: never off by more than a fortieth, which no measuring cup and no scale for sacks betters. */
const amount = decimalsKeeping(1 / 40)

/** Test kits read in tenths; under a tenth two figures, so that 0.0037 of active chlorine reads neither 0 nor 0.004. */
const dissolved = (size: number) => {
  if (size >= 10) return 0
  return size >= 0.1 || size < 5e-5 ? 1 : Math.min(4, 1 - Math.floor(Math.log10(size)))
}

/** @param per how much of the stored unit one of it is */
const unit = (label: string, decimals: ReaderUnit['decimals'], per = 1): ReaderUnit => ({
  label,
  toReader: (stored) => stored / per,
  toStored: (reader) => reader * per,
  decimals,
})

const METRIC: Record<Unit, Writing> = {
  'mg/L': { scales: [unit('mg/L', dissolved)], keepZeros: true },
  pH: { scales: [unit('', fixed(1))], keepZeros: true },
  mV: { scales: [unit('mV', fixed(0))] },
  '°C': { scales: [unit('°C', fixed(1))], keepZeros: true },
  L: { scales: [unit('mL', amount, 1 / 1000), unit('L', amount)] },
  'L/min': { scales: [unit('L/min', amount)] },
  'L/h': { scales: [unit('L/h', amount)] },
  g: { scales: [unit('g', amount), unit('kg', amount, 1000)] },
  'm²': { scales: [unit('m²', amount)] },
  min: { scales: [unit('min', fixed(0))] },
  h: { scales: [unit('h', tenthsUnderTen)] },
  d: { scales: [unit('days', tenthsUnderTen)], one: 'day' },
  '%': { scales: [unit('%', fixed(0))] },
  SI: { scales: [unit('', fixed(2))], keepZeros: true, signed: true },
  ratio: { scales: [unit('', (size) => (size < 100 ? 1 : 0))], tail: ':1' },
  count: { scales: [unit('', fixed(0))] },
  'mg·min/L': { scales: [unit('mg·min/L', fixed(0))] },
}

const US: Record<Unit, Writing> = {
  ...METRIC,
  // 1 mg/L is 1 part per million by weight in fresh water; the US trade says ppm
  'mg/L': { scales: [unit('ppm', dissolved)], keepZeros: true },
  '°C': {
    scales: [{ label: '°F', toReader: celsiusToFahrenheit, toStored: fahrenheitToCelsius, decimals: fixed(0) }],
    keepZeros: true,
  },
  L: {
    scales: [unit('fl oz', amount, LITRES_PER_FLUID_OUNCE), unit('gal', amount, LITRES_PER_GALLON)],
  },
  'L/min': {
    scales: [unit('gpm', amount, LITRES_PER_GALLON)],
  },
  'L/h': { scales: [unit('gal/h', amount, LITRES_PER_GALLON)] },
  g: { scales: [unit('oz', amount, GRAMS_PER_OUNCE), unit('lb', amount, GRAMS_PER_POUND)] },
  'm²': { scales: [unit('sq ft', amount, SQUARE_METRES_PER_SQUARE_FOOT)] },
}

const WRITINGS: Record<UnitSystem, Record<Unit, Writing>> = { us: US, metric: METRIC }

/** In what a reader types and reads a stored unit, smallest first: 'g' is oz and lb, or g and kg. */
export const unitsOf = (stored: Unit, system: UnitSystem): readonly ReaderUnit[] => WRITINGS[system][stored].scales

/** The usual one of them, for fields and charts: gal, L, lb, kg. */
export const unitOf = (stored: Unit, system: UnitSystem): ReaderUnit => usual(WRITINGS[system][stored])

const usual = ({ scales }: Writing) => scales.at(-1) ?? scales[0]

/** Every label that can stand behind a number. */
export const UNIT_LABELS: readonly string[] = [
  ...new Set(
    UNIT_SYSTEMS.flatMap((system) =>
      Object.values(WRITINGS[system]).flatMap(({ scales, one }) => [...scales.map(({ label }) => label), one ?? '']),
    ),
  ),
].filter(Boolean)

/** Decimals beyond the rule: `extra` more of them, and never fewer than `least`. */
export interface Finer {
  extra?: number
  least?: number
}

/**
 * A quantity in the reader's units, rounded for reading, number and label apart: '1.5' and 'ppm', '−0.40' and ''.
 * @param quantity a stored quantity: mg/L, °C, L, g …; what is no number reads 'unknown'
 */
export function quantityParts(
  { value, unit: stored }: Quantified,
  system: UnitSystem,
  { extra = 0, least = 0 }: Finer = {},
): { number: string; label: string } {
  if (!Number.isFinite(value)) return { number: 'unknown', label: '' }
  const writing = WRITINGS[system][stored]
  const scale = scaleFor(value, writing, extra)
  const inReader = scale.toReader(value)
  const decimals = Math.max(decimalsOf(Math.abs(inReader), scale) + extra, least)
  const number = plainNumber(inReader, decimals, { keepZeros: writing.keepZeros })
  const plus = writing.signed && Number(inReader.toFixed(decimals)) > 0 ? '+' : ''
  return {
    number: `${plus}${number}${writing.tail ?? ''}`,
    label: number === '1' && writing.one ? writing.one : scale.label,
  }
}

/** One quantity as text in the reader's units: '1.5 ppm', '84 °F', '12 fl oz', '−0.40'. */
export function formatQuantity(quantity: Quantified, system: UnitSystem, finer: Finer = {}): string {
  const { number, label } = quantityParts(quantity, system, finer)
  return label ? `${number} ${label}` : number
}

/** A smaller unit as long as the rounded number stays under one of the next; nothing at all is in the usual unit. */
function scaleFor(value: number, writing: Writing, extra: number): ReaderUnit {
  const { scales } = writing
  if (value === 0 || scales.length === 1) return usual(writing)
  const fits = scales.find((scale, index) => {
    const next = scales[index + 1]
    if (!next) return true
    const size = Math.abs(scale.toReader(value))
    return rounded(size, decimalsOf(size, scale) + extra) < scale.toReader(next.toStored(1)) * (1 - 1e-12)
  })
  return fits ?? usual(writing)
}

/** What rounding lifts over a step has the decimals of the step: 9.96 is 10 and not 10.0. */
const decimalsOf = (size: number, { decimals }: ReaderUnit) => decimals(rounded(size, decimals(size)))

const rounded = (size: number, decimals: number) => Number(size.toFixed(decimals))

/** '12,345.6' with the decimals given, without trailing zeros unless asked for; never '-0'. */
export function plainNumber(value: number, decimals: number, { keepZeros = false } = {}): string {
  const [whole = '', fraction = ''] = Math.abs(value).toFixed(decimals).split('.')
  const kept = keepZeros ? fraction : fraction.replace(/0+$/, '')
  const sign = value < 0 && Number(value.toFixed(decimals)) !== 0 ? '−' : ''
  return `${sign}${whole.replace(/\B(?=(\d{3})+$)/g, ',')}${kept && `.${kept}`}`
}

import type { Phrase, Quantified, Unit } from './finding.ts'
import { celsiusToFahrenheit, litresPerMinuteToGallonsPerMinute, litresToGallons } from './quantities.ts'

export const UNIT_SYSTEMS = ['us', 'metric'] as const
/** What a reader wants to see: US customary (°F, gallons) or metric. Stored units are metric. */
export type UnitSystem = (typeof UNIT_SYSTEMS)[number]

interface Shown {
  word: string
  convert?: (value: number) => number
  decimals: (size: number) => number
  signed?: boolean
}

const fixed = (decimals: number) => () => decimals
const bySize = (size: number) => (size < 10 ? 1 : 0)
// amounts too small for one decimal keep two significant figures, so that 0.004 never reads as 0
const dissolved = (size: number) => (size >= 10 ? 0 : size >= 0.1 || size === 0 ? 1 : size >= 0.01 ? 2 : 3)

const METRIC: Record<Unit, Shown> = {
  'mg/L': { word: ' mg/L', decimals: dissolved },
  pH: { word: '', decimals: fixed(1) },
  mV: { word: ' mV', decimals: fixed(0) },
  '°C': { word: ' °C', decimals: fixed(1) },
  L: { word: ' L', decimals: bySize },
  'L/min': { word: ' L/min', decimals: bySize },
  min: { word: ' min', decimals: fixed(0) },
  h: { word: ' h', decimals: bySize },
  d: { word: ' days', decimals: bySize },
  '%': { word: ' %', decimals: fixed(0) },
  SI: { word: '', decimals: fixed(1), signed: true },
  ratio: { word: ':1', decimals: (size) => (size < 100 ? 1 : 0) },
  count: { word: '', decimals: fixed(0) },
}
const US: Record<Unit, Shown> = {
  ...METRIC,
  // 1 mg/L is 1 part per million by weight in fresh water; the US trade says ppm
  'mg/L': { word: ' ppm', decimals: dissolved },
  '°C': { word: ' °F', convert: celsiusToFahrenheit, decimals: fixed(0) },
  L: { word: ' gal', convert: litresToGallons, decimals: bySize },
  'L/min': { word: ' gpm', convert: litresPerMinuteToGallonsPerMinute, decimals: bySize },
}

/**
 * One quantity as text in the reader's units, rounded for reading: '1.5 ppm', '84 °F', '−0.4'.
 * @param quantity a stored quantity: mg/L, °C, L, L/min …
 * @param decimals more decimals than usual, where a value would else read like its limit (pH 7.04 beside 7.0)
 */
export function formatQuantity(quantity: Quantified, unitSystem: UnitSystem, decimals?: number): string {
  const shown = (unitSystem === 'us' ? US : METRIC)[quantity.unit]
  const value = shown.convert ? shown.convert(quantity.value) : quantity.value
  const digits = decimals ?? shown.decimals(Math.abs(value))
  const text = trimmed(Math.abs(value), digits)
  const sign = value < 0 && Number(text) !== 0 ? '−' : shown.signed && Number(text) !== 0 ? '+' : ''
  const word = quantity.unit === 'd' && text === '1' ? ' day' : shown.word
  return `${sign}${text}${word}`
}

// pH 7.0 keeps its zero, 1.0 ppm reads as 1.0, but 720 mV has none to lose
const trimmed = (size: number, decimals: number) => size.toFixed(decimals)

/** A phrase as plain text, its `{0}`, `{1}` … filled with the quantities in the reader's units. */
export function renderPhrase(phrase: Phrase, unitSystem: UnitSystem): string {
  return phrase.text.replace(/\{(\d+)\}/g, (placeholder, index) => {
    const quantity = phrase.quantities[Number(index)]
    return quantity ? formatQuantity(quantity, unitSystem) : placeholder
  })
}

import type { Phrase, Quantified, Unit } from './finding.ts'
import { celsiusToFahrenheit, litresPerMinuteToGallonsPerMinute, litresToGallons } from './quantities.ts'

export const UNIT_SYSTEMS = ['us', 'metric'] as const
/** What a reader wants to see: US customary (°F, gallons) or metric. Stored units are metric. */
export type UnitSystem = (typeof UNIT_SYSTEMS)[number]

interface Shown {
  word: string
  /** In place of `word` after '1'. */
  one?: string
  /** 2 rather than 2.0: counted things, not measured ones. */
  bare?: boolean
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
  L: { bare: true, word: ' L', decimals: bySize },
  'L/min': { bare: true, word: ' L/min', decimals: bySize },
  min: { word: ' min', decimals: fixed(0) },
  h: { bare: true, word: ' h', decimals: bySize },
  d: { bare: true, word: ' days', one: ' day', decimals: bySize },
  '%': { word: ' %', decimals: fixed(0) },
  SI: { word: '', decimals: fixed(2), signed: true },
  ratio: { bare: true, word: ':1', decimals: (size) => (size < 100 ? 1 : 0) },
  count: { word: '', decimals: fixed(0) },
}
const US: Record<Unit, Shown> = {
  ...METRIC,
  // 1 mg/L is 1 part per million by weight in fresh water; the US trade says ppm
  'mg/L': { word: ' ppm', decimals: dissolved },
  '°C': { word: ' °F', convert: celsiusToFahrenheit, decimals: fixed(0) },
  L: { bare: true, word: ' gal', convert: litresToGallons, decimals: bySize },
  'L/min': { bare: true, word: ' gpm', convert: litresPerMinuteToGallonsPerMinute, decimals: bySize },
}

/**
 * One quantity as text in the reader's units, rounded for reading: '1.5 ppm', '84 °F', '−0.4'.
 * @param quantity a stored quantity: mg/L, °C, L, L/min …
 * @param extraDecimals more decimals than usual, where a value would else read like its limit (pH 7.04 beside 7.0)
 */
export function formatQuantity(quantity: Quantified, unitSystem: UnitSystem, extraDecimals = 0): string {
  const shown = (unitSystem === 'us' ? US : METRIC)[quantity.unit]
  const value = shown.convert ? shown.convert(quantity.value) : quantity.value
  const size = Math.abs(value)
  const text = size.toFixed(shown.decimals(size) + extraDecimals)
  const isZero = Number(text) === 0
  const sign = isZero ? '' : value < 0 ? '−' : shown.signed ? '+' : ''
  const number = shown.bare ? text.replace(/\.0+$/, '') : text
  const word = shown.one && number === '1' ? shown.one : shown.word
  return `${sign}${number}${word}`
}

const MOST_EXTRA_DECIMALS = 3

/**
 * A phrase as plain text, its `{0}`, `{1}` … filled with the quantities in the reader's units. Two different values of one
 * unit never read alike: they get decimals until they differ.
 */
export function renderPhrase(phrase: Phrase, unitSystem: UnitSystem): string {
  const { text, quantities } = phrase
  const texts = quantities.map((quantity) => formatQuantity(quantity, unitSystem))
  for (let extra = 1; extra <= MOST_EXTRA_DECIMALS; extra++) {
    const alike = quantities.filter((quantity, index) => readsLikeAnother(quantity, index, quantities, texts))
    if (alike.length === 0) break
    quantities.forEach((quantity, index) => {
      if (alike.includes(quantity)) texts[index] = formatQuantity(quantity, unitSystem, extra)
    })
  }
  return text.replace(/\{(\d+)\}/g, (placeholder, index) => texts[Number(index)] ?? placeholder)
}

const readsLikeAnother = (one: Quantified, at: number, all: readonly Quantified[], texts: readonly string[]) =>
  all.some(
    (other, index) =>
      index !== at && other.unit === one.unit && other.value !== one.value && texts[index] === texts[at],
  )

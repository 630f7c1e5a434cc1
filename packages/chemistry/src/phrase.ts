import type { Phrase, Quantified } from './finding.ts'
import { formatQuantity, type UnitSystem } from './units.ts'

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
      if (alike.includes(quantity)) texts[index] = formatQuantity(quantity, unitSystem, { extra })
    })
  }
  return text.replace(/\{(\d+)\}/g, (placeholder, index) => texts[Number(index)] ?? placeholder)
}

const readsLikeAnother = (one: Quantified, at: number, all: readonly Quantified[], texts: readonly string[]) =>
  all.some(
    (other, index) =>
      index !== at && other.unit === one.unit && other.value !== one.value && texts[index] === texts[at],
  )

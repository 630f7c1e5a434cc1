import { type Phrase, renderPhrase } from '@sightglass/chemistry'
import type { System } from './measure.ts'

const NUMBER_AND_UNIT = /(\d) (ppm|mg\/L|°[FC]|mV|gal|gpm|L\/min|L|min|hours?|h|days?|%)(?![\p{L}])/gu

/** A phrase in the reader's units; a number is never parted from its unit at the end of a line. */
export const sentenceOf = (phrase: Phrase, system: System) =>
  renderPhrase(phrase, system).replace(NUMBER_AND_UNIT, '$1\u00a0$2')

import {
  type Citation,
  FINDING_TITLES,
  type Finding,
  type Phrase,
  renderPhrase,
  type Severity,
  UNIT_LABELS,
} from '@sightglass/chemistry'
import type { Reading } from '@sightglass/contract'
import type { System } from './measure.ts'
import { plainNumber, whole } from './numbers.ts'

const UNIT_WORDS = [...UNIT_LABELS, 'hours?'].sort((a, b) => b.length - a.length)
const NUMBER_AND_UNIT = new RegExp(`(\\d) (${UNIT_WORDS.join('|')})(?![\\p{L}])`, 'gu')

/** A phrase in the reader's units; a number is never parted from its unit at the end of a line. */
export const sentenceOf = (phrase: Phrase, system: System) =>
  renderPhrase(phrase, system).replace(NUMBER_AND_UNIT, '$1\u00a0$2')

/** A finding in a line. */
export interface FindingLine {
  severity: Severity
  title: string
  sentence: string
}
export const findingLines = (findings: readonly Finding[], system: System): FindingLine[] =>
  findings.map(({ severity, kind, sentence }) => ({
    severity,
    title: FINDING_TITLES[kind],
    sentence: sentenceOf(sentence, system),
  }))

/** Whose limit it is, said in words. */
export function citationWords({ authority, document, edition, section }: Citation) {
  const place = [document, edition, section].filter(Boolean).join(', ')
  if (authority === 'law') return `By the published code: ${place}.`
  if (authority === 'company') return `Set by your own company${place ? `: ${place}` : ''}.`
  return `Practice of the trade, not law${place ? `: ${place}` : ''}.`
}

/** What the controller's display showed: `pH 7.42, 712 mV`. */
export const displayWords = ({ displayPh, displayOrpMv }: Pick<Reading, 'displayPh' | 'displayOrpMv'>) =>
  [displayPh !== null && `pH ${plainNumber(displayPh, 2)}`, displayOrpMv !== null && `${whole(displayOrpMv)} mV`]
    .filter(Boolean)
    .join(', ')

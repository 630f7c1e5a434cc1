import type { CautionKey, EvidenceLine, Finding, LikelyCause, Limit, Phrase, Quantified, Unit } from '../finding.ts'
import type { LimitRule } from '../profile.ts'
import { FINDING_KINDS, type FindingKind, type FindingSeverity } from '../vocabulary.ts'

export const quantified = (value: number, unit: Unit): Quantified => ({ value, unit })

/** Words with quantities left open: `say('pH {0} is low.', quantified(6.9, 'pH'))`. */
export const say = (text: string, ...quantities: Quantified[]): Phrase => ({ text, quantities })

export const limitOf = ({ side, value, unit, citation }: LimitRule): Limit => ({ side, value, unit, citation })

export const shown = (
  label: string,
  value: number,
  unit: Unit,
  atMs: number | null,
  source: EvidenceLine['source'],
): EvidenceLine => ({ label, quantity: { value, unit }, atMs, source })

/** A finding; family follows from the kind, and what is left out is empty. */
export function finding(given: {
  kind: FindingKind
  severity: FindingSeverity
  sentence: Phrase
  sinceMs: number
  subject?: string
  value?: Quantified | null
  limit?: Limit | null
  evidence?: EvidenceLine[]
  advice: Phrase[]
  cautions: CautionKey[]
  causes?: LikelyCause[]
  bring?: Phrase[]
}): Finding {
  return {
    subject: '',
    value: null,
    limit: null,
    evidence: [],
    ...given,
    family: FINDING_KINDS[given.kind],
  }
}

import { say } from '../findings/make.ts'
import { FINDING_KINDS, type FindingKind } from '../vocabulary.ts'
import { FINDING_TITLES, midSentence } from '../words.ts'
import { SET_POINT_MOVES } from './setPoint.ts'
import type { SetPointAdvice } from './types.ts'

/** What is mended before a set point is judged: hazards, feeds that do not do what they should, pH, and probes. */
const FIRST: readonly FindingKind[] = [
  'feederWeak',
  'overfeed',
  'feedHunting',
  'backupCarries',
  'phNotHeld',
  'orpNotHeld',
  'phLow',
  'phHigh',
  'phProbeDisagrees',
  'phProbeDrifted',
  'phProbeFaulty',
  'orpProbeFaulty',
]
const comesFirst = (kind: FindingKind) => FINDING_KINDS[kind] === 'hazard' || FIRST.includes(kind)

/** The advice as it stands beside what else is found of the body: a set point is not moved while something else must be mended first. */
export function heldBack(advice: SetPointAdvice, kinds: readonly FindingKind[]): SetPointAdvice {
  const first = [...new Set(kinds.filter(comesFirst))]
  if (first.length === 0 || (advice.action !== 'move' && advice.action !== 'keep')) return advice
  const names = first.map((kind) => midSentence(FINDING_TITLES[kind])).join(', ')
  return {
    ...advice,
    action: 'mendFirst',
    todayMv: null,
    reasons: [
      say(`Leave the set point for now. First see to: ${names}. Then test, and judge it by that.`),
      SET_POINT_MOVES,
    ],
  }
}

import { assess } from '../assess.ts'
import type { Phrase } from '../finding.ts'
import { say } from '../findings/make.ts'
import type { CodeProfile } from '../profile.ts'
import type { IncidentFacts, Snapshot } from '../snapshot.ts'
import type { FindingKind, Parameter } from '../vocabulary.ts'
import type { ContactTime } from './contact.ts'

const NAMES = { freeChlorineMgL: 'free chlorine', bromineMgL: 'bromine', ph: 'pH' } as const
const LEVELS: readonly FindingKind[] = [
  'freeChlorineLow',
  'freeChlorineHigh',
  'bromineLow',
  'bromineHigh',
  'phLow',
  'phHigh',
]

/**
 * What speaks against bathers besides the contact time: sanitizer or pH not tested since it was reached, or outside what the
 * code profile lets bathers into. Empty when nothing does; closing the incident then opens the body, unless another finding
 * keeps it closed.
 */
export function reopeningObstacles(
  snapshot: Snapshot,
  profile: CodeProfile,
  incident: IncidentFacts,
  contact: ContactTime,
  nowMs: number,
): Phrase[] {
  const sanitizer: Parameter = snapshot.body.sanitizerSystem === 'bromine' ? 'bromineMgL' : 'freeChlorineMgL'
  const sinceMs = contact.reachedAtMs ?? incident.atMs
  const untested = ([sanitizer, 'ph'] as const).flatMap((parameter) => {
    const atMs = snapshot.tests[parameter]?.atMs
    if (atMs !== undefined && atMs >= sinceMs) return []
    const since = contact.reachedAtMs === null ? 'the incident' : 'the contact time was reached'
    return [say(`No test of ${NAMES[parameter]} since ${since} is entered.`)]
  })
  const outside = assess({ ...snapshot, incidents: [] }, profile, nowMs).findings.filter(
    ({ kind, severity }) => severity === 'close' && LEVELS.includes(kind),
  )
  return [...untested, ...outside.map(({ sentence }) => sentence)]
}

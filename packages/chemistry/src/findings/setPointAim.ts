import { wantedRanges } from '../dosing/wanted.ts'
import type { CodeProfile } from '../profile.ts'
import { limitRangeFor } from '../profiles/lookup.ts'
import type { SetPointAim } from '../redox/types.ts'
import type { Snapshot } from '../snapshot.ts'
import { bodyAsTested } from './facts.ts'

/** What the ORP set point of a body is to hold: where a dose would end. Null where its code profile asks for no least sanitizer. */
export function setPointAimFor(snapshot: Snapshot, profile: CodeProfile): SetPointAim | null {
  const body = bodyAsTested(snapshot)
  const sanitizer = body.sanitizerSystem === 'bromine' ? 'bromineMgL' : 'freeChlorineMgL'
  const wanted = wantedRanges(profile, body).ranges[sanitizer]
  if (!wanted || wanted.min === null) return null
  const orp = limitRangeFor(profile, body, 'orpMv')
  return {
    targetMgL: wanted.fromBelow,
    orpMinMv: orp.min?.value ?? null,
    orpMaxMv: orp.max?.value ?? null,
    phSetPoint: snapshot.controller?.latest?.phSetPoint ?? null,
  }
}

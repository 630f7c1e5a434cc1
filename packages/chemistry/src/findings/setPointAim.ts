import type { CodeProfile } from '../profile.ts'
import { limitRangeFor } from '../profiles/lookup.ts'
import type { SetPointAim } from '../redox/types.ts'
import type { Snapshot } from '../snapshot.ts'
import { bodyAsTested } from './facts.ts'

/** Sanitizer is used up until the next test: half as much again as the minimum, at least this more. Common practice, no source. */
const RESERVE_SHARE = 1.5
const RESERVE_MGL = 1

/** What the ORP set point of a body is to hold; null where its code profile asks for no least sanitizer. */
export function setPointAimFor(snapshot: Snapshot, profile: CodeProfile): SetPointAim | null {
  const body = bodyAsTested(snapshot)
  const rangeOf = (thing: Parameters<typeof limitRangeFor>[2]) => limitRangeFor(profile, body, thing)
  const { min, max } = rangeOf(body.sanitizerSystem === 'bromine' ? 'bromineMgL' : 'freeChlorineMgL')
  if (!min) return null
  const wanted = Math.max(min.value * RESERVE_SHARE, min.value + RESERVE_MGL)
  const orp = rangeOf('orpMv')
  return {
    targetMgL: max ? Math.min(wanted, (min.value + max.value) / 2) : wanted,
    orpMinMv: orp.min?.value ?? null,
    orpMaxMv: orp.max?.value ?? null,
    phSetPoint: snapshot.controller?.latest?.phSetPoint ?? null,
  }
}

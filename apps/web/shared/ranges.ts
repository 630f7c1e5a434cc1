import { type BodyFacts, type CodeProfile, limitValuesFor, PARAMETERS } from '@sightglass/chemistry'
import type { Profile } from '@sightglass/contract'
import type { Range } from './measure.ts'

/** The range of each thing that a person enters, by the profile and for this body; absent where there is none. */
export function rangesFor(profile: Profile | null, body: BodyFacts): Partial<Record<string, Range>> {
  if (!profile) return {}
  return Object.fromEntries(
    [...PARAMETERS, 'orpMv' as const].map((thing) => [thing, limitValuesFor(profile as CodeProfile, body, thing)]),
  )
}

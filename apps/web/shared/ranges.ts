import { type BodyFacts, type CodeProfile, limitRangeFor, PARAMETERS } from '@sightglass/chemistry'
import type { Profile } from '@sightglass/contract'
import type { Range } from './measure.ts'

/** The range of each thing that a person enters, by the profile and for this body; absent where there is none. */
export function rangesFor(profile: Profile | null, body: BodyFacts): Partial<Record<string, Range>> {
  if (!profile) return {}
  return Object.fromEntries(
    [...PARAMETERS, 'orpMv' as const].map((thing) => {
      const { min, max } = limitRangeFor(profile as CodeProfile, body, thing)
      return [thing, { min: min?.value ?? null, max: max?.value ?? null }]
    }),
  )
}

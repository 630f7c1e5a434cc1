import { type CodeProfile, deriveProfile } from '@sightglass/chemistry'
import { conflict, notFound } from '../../platform/problems.ts'
import type { KnownProfile } from '../profiles/index.ts'

/** A company's own profile that can still be changed. */
export function ownProfile(
  known: ReadonlyMap<string, KnownProfile>,
  key: string,
): KnownProfile & { parent: KnownProfile } {
  const one = known.get(key)
  if (!one) throw notFound('code profile', key)
  const { parent, retiredAt, profile } = one
  if (!parent) {
    throw conflict(`${profile.name} is a published code: it is not changed. Derive a profile of your own from it.`)
  }
  if (retiredAt) throw conflict('This code profile is retired: what is retired is not changed any more.')
  return { ...one, parent }
}

/**
 * What becomes of a profile and of those derived from it when its rules change: profiles by key, the changed one first.
 * @throws ProblemError `conflict` when one of them would lose a rule that it changes
 */
export function familyWith(changed: CodeProfile, known: ReadonlyMap<string, KnownProfile>): Map<string, CodeProfile> {
  const family = new Map([[changed.key, changed]])
  // in the order of creation, so that a parent is there before its children
  for (const { profile, parent, overrides, additions, retiredAt } of known.values()) {
    const renewed = parent && family.get(parent.profile.key)
    if (!renewed || retiredAt) continue
    try {
      family.set(profile.key, deriveProfile(renewed, profile, overrides, additions))
    } catch (error) {
      throw conflict(
        `${profile.name} is derived from this profile and would no longer hold together: ${(error as Error).message} Change that profile first.`,
      )
    }
  }
  return family
}

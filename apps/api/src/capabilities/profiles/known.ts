import { type CodeProfile, deriveProfile, PROFILES, type ProfileOverride } from '@sightglass/chemistry'
import type { Queryable } from '../../platform/database.ts'
import { invalid } from '../../platform/problems.ts'
import { selectOwnProfiles } from './queries.ts'

export interface KnownProfile {
  profile: CodeProfile
  overrides: ProfileOverride[]
}

/** All profiles by key, the published ones first: one query, however many there are. */
export async function knownProfiles(client: Queryable): Promise<Map<string, KnownProfile>> {
  const known = new Map<string, KnownProfile>(
    PROFILES.map((profile) => [profile.key, { profile, overrides: [] as ProfileOverride[] }]),
  )
  for (const { parentKey, overrides, ...own } of await selectOwnProfiles(client)) {
    const parent = known.get(parentKey)
    if (!parent) throw new Error(`the code profile ${own.key} rests on ${parentKey}, which is not there`)
    known.set(own.key, { profile: deriveProfile(parent.profile, own, overrides), overrides })
  }
  return known
}

/** @throws ProblemError `invalid` at `path` that lists the keys there are */
export async function requireProfile(client: Queryable, key: string, path: string): Promise<void> {
  const known = await knownProfiles(client)
  if (known.has(key)) return
  const message = `There is no code profile '${key}'. There are: ${[...known.keys()].join(', ')}.`
  throw invalid(`${path}: ${message}`, [{ path, message }])
}

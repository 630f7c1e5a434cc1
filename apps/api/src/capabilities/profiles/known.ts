import {
  type CodeProfile,
  deriveProfile,
  PROFILES,
  type ProfileAddition,
  type ProfileOverride,
  RuleThere,
  ruleKeysOf,
} from '@sightglass/chemistry'
import type { Queryable } from '../../platform/database.ts'
import { invalidAt } from '../../platform/problems.ts'
import { selectOwnProfiles } from './queries.ts'

export interface KnownProfile {
  profile: CodeProfile
  /** What it was derived from; null for a published one. */
  parent: KnownProfile | null
  /** The published profile at the end of that line. */
  root: CodeProfile
  overrides: ProfileOverride[]
  additions: ProfileAddition[]
  /** The newest version; 0 for a published one. */
  version: number
  /** Rules of that version that the parent no longer has room for: they count for nothing. */
  lost: string[]
  retiredAt: Date | null
}

const published = (profile: CodeProfile): KnownProfile => ({
  profile,
  parent: null,
  root: profile,
  overrides: [],
  additions: [],
  version: 0,
  lost: [],
  retiredAt: null,
})

/** All profiles by key, retired ones too, the published ones first: one query, however many there are. */
export async function knownProfiles(client: Queryable): Promise<Map<string, KnownProfile>> {
  const known = new Map(PROFILES.map((profile) => [profile.key, published(profile)]))
  for (const { parentKey, key, name, overrides, additions, version, retiredAt } of await selectOwnProfiles(client)) {
    const parent = known.get(parentKey)
    if (!parent) throw new Error(`the code profile ${key} rests on ${parentKey}, which is not there`)
    const derived = deriveWhatFits(parent.profile, { key, name }, overrides, additions)
    known.set(key, { ...derived, parent, root: parent.root, overrides, additions, version, retiredAt })
  }
  return known
}

/** A published profile may lose or gain a rule with a new edition: that must not keep the company's bodies from being judged. */
function deriveWhatFits(
  parent: CodeProfile,
  own: { key: string; name: string },
  overrides: readonly ProfileOverride[],
  additions: readonly ProfileAddition[],
): Pick<KnownProfile, 'profile' | 'lost'> {
  const there = ruleKeysOf(parent)
  const lost = overrides.filter(({ ruleKey }) => !there.includes(ruleKey)).map(({ ruleKey }) => ruleKey)
  const kept = overrides.filter(({ ruleKey }) => there.includes(ruleKey))
  const fitting: ProfileAddition[] = []
  for (const addition of additions) {
    try {
      deriveProfile(parent, own, [], [...fitting, addition])
      fitting.push(addition)
    } catch (error) {
      if (!(error instanceof RuleThere)) throw error
      lost.push(`own.${addition.thing}.${addition.side}.${addition.effect}`)
    }
  }
  return { profile: deriveProfile(parent, own, kept, fitting), lost }
}

/** Those that can be chosen. */
export const inUse = (known: ReadonlyMap<string, KnownProfile>): KnownProfile[] =>
  [...known.values()].filter(({ retiredAt }) => retiredAt === null)

/** @throws ProblemError `invalid` at `path` that lists the keys there are */
export async function requireProfile(client: Queryable, key: string, path: string): Promise<void> {
  const known = await knownProfiles(client)
  if (known.get(key)?.retiredAt === null) return
  throw unknownProfile(known, key, path)
}

export function unknownProfile(known: ReadonlyMap<string, KnownProfile>, key: string, path: string) {
  const keys = inUse(known).map(({ profile }) => profile.key)
  const message = known.has(key)
    ? `The code profile '${key}' is retired. There are: ${keys.join(', ')}.`
    : `There is no code profile '${key}'. There are: ${keys.join(', ')}.`
  return invalidAt(path, message)
}

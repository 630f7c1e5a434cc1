import type { ProfileDetail } from '@sightglass/contract'
import type { Deps } from '../../platform/context.ts'
import type { Queryable } from '../../platform/database.ts'
import { notFound } from '../../platform/problems.ts'
import { inUse, knownProfiles } from './known.ts'
import { countFacilities, selectFacilities, selectVersions, type VersionRow } from './queries.ts'

export async function listProfiles({ database: { pool } }: Deps) {
  const [known, facilities] = await Promise.all([knownProfiles(pool), countFacilities(pool)])
  const items = inUse(known).map(({ profile: { key, name, edition, parentKey, notRead } }) => ({
    key,
    name,
    edition,
    parentKey,
    notRead,
    facilities: facilities.get(key) ?? 0,
  }))
  return { items, total: items.length }
}

export const getProfile = ({ database: { pool } }: Deps, key: string): Promise<ProfileDetail> => showProfile(pool, key)

/** A profile with all its rules, its versions, and what rests on it. */
export async function showProfile(client: Queryable, key: string): Promise<ProfileDetail> {
  const known = await knownProfiles(client)
  const one = known.get(key)
  if (!one) throw notFound('code profile', key)
  const versions = await selectVersions(client, key)
  const facilities = await selectFacilities(client, key)
  const children = inUse(known).filter(({ profile }) => profile.parentKey === key)
  return {
    profile: one.profile,
    parent: one.parent?.profile ?? null,
    root: one.parent && one.root,
    versions: versions.map(showVersion),
    lost: one.lost,
    retiredAt: one.retiredAt?.toISOString() ?? null,
    usedBy: { facilities, profiles: children.map(({ profile: { key: child, name } }) => ({ key: child, name })) },
  }
}

const showVersion = ({ at, ...version }: VersionRow) => ({ ...version, at: at.toISOString() })

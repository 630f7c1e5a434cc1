import type { Deps } from '../../platform/context.ts'
import { notFound } from '../../platform/problems.ts'
import { type KnownProfile, knownProfiles } from './known.ts'
import { countFacilities } from './queries.ts'

export async function listProfiles({ database: { pool } }: Deps) {
  const [known, facilities] = await Promise.all([knownProfiles(pool), countFacilities(pool)])
  const items = [...known.values()].map(({ profile: { key, name, edition, parentKey } }) => ({
    key,
    name,
    edition,
    parentKey,
    facilities: facilities.get(key) ?? 0,
  }))
  return { items, total: items.length }
}

export async function getProfile({ database: { pool } }: Deps, key: string): Promise<KnownProfile> {
  const known = (await knownProfiles(pool)).get(key)
  if (!known) throw notFound('code profile', key)
  return known
}

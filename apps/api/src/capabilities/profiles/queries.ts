import type { ProfileOverride } from '@sightglass/chemistry'
import type { Queryable } from '../../platform/database.ts'

/** A company's own profile as stored: whose rules it takes over, and where it differs. */
export interface OwnProfile {
  key: string
  name: string
  parentKey: string
  overrides: ProfileOverride[]
}

/** In the order of creation: a parent always comes before its children. */
export const selectOwnProfiles = async (client: Queryable) =>
  (
    await client.query<OwnProfile>(
      `SELECT key, name, parent_key AS "parentKey", overrides FROM code_profile ORDER BY created_at, key`,
    )
  ).rows

/** How many facilities in use are judged by each profile. */
export async function countFacilities(client: Queryable): Promise<Map<string, number>> {
  const { rows } = await client.query<{ key: string; facilities: number }>(
    'SELECT profile_key AS key, count(*) AS facilities FROM facility WHERE retired_at IS NULL GROUP BY profile_key',
  )
  return new Map(rows.map(({ key, facilities }) => [key, facilities]))
}

export const insertProfile = (client: Queryable, { key, name, parentKey, overrides }: OwnProfile, at: Date) =>
  client.query('INSERT INTO code_profile (key, name, parent_key, overrides, created_at) VALUES ($1, $2, $3, $4, $5)', [
    key,
    name,
    parentKey,
    JSON.stringify(overrides),
    at,
  ])

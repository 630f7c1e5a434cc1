import type { ProfileAddition, ProfileOverride } from '@sightglass/chemistry'
import type { Queryable } from '../../platform/database.ts'

/** One version of a company's own profile as stored. */
export interface VersionRow {
  version: number
  name: string
  overrides: ProfileOverride[]
  additions: ProfileAddition[]
  person: string
  reason: string
  at: Date
}

/** A company's own profile: whose rules it takes over, and its newest version. */
export interface OwnProfile extends VersionRow {
  key: string
  parentKey: string
  retiredAt: Date | null
}

const VERSION = 'v.version, v.name, v.overrides, v.additions, v.person, v.reason, v.at'

/** With retired ones, in the order of creation: a parent always comes before its children. */
export const selectOwnProfiles = async (client: Queryable) =>
  (
    await client.query<OwnProfile>(
      `SELECT p.key, p.parent_key AS "parentKey", p.retired_at AS "retiredAt", ${VERSION}
      FROM code_profile p
      CROSS JOIN LATERAL (SELECT * FROM code_profile_version WHERE profile_key = p.key ORDER BY version DESC LIMIT 1) v
      ORDER BY p.created_at, p.key`,
    )
  ).rows

/** All versions of one profile, newest first. */
export const selectVersions = async (client: Queryable, key: string) =>
  (
    await client.query<VersionRow>(
      `SELECT ${VERSION} FROM code_profile_version v WHERE profile_key = $1 ORDER BY version DESC`,
      [key],
    )
  ).rows

/** How many facilities in use are judged by each profile. */
export async function countFacilities(client: Queryable): Promise<Map<string, number>> {
  const { rows } = await client.query<{ key: string; facilities: number }>(
    'SELECT profile_key AS key, count(*) AS facilities FROM facility WHERE retired_at IS NULL GROUP BY profile_key',
  )
  return new Map(rows.map(({ key, facilities }) => [key, facilities]))
}

/** The facilities in use that are judged by a profile. */
export const selectFacilities = async (client: Queryable, key: string) =>
  (
    await client.query<{ id: string; name: string }>(
      'SELECT id, name FROM facility WHERE profile_key = $1 AND retired_at IS NULL ORDER BY name',
      [key],
    )
  ).rows

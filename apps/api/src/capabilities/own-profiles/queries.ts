import type { ProfileAddition, ProfileOverride } from '@sightglass/chemistry'
import type { Queryable } from '../../platform/database.ts'

export interface NewVersion {
  key: string
  version: number
  name: string
  overrides: ProfileOverride[]
  additions: ProfileAddition[]
  person: string
  reason: string
}

/** Writes of profiles stand in one line with those of plant, so that none is retired while a facility is given it. */
export const lockProfiles = (client: Queryable) => client.query(`SELECT pg_advisory_xact_lock(hashtext('plant'))`)

export const insertProfile = (
  client: Queryable,
  { key, name, parentKey }: { key: string; name: string; parentKey: string },
  at: Date,
) =>
  client.query('INSERT INTO code_profile (key, name, parent_key, created_at) VALUES ($1, $2, $3, $4)', [
    key,
    name,
    parentKey,
    at,
  ])

export const insertVersion = (
  client: Queryable,
  { key, version, name, overrides, additions, person, reason }: NewVersion,
  at: Date,
) =>
  client.query(
    `INSERT INTO code_profile_version (profile_key, version, name, overrides, additions, person, reason, at)
    VALUES ($1, $2, $3, $4, $5, $6, $7, $8)`,
    [key, version, name, JSON.stringify(overrides), JSON.stringify(additions), person, reason, at],
  )

export const renameProfile = (client: Queryable, key: string, name: string) =>
  client.query('UPDATE code_profile SET name = $2 WHERE key = $1', [key, name])

export const markRetired = (client: Queryable, key: string, person: string, reason: string, at: Date) =>
  client.query('UPDATE code_profile SET retired_at = $4, retired_by = $2, retired_reason = $3 WHERE key = $1', [
    key,
    person,
    reason,
    at,
  ])

export interface JudgedBody {
  id: string
  body: string
  facility: string
}

/** The bodies in use that are judged by any of these profiles. */
export const selectJudged = async (client: Queryable, profileKeys: readonly string[]) =>
  (
    await client.query<JudgedBody>(
      `SELECT b.id, b.name AS body, f.name AS facility FROM body b JOIN facility f ON f.id = b.facility_id
      WHERE f.profile_key = ANY ($1) AND f.retired_at IS NULL AND b.retired_at IS NULL ORDER BY f.name, b.name, b.id`,
      [profileKeys],
    )
  ).rows

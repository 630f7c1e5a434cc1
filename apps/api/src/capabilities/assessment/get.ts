import type { RedoxJudgement, Snapshot } from '@sightglass/chemistry'
import type { SnapshotsAnswer } from '@sightglass/contract'
import type { Deps } from '../../platform/context.ts'
import { notFound } from '../../platform/problems.ts'
import { knownProfiles } from '../profiles/index.ts'
import { equipmentOf } from './equipment.ts'
import { selectJudgedRedox } from './meaningQueries.ts'
import { selectProfileKeys } from './queries.ts'
import { snapshotsFor } from './snapshot.ts'

/** All that is known of these bodies and the code profiles that judge them: a fixed number of queries. */
export async function getSnapshots({ database: { pool }, now }: Deps, bodyIds: string[]): Promise<SnapshotsAnswer> {
  const at = now()
  const profileKeys = await selectProfileKeys(pool, bodyIds)
  const unknown = bodyIds.find((bodyId) => !profileKeys.has(bodyId))
  if (unknown) throw notFound('body of water', unknown)
  const [profiles, known] = await Promise.all([knownProfiles(pool), snapshotsFor(pool, bodyIds, at)])
  const equipment = await equipmentOf(pool, bodyIds)
  const judged = await selectJudgedRedox(pool, bodyIds)
  const snapshots = new Map(known.map(({ bodyId, snapshot }) => [bodyId, withJudged(snapshot, judged.get(bodyId))]))
  return {
    at: at.toISOString(),
    bodies: [...new Set(bodyIds)].map((bodyId) => ({
      bodyId,
      profileKey: profileKeys.get(bodyId) ?? '',
      snapshot: snapshots.get(bodyId) ?? null,
      equipment: snapshots.has(bodyId) ? (equipment.get(bodyId) ?? []) : [],
    })),
    profiles: [...new Set(profileKeys.values())].flatMap((key) => profiles.get(key)?.profile ?? []),
  }
}

const withJudged = (snapshot: Snapshot, redox: RedoxJudgement | undefined): Snapshot =>
  redox ? { ...snapshot, redox } : snapshot

import type { Overview } from '@sightglass/contract'
import type { Deps } from '../../platform/context.ts'
import { notFound } from '../../platform/problems.ts'
import { fullSnapshotOf, lastFindings } from '../assessment/index.ts'
import { knownProfiles } from '../profiles/index.ts'
import { lastReadings } from '../readings/index.ts'
import { selectPage } from './queries.ts'
import { drumStates, latestValues } from './show.ts'

const READINGS = 20
const IMPORTS = 5
const CLOSED_FINDINGS = 20

/** All that the page of one body shows: a fixed number of queries. */
export async function getOverview(deps: Deps, bodyId: string): Promise<Overview> {
  const { pool } = deps.database
  const page = await selectPage(pool, bodyId, IMPORTS, deps.now())
  if (!page) throw notFound('body of water', bodyId)
  const [profiles, findings, readings, known] = await Promise.all([
    knownProfiles(pool),
    lastFindings(deps, bodyId, CLOSED_FINDINGS),
    lastReadings(deps, bodyId, READINGS),
    fullSnapshotOf(deps, bodyId),
  ])
  const profile = profiles.get(page.facility.profileKey)?.profile
  return {
    ...page,
    profileName: profile?.name ?? page.facility.profileKey,
    assessedAt: page.assessedAt?.toISOString() ?? null,
    heardAt: page.heardAt?.toISOString() ?? null,
    findings: findings.filter(({ closedAt }) => closedAt === null),
    closedFindings: findings.filter(({ closedAt }) => closedAt !== null),
    latest: known && profile ? latestValues(known.snapshot, profile, deps.now()) : [],
    drums: known ? drumStates(known.snapshot, deps.now()) : [],
    readings,
  }
}

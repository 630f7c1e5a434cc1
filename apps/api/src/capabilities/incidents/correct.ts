import type { IncidentDetail, incidentCorrect } from '@sightglass/contract'
import type { z } from 'zod'
import type { Deps } from '../../platform/context.ts'
import { inTransaction } from '../../platform/database.ts'
import { conflict, idTaken, notFound } from '../../platform/problems.ts'
import { refuseUnlikelyTime } from '../../platform/times.ts'
import { assessTouched, markDue } from '../assessment/index.ts'
import { lockBody } from '../facilities/index.ts'
import { getIncident } from './list.ts'
import { sameVersion, versionOf } from './open.ts'
import { insertVersion, selectIncidents, selectVersions } from './queries.ts'

/** Puts a new version in the place of what was known; the old one is kept. The same correction again changes nothing. */
export async function correctIncident(
  deps: Deps,
  bodyId: string,
  incidentId: string,
  given: z.output<typeof incidentCorrect>,
): Promise<IncidentDetail> {
  const at = refuseUnlikelyTime(given.at, deps.now(), 'body.at')
  const version = versionOf(given.id, given, at, given.reason)
  const touched = await inTransaction(deps.database.pool, async (client) => {
    await lockBody(client, bodyId)
    const versions = await selectVersions(client, bodyId, incidentId)
    if (versions.length === 0) throw notFound('incident', incidentId)
    const there = versions.find(({ id }) => id === version.id)
    if (there) {
      if (!sameVersion(there, version)) throw idTaken()
      return []
    }
    const [incident] = await selectIncidents(client, { bodyId, incidentId }, { limit: 1, offset: 0 })
    if (incident?.closedAt)
      throw conflict(
        `${incident.closedBy} closed this incident at ${incident.closedAt.toISOString()}: it stays as it was closed. What happened beside it is an incident of its own.`,
      )
    const now = deps.now()
    await insertVersion(client, bodyId, incidentId, version, now)
    await markDue(client, [bodyId], now)
    return [bodyId]
  })
  await assessTouched(deps, touched)
  return getIncident(deps, bodyId, incidentId)
}

import { basisOf, contactTime, incidentWater, reopeningObstacles, responseSteps } from '@sightglass/chemistry'
import type { Incident, IncidentDetail } from '@sightglass/contract'
import type { Deps } from '../../platform/context.ts'
import { notFound } from '../../platform/problems.ts'
import { snapshotsFor } from '../assessment/index.ts'
import { knownProfiles } from '../profiles/index.ts'
import { countIncidents, type IncidentRow, selectIncidents, selectVersions, type Wanted } from './queries.ts'

type Bodies = Map<string, Awaited<ReturnType<typeof snapshotsFor>>[number]>

/** Incidents with their contact time: a fixed number of queries, however many there are. */
export async function listIncidents(deps: Deps, query: Wanted & { offset: number; limit: number }) {
  const { pool } = deps.database
  const { offset, limit, ...wanted } = query
  const [total, rows] = await Promise.all([
    countIncidents(pool, wanted),
    selectIncidents(pool, wanted, { offset, limit }),
  ])
  const now = deps.now()
  const open = rows.filter(({ closedAt }) => closedAt === null).map(({ bodyId }) => bodyId)
  const known = open.length > 0 ? await snapshotsFor(pool, [...new Set(open)], now) : []
  const bodies: Bodies = new Map(known.map((one) => [one.bodyId, one]))
  return { total, items: rows.map((row) => showIncident(row, bodies, now)) }
}

export async function getIncident(deps: Deps, bodyId: string, incidentId: string): Promise<IncidentDetail> {
  const { pool } = deps.database
  const [row] = await selectIncidents(pool, { bodyId, incidentId }, { limit: 1, offset: 0 })
  if (!row) throw notFound('incident', incidentId)
  const now = deps.now()
  const [versions, known, profiles] = await Promise.all([
    selectVersions(pool, bodyId, incidentId),
    row.closedAt ? [] : snapshotsFor(pool, [bodyId], now),
    knownProfiles(pool),
  ])
  const shown = showIncident(row, new Map(known.map((one) => [one.bodyId, one])), now)
  const [body] = known
  const facts = body?.snapshot.incidents.find(({ id }) => id === incidentId)
  const profile = body && profiles.get(body.profileKey)?.profile
  const obstacles =
    body && facts && shown.contact && profile
      ? reopeningObstacles(body.snapshot, profile, facts, shown.contact, +now)
      : []
  return {
    ...shown,
    versions: versions.map(({ at, replacedAt, createdAt, ...version }) => ({
      ...version,
      at: at.toISOString(),
      replacedAt: replacedAt?.toISOString() ?? null,
      createdAt: createdAt.toISOString(),
    })),
    basis: row.closing?.basis ?? (shown.contact?.protocol ? basisOf(shown.contact.protocol, row.instruction) : []),
    steps: facts && shown.contact ? responseSteps(facts, shown.contact, +now, obstacles) : [],
    obstacles,
  }
}

/** The contact time of an open incident is worked out anew; that of a closed one stays as it was when it was closed. */
function showIncident(row: IncidentRow, bodies: Bodies, now: Date): Incident {
  const { at, createdAt, closedAt, closedBy, closing, ...same } = row
  const snapshot = bodies.get(row.bodyId)?.snapshot
  const facts = snapshot?.incidents.find(({ id }) => id === row.id)
  const contact = snapshot && facts ? contactTime(facts, incidentWater(snapshot), +now) : null
  return {
    ...same,
    at: at.toISOString(),
    createdAt: createdAt.toISOString(),
    contact: closing?.contact ?? contact,
    closing: closing && closedAt && closedBy ? { ...closing, at: closedAt.toISOString(), person: closedBy } : null,
  }
}

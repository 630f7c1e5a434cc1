import { REOPENING_CHECKS } from '@sightglass/chemistry'
import type { TestReading } from '@sightglass/chemistry/plant'
import { endpoints } from '@sightglass/contract'
import type { FastifyInstance } from 'fastify'
import { idFor } from '../company/ids.ts'
import type { CompanyBody, CompanyFacility } from '../company/index.ts'
import { type DemoIncident, SCENARIOS, type Scenario } from '../scenarios/index.ts'
import { call } from './door.ts'

const MINUTE = 60_000

const incidentOf = ({ scenario }: CompanyBody): DemoIncident | undefined => (SCENARIOS[scenario] as Scenario).incident

export const incidentAtMs = ({ minutesAgo }: DemoIncident, nowMs: number) => nowMs - minutesAgo * MINUTE

/** What the technician tested since the incident of a body, if it had one. */
export function incidentTests(body: CompanyBody, nowMs: number): TestReading[] {
  const incident = incidentOf(body)
  if (!incident) return []
  return incident.tests.map(([minutes, freeChlorineMgL, ph, tempC], index) => ({
    atMs: incidentAtMs(incident, nowMs) + minutes * MINUTE,
    by: 'technician',
    values: {
      freeChlorineMgL,
      totalChlorineMgL: Math.round((freeChlorineMgL + 0.2) * 10) / 10,
      ph,
      tempC,
      ...(index === 0 && { cyanuricAcidMgL: 0 }),
    },
    displayPh: null,
    displayOrpMv: null,
  }))
}

/** Reports the incident of a body, if it had one, and closes it where it was closed. Its tests are stored before. */
export async function writeIncident(
  app: FastifyInstance,
  facility: CompanyFacility,
  body: CompanyBody,
  nowMs: number,
): Promise<void> {
  const incident = incidentOf(body)
  if (!incident) return
  const atMs = incidentAtMs(incident, nowMs)
  const id = idFor(atMs, `${body.seed}/incident`)
  const person = facility.staff[0] ?? facility.technician
  const { kind, note, closed } = incident
  await call(app, endpoints.openIncident, {
    body: { id, bodyId: body.id, kind, at: new Date(atMs).toISOString(), person, note },
  })
  if (!closed) return
  await call(app, endpoints.closeIncident, {
    params: { bodyId: body.id, incidentId: id },
    body: {
      at: new Date(atMs + closed.minutes * MINUTE).toISOString(),
      person: facility.technician,
      checks: [...REOPENING_CHECKS],
      note: closed.note,
    },
  })
}

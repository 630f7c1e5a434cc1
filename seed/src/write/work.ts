import type { PlantWork } from '@sightglass/chemistry/plant'
import { endpoints, type WorkCreate } from '@sightglass/contract'
import type { FastifyInstance } from 'fastify'
import { idFor } from '../company/ids.ts'
import type { CompanyBody, CompanyFacility } from '../company/index.ts'
import { call } from './door.ts'

/** What a technician did at the probes and the water, as the log of work has it. */
export const workOf = (facility: CompanyFacility, body: CompanyBody, { atMs, kind }: PlantWork): WorkCreate => ({
  id: idFor(atMs, `${body.seed}/work/${atMs}/${kind}`),
  bodyId: body.id,
  kind,
  at: new Date(atMs).toISOString(),
  person: facility.technician,
})

const SHEET = 100

/** Logs work a sheet at a time. */
export async function writeWork(app: FastifyInstance, work: readonly WorkCreate[]): Promise<void> {
  for (let from = 0; from < work.length; from += SHEET) {
    await call(app, endpoints.createWork, { body: { work: work.slice(from, from + SHEET) } })
  }
}

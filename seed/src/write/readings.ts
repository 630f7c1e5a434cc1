import { PARAMETERS } from '@sightglass/chemistry'
import type { DrumReading, TestReading } from '@sightglass/chemistry/plant'
import { endpoints, isUnusual, PARAMETER_RANGES, type ReadingCreate } from '@sightglass/contract'
import type { FastifyInstance } from 'fastify'
import { idFor } from '../company/ids.ts'
import type { CompanyBody, CompanyFacility } from '../company/index.ts'
import { call } from './door.ts'

/** A simulated test as the log sheet has it. */
export function readingOf(facility: CompanyFacility, body: CompanyBody, test: TestReading): ReadingCreate {
  const technician = test.by === 'technician'
  return {
    id: idFor(test.atMs, `${body.seed}/test/${test.atMs}/${test.by}`),
    bodyId: body.id,
    at: new Date(test.atMs).toISOString(),
    person: technician ? facility.technician : staffAt(facility, test.atMs),
    method: technician ? 'photometer' : 'dropTest',
    values: test.values,
    displayPh: test.displayPh,
    displayOrpMv: test.displayOrpMv,
    // the simulated hand means what it writes
    confirmed: PARAMETERS.filter((parameter) => {
      const value = test.values[parameter]
      return value !== undefined && isUnusual(PARAMETER_RANGES[parameter], value)
    }),
  }
}

/** Staff share the days. */
const staffAt = ({ staff }: CompanyFacility, atMs: number) =>
  staff[Math.floor(atMs / 86_400_000) % staff.length] as string

const SHEET = 500

/** Stores tests a sheet at a time. */
export async function writeReadings(app: FastifyInstance, readings: readonly ReadingCreate[]): Promise<void> {
  for (let from = 0; from < readings.length; from += SHEET) {
    await call(app, endpoints.createReadings, { body: { readings: readings.slice(from, from + SHEET) } })
  }
}

/** Records one drum's level. */
export async function writeLevel(
  app: FastifyInstance,
  facility: CompanyFacility,
  body: CompanyBody,
  { atMs, role, levelL, deliveredL }: DrumReading,
): Promise<void> {
  const drum = body.feeders.find((feeder) => feeder.role === role)?.drum
  if (!drum) return
  await call(app, endpoints.createDrumLevel, {
    params: { drumId: drum.id },
    body: {
      id: idFor(atMs, `${drum.id}/level/${atMs}`),
      at: new Date(atMs).toISOString(),
      levelL,
      deliveredL,
      person: facility.technician,
    },
  })
}

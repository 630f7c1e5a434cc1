import { endpoints } from '@sightglass/contract'
import type { FastifyInstance } from 'fastify'
import { idFor } from '../company/ids.ts'
import type { CompanyBody, CompanyFacility } from '../company/index.ts'
import { outOfUseFromMs, SCENARIOS, type Scenario } from '../scenarios/index.ts'
import { call } from './door.ts'

/** Takes the body out of use, if its scenario has it so. */
export async function writeOutOfUse(
  app: FastifyInstance,
  facility: CompanyFacility,
  body: CompanyBody,
  nowMs: number,
): Promise<void> {
  const scenario: Scenario = SCENARIOS[body.scenario]
  const fromMs = outOfUseFromMs(scenario, nowMs)
  if (!scenario.outOfUse || fromMs === null) return
  await call(app, endpoints.takeOutOfUse, {
    params: { bodyId: body.id },
    body: {
      id: idFor(fromMs, `${body.seed}/out of use`),
      from: new Date(fromMs).toISOString(),
      reason: scenario.outOfUse.reason,
      person: facility.staff[0] ?? facility.technician,
    },
  })
}

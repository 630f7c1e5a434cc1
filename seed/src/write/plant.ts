import type { FeederRole } from '@sightglass/chemistry'
import { endpoints } from '@sightglass/contract'
import type { FastifyInstance } from 'fastify'
import type { CompanyBody, CompanyFacility } from '../company/index.ts'
import { SCENARIOS } from '../scenarios/index.ts'
import { call } from './door.ts'

/** Creates a facility with all that stands there. */
export async function writeFacility(app: FastifyInstance, facility: CompanyFacility): Promise<void> {
  const { id, name, address, area, timeZone, profileKey, contact, kind, technician } = facility
  await call(app, endpoints.createFacility, {
    body: {
      id,
      name,
      address,
      area,
      timeZone,
      profileKey,
      contactName: contact.name,
      contactEmail: contact.email,
      contactPhone: contact.phone,
      note: `${kind[0]?.toUpperCase()}${kind.slice(1)}. Usual technician: ${technician}.`,
    },
  })
  for (const room of facility.rooms) {
    await call(app, endpoints.createEquipmentRoom, { body: { id: room.id, facilityId: id, name: room.name } })
  }
  for (const body of facility.bodies) await writeBody(app, id, body)
  for (const controller of facility.controllers) {
    const { id: controllerId, roomId, name: controllerName } = controller
    await call(app, endpoints.createController, {
      body: { id: controllerId, equipmentRoomId: roomId, name: controllerName },
    })
  }
  for (const body of facility.bodies) {
    for (const { id: channelId, controllerId, quantity } of body.channels) {
      await call(app, endpoints.createChannel, { body: { id: channelId, controllerId, bodyId: body.id, quantity } })
    }
  }
}

async function writeBody(app: FastifyInstance, facilityId: string, body: CompanyBody): Promise<void> {
  const { id, roomId, name, plant, scenario, feeders } = body
  await call(app, endpoints.createBody, {
    body: {
      id,
      facilityId,
      equipmentRoomId: roomId,
      name,
      useClass: plant.useClass,
      setting: plant.setting,
      sanitizerSystem: plant.sanitizerSystem,
      cyanuricAcidUsed: plant.target.cyanuricAcidMgL > 0,
      volumeL: plant.volumeL,
      surfaceM2: plant.surfaceM2,
      flowLMin: plant.flowLMin,
      note: scenario === 'healthy' ? '' : `Demo: ${SCENARIOS[scenario].story}`,
    },
  })
  for (const feeder of feeders) {
    const spec = plant.feeders.find(({ role }) => role === feeder.role)
    if (feeder.drum) await call(app, endpoints.createDrum, { body: { ...feeder.drum, equipmentRoomId: roomId } })
    await call(app, endpoints.createFeeder, {
      body: {
        id: feeder.id,
        bodyId: id,
        drumId: feeder.drum?.id ?? null,
        name: feeder.name,
        role: feeder.role,
        kind: spec?.kind ?? 'pump',
        rateLH: spec?.rateLH || null,
        ...settingsOf(feeder.role, plant),
      },
    })
  }
}

/** The simulated controller gives each feed one half of its cycle. */
function settingsOf(role: FeederRole, { controller, feeders }: CompanyBody['plant']) {
  if (!controller || feeders.some((feeder) => feeder.role === role && feeder.kind === 'saltGenerator')) return {}
  const { cycleMin, onShare, phBand, orpBandMv } = controller
  const onTimeMin = (onShare * cycleMin) / 2
  return { onTimeMin, waitMin: cycleMin - onTimeMin, band: role === 'ph' ? phBand : orpBandMv }
}

import { endpoints } from '@sightglass/contract'
import type { FastifyInstance } from 'fastify'
import type { Context } from '../../platform/context.ts'
import { serve } from '../../platform/serve.ts'
import { DEFAULT_PROFILE_KEY } from '../profiles/index.ts'
import { listLevels, recordLevel } from './levels.ts'
import { getPlant, listFacilities } from './list.ts'
import { create, edit, retire } from './write.ts'

export function registerFacilities(app: FastifyInstance, context: Context) {
  const tag = 'facilities'
  const on: typeof serve = (at, endpoint, handler) => serve(at, endpoint, handler, { tag })

  on(app, endpoints.listFacilities, ({ query }) => listFacilities(context, query))
  on(app, endpoints.getPlant, ({ params, query }) => getPlant(context, params.facilityId, query.retired))
  on(app, endpoints.createFacility, ({ body }) =>
    create(context, 'facility', { ...body, profileKey: body.profileKey ?? DEFAULT_PROFILE_KEY }),
  )
  on(app, endpoints.editFacility, ({ params, body }) => edit(context, 'facility', params.facilityId, body))
  on(app, endpoints.retireFacility, ({ params }) => retire(context, 'facility', params.facilityId))

  on(app, endpoints.createEquipmentRoom, ({ body }) => create(context, 'equipmentRoom', body))
  on(app, endpoints.editEquipmentRoom, ({ params, body }) =>
    edit(context, 'equipmentRoom', params.equipmentRoomId, body),
  )
  on(app, endpoints.retireEquipmentRoom, ({ params }) => retire(context, 'equipmentRoom', params.equipmentRoomId))

  on(app, endpoints.createBody, ({ body }) => create(context, 'body', body))
  on(app, endpoints.editBody, ({ params, body }) => edit(context, 'body', params.bodyId, body))
  on(app, endpoints.retireBody, ({ params }) => retire(context, 'body', params.bodyId))

  on(app, endpoints.createController, ({ body }) => create(context, 'controller', body))
  on(app, endpoints.editController, ({ params, body }) => edit(context, 'controller', params.controllerId, body))
  on(app, endpoints.retireController, ({ params }) => retire(context, 'controller', params.controllerId))

  on(app, endpoints.createChannel, ({ body }) => create(context, 'channel', body))
  on(app, endpoints.retireChannel, ({ params }) => retire(context, 'channel', params.channelId))

  on(app, endpoints.createDrum, ({ body }) => create(context, 'drum', body))
  on(app, endpoints.editDrum, ({ params, body }) => edit(context, 'drum', params.drumId, body))
  on(app, endpoints.retireDrum, ({ params }) => retire(context, 'drum', params.drumId))
  on(app, endpoints.createDrumLevel, ({ params, body }) => recordLevel(context, params.drumId, body))
  on(app, endpoints.listDrumLevels, ({ params, query }) => listLevels(context, params.drumId, query))

  on(app, endpoints.createFeeder, ({ body }) => create(context, 'feeder', body))
  on(app, endpoints.editFeeder, ({ params, body }) => edit(context, 'feeder', params.feederId, body))
  on(app, endpoints.retireFeeder, ({ params }) => retire(context, 'feeder', params.feederId))
}

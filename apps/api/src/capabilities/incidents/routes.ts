import { endpoints } from '@sightglass/contract'
import type { FastifyInstance } from 'fastify'
import type { Context } from '../../platform/context.ts'
import { serve } from '../../platform/serve.ts'
import { closeIncident } from './close.ts'
import { correctIncident } from './correct.ts'
import { getIncident, listIncidents } from './list.ts'
import { openIncident } from './open.ts'

export function registerIncidents(app: FastifyInstance, context: Context) {
  const tag = 'incidents'
  serve(app, endpoints.openIncident, ({ body }) => openIncident(context, body), { tag })
  serve(app, endpoints.listIncidents, ({ query }) => listIncidents(context, query), { tag })
  serve(app, endpoints.getIncident, ({ params }) => getIncident(context, params.bodyId, params.incidentId), { tag })
  serve(
    app,
    endpoints.correctIncident,
    ({ params, body }) => correctIncident(context, params.bodyId, params.incidentId, body),
    { tag },
  )
  serve(
    app,
    endpoints.closeIncident,
    ({ params, body }) => closeIncident(context, params.bodyId, params.incidentId, body),
    { tag },
  )
}

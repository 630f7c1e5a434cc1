import { endpoints } from '@sightglass/contract'
import type { FastifyInstance } from 'fastify'
import type { Context } from '../../platform/context.ts'
import { serve } from '../../platform/serve.ts'
import { correctReading } from './correct.ts'
import { getReading, listReadings } from './list.ts'
import { recordReadings } from './record.ts'

export function registerReadings(app: FastifyInstance, context: Context) {
  const tag = 'readings'
  serve(app, endpoints.createReadings, ({ body }) => recordReadings(context, body.readings), { tag })
  serve(app, endpoints.listReadings, ({ params, query }) => listReadings(context, params.bodyId, query), { tag })
  serve(app, endpoints.getReading, ({ params }) => getReading(context, params.bodyId, params.readingId), { tag })
  serve(
    app,
    endpoints.correctReading,
    ({ params, body }) => correctReading(context, params.bodyId, params.readingId, body),
    { tag },
  )
}

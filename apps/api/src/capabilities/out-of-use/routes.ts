import { endpoints } from '@sightglass/contract'
import type { FastifyInstance } from 'fastify'
import type { Context } from '../../platform/context.ts'
import { serve } from '../../platform/serve.ts'
import { putIntoUse } from './end.ts'
import { takeOutOfUse } from './take.ts'

export function registerOutOfUse(app: FastifyInstance, context: Context) {
  serve(app, endpoints.takeOutOfUse, ({ params, body }) => takeOutOfUse(context, params.bodyId, body))
  serve(app, endpoints.putIntoUse, ({ params, body }) => putIntoUse(context, params.bodyId, body))
}

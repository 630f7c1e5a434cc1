import { endpoints } from '@sightglass/contract'
import type { FastifyInstance } from 'fastify'
import type { Context } from '../../platform/context.ts'
import { serve } from '../../platform/serve.ts'
import { getOverview } from './get.ts'

export function registerOverview(app: FastifyInstance, context: Context) {
  serve(app, endpoints.getOverview, ({ params }) => getOverview(context, params.bodyId))
}

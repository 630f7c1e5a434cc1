import { endpoints } from '@sightglass/contract'
import type { FastifyInstance } from 'fastify'
import type { Context } from '../../platform/context.ts'
import { serve } from '../../platform/serve.ts'
import { getSnapshots } from './get.ts'
import { listFindings } from './list.ts'
import { getFeed, getRedox } from './meaning.ts'

export function registerAssessment(app: FastifyInstance, context: Context) {
  serve(app, endpoints.listFindings, ({ params, query }) => listFindings(context, params.bodyId, query))
  serve(app, endpoints.getRedox, ({ params }) => getRedox(context, params.bodyId))
  serve(app, endpoints.getFeed, ({ params }) => getFeed(context, params.bodyId))
  serve(app, endpoints.getSnapshots, ({ query }) => getSnapshots(context, query.bodyId))
}

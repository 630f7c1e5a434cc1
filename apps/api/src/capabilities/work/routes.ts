import { endpoints } from '@sightglass/contract'
import type { FastifyInstance } from 'fastify'
import type { Context } from '../../platform/context.ts'
import { serve } from '../../platform/serve.ts'
import { correctWork } from './correct.ts'
import { getWork, listWork } from './list.ts'
import { logWork } from './log.ts'

export function registerWork(app: FastifyInstance, context: Context) {
  const tag = 'work'
  serve(app, endpoints.createWork, ({ body }) => logWork(context, body.work), { tag })
  serve(app, endpoints.listWork, ({ params, query }) => listWork(context, params.bodyId, query), { tag })
  serve(app, endpoints.getWork, ({ params }) => getWork(context, params.bodyId, params.workId), { tag })
  serve(app, endpoints.correctWork, ({ params, body }) => correctWork(context, params.bodyId, params.workId, body), {
    tag,
  })
}

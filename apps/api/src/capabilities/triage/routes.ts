import { endpoints } from '@sightglass/contract'
import type { FastifyInstance } from 'fastify'
import type { Context } from '../../platform/context.ts'
import { serve } from '../../platform/serve.ts'
import { listTriage } from './list.ts'

export function registerTriage(app: FastifyInstance, context: Context) {
  serve(app, endpoints.getTriage, ({ query }) => listTriage(context, query))
}

import { endpoints } from '@sightglass/contract'
import type { FastifyInstance, FastifyRequest } from 'fastify'
import type { Context } from '../../platform/context.ts'
import { serve } from '../../platform/serve.ts'
import { createGateway, gatewayOf, listGateways, revokeGateway } from './gateways.ts'
import { pushSamples } from './push.ts'

export function registerSamples(app: FastifyInstance, context: Context) {
  const senders = new WeakMap<FastifyRequest, string>()

  serve(app, endpoints.pushSamples, ({ body, request }) => pushSamples(context, senders.get(request) as string, body), {
    // before the body is read: without a valid token nothing of it is looked at
    onRequest: async (request) => {
      senders.set(request, await gatewayOf(context, request.headers.authorization))
    },
  })
  serve(app, endpoints.listGateways, () => listGateways(context))
  serve(app, endpoints.createGateway, ({ body }) => createGateway(context, body))
  serve(app, endpoints.revokeGateway, ({ params }) => revokeGateway(context, params.gatewayId))
}

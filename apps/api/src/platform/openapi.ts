import swagger from '@fastify/swagger'
import swaggerUi from '@fastify/swagger-ui'
import { problem } from '@sightglass/contract'
import type { FastifyInstance } from 'fastify'
import { jsonSchemaTransform } from 'fastify-type-provider-zod'
import { z } from 'zod'

const PROBLEM = {
  description: 'Whatever went wrong',
  content: { 'application/problem+json': { schema: { $ref: '#/components/schemas/Problem' } } },
}

/** The OpenAPI document at /openapi.json and a page to read it at /docs. */
export async function registerOpenapi(app: FastifyInstance) {
  await app.register(swagger, {
    openapi: {
      openapi: '3.1.0',
      info: {
        title: 'Sightglass API',
        version: '0.1.0',
        description:
          'Quantities in mg/L, °C, mV, L, L/min; times ISO 8601. Every error is application/problem+json (RFC 9457).',
      },
      components: { schemas: { Problem: z.toJSONSchema(problem) as object } },
    },
    transform: (route) => {
      const { schema, url } = jsonSchemaTransform(route)
      const response = { ...(schema.response as object), default: PROBLEM }
      return { url, schema: schema.hide ? schema : { ...schema, response } }
    },
  })
  await app.register(swaggerUi, { routePrefix: '/docs' })
  app.get('/openapi.json', { schema: { hide: true } }, async () => app.swagger())
}

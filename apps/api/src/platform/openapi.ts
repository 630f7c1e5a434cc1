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

/** Sightglass's mark, as the web shows it. */
const MARK = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 24 24" height="40"><title>Sightglass</title><rect
 width="24" height="24" rx="4" fill="#fbfaf6"/><rect x="6" y="2" width="12" height="20" rx="6" fill="none" stroke="#0b5563"
 stroke-width="2"/><path d="M7 13c2.5-3 4-3 5 0s3 3 5 0v3a5 5 0 0 1-10 0Z" fill="#0b5563"/></svg>`

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
  await app.register(swaggerUi, {
    routePrefix: '/docs',
    logo: { type: 'image/svg+xml', content: Buffer.from(MARK), href: '/docs', target: '_self' },
    theme: { title: 'Sightglass API' },
  })
  app.get('/openapi.json', { schema: { hide: true } }, async () => app.swagger())
}

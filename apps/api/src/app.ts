import helmet from '@fastify/helmet'
import rateLimit from '@fastify/rate-limit'
import Fastify, { type FastifyInstance } from 'fastify'
import { serializerCompiler, validatorCompiler } from 'fastify-type-provider-zod'
import { uuidv7 } from 'uuidv7'
import { registerAssessment } from './capabilities/assessment/index.ts'
import { registerFacilities } from './capabilities/facilities/index.ts'
import { registerHealth } from './capabilities/health/index.ts'
import { registerImports } from './capabilities/imports/index.ts'
import { registerIncidents } from './capabilities/incidents/index.ts'
import { registerOutOfUse } from './capabilities/out-of-use/index.ts'
import { registerOverview } from './capabilities/overview/index.ts'
import { registerOwnProfiles } from './capabilities/own-profiles/index.ts'
import { registerProfiles } from './capabilities/profiles/index.ts'
import { registerReadings } from './capabilities/readings/index.ts'
import { registerSamples } from './capabilities/samples/index.ts'
import { registerTriage } from './capabilities/triage/index.ts'
import { registerWork } from './capabilities/work/index.ts'
import type { Config } from './config.ts'
import type { Context, Deps } from './platform/context.ts'
import { registerOpenapi } from './platform/openapi.ts'
import { refuseOtherSites } from './platform/origin.ts'
import { registerProblems } from './platform/problems.ts'

/** The only way to make the server. */
export async function buildApp(config: Config, deps: Deps): Promise<FastifyInstance> {
  const app: FastifyInstance = Fastify({
    loggerInstance: deps.logger,
    genReqId: () => uuidv7(),
    bodyLimit: 8 * 1024 * 1024,
    // A browser's upload of a large export through a slow line may take long; nothing else does.
    requestTimeout: 30 * 60 * 1000,
    forceCloseConnections: 'idle',
  })
  const context: Context = { config, ...deps }
  app.setValidatorCompiler(validatorCompiler)
  app.setSerializerCompiler(serializerCompiler)
  // Fastify takes text/plain too, which no endpoint understands
  app.removeContentTypeParser('text/plain')
  registerProblems(app)
  let closing = false
  app.addHook('preClose', async () => {
    closing = true
  })
  app.addHook('onSend', async (request, reply) => {
    reply.header('x-request-id', request.id)
    // a connection that is kept open for more would hold up the end
    if (closing) reply.header('connection', 'close')
  })
  refuseOtherSites(app)
  await app.register(helmet, { contentSecurityPolicy: false })
  await app.register(rateLimit, { max: config.requestsPerMinute, timeWindow: '1 minute' })
  await registerOpenapi(app)
  for (const register of [
    registerHealth,
    registerFacilities,
    registerProfiles,
    registerOwnProfiles,
    registerReadings,
    registerWork,
    registerIncidents,
    registerOutOfUse,
    registerSamples,
    registerImports,
    registerAssessment,
    registerTriage,
    registerOverview,
  ])
    await app.register(async (scope) => register(scope, context))
  return app
}

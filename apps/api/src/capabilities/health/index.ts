import { endpoints } from '@sightglass/contract'
import type { FastifyInstance } from 'fastify'
import type { Context } from '../../platform/context.ts'
import { isMigrated } from '../../platform/database.ts'
import { ProblemError } from '../../platform/problems.ts'
import { serve } from '../../platform/serve.ts'

// whoever watches over the process asks often
const options = { config: { rateLimit: false as const } }

export function registerHealth(app: FastifyInstance, { database }: Context) {
  serve(app, endpoints.getHealth, async () => ({ status: 'ok' as const }), options)
  serve(
    app,
    endpoints.getReady,
    async () => {
      if (!(await isMigrated(database.pool)))
        throw new ProblemError('unavailable', 'The database is not migrated yet: run the migrations.')
      return { status: 'ready' as const }
    },
    options,
  )
}

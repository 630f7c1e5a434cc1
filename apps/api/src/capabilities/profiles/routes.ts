import { endpoints } from '@sightglass/contract'
import type { FastifyInstance } from 'fastify'
import type { Context } from '../../platform/context.ts'
import { serve } from '../../platform/serve.ts'
import { getProfile, listProfiles } from './list.ts'

export function registerProfiles(app: FastifyInstance, context: Context) {
  serve(app, endpoints.listProfiles, () => listProfiles(context))
  serve(app, endpoints.getProfile, ({ params }) => getProfile(context, params.profileKey))
}

import { endpoints } from '@sightglass/contract'
import type { FastifyInstance } from 'fastify'
import type { Context } from '../../platform/context.ts'
import { serve } from '../../platform/serve.ts'
import { createProfile } from './create.ts'
import { editProfile } from './edit.ts'
import { previewProfile } from './preview.ts'
import { retireProfile } from './retire.ts'

export function registerOwnProfiles(app: FastifyInstance, context: Context) {
  serve(app, endpoints.createProfile, ({ body }) => createProfile(context, body))
  serve(app, endpoints.previewProfile, ({ body }) => previewProfile(context, body))
  serve(app, endpoints.editProfile, ({ params, body }) => editProfile(context, params.profileKey, body))
  serve(app, endpoints.retireProfile, ({ params, body }) => retireProfile(context, params.profileKey, body))
}

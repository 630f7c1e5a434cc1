import multipart from '@fastify/multipart'
import { endpoints } from '@sightglass/contract'
import type { FastifyInstance } from 'fastify'
import type { Context } from '../../platform/context.ts'
import { serve } from '../../platform/serve.ts'
import { ImportQueue } from './queue.ts'
import { rejectsCsv } from './rejects.ts'
import { listImports, listRejects, showDetail } from './show.ts'
import { uploadExport } from './upload.ts'
import { checkImport, detectAnew, discardImport, runImport } from './verbs.ts'

export async function registerImports(app: FastifyInstance, context: Context) {
  await app.register(multipart)
  const queue = new ImportQueue(context)
  app.addHook('onReady', () => queue.recover())
  app.addHook('onClose', () => queue.stop())

  serve(app, endpoints.listImports, ({ query }) => listImports(context, query))
  serve(app, endpoints.getImport, ({ params }) => showDetail(context, params.importId))
  serve(app, endpoints.uploadExport, ({ request }) => uploadExport(context, request))
  serve(app, endpoints.detectImport, ({ params, body }) => detectAnew(context, params.importId, body))
  serve(app, endpoints.checkImport, ({ params, body }) => checkImport(context, queue, params.importId, body))
  serve(app, endpoints.runImport, ({ params, body }) => runImport(context, queue, params.importId, body))
  serve(app, endpoints.discardImport, ({ params }) => discardImport(context, params.importId))
  serve(app, endpoints.listRejects, ({ params, query }) => listRejects(context, params.importId, query))

  // a stream to a file, not an answer of the contract's kind
  app.get<{ Params: { importId: string } }>(
    '/imports/:importId/rejects.csv',
    { schema: { hide: true, params: endpoints.listRejects.params } },
    async ({ params }, reply) => {
      const { name, content } = await rejectsCsv(context, params.importId)
      const ascii = name.normalize('NFKD').replace(/[^ -~]/g, '')
      reply.header(
        'content-disposition',
        `attachment; filename="${ascii}"; filename*=UTF-8''${encodeURIComponent(name)}`,
      )
      return reply.type('text/csv; charset=utf-8').send(content)
    },
  )
}

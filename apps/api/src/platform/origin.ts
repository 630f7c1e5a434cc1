import type { FastifyInstance } from 'fastify'
import { ProblemError } from './problems.ts'

const READS = ['GET', 'HEAD', 'OPTIONS']

/** Nobody signs in yet: a page of another site, open in the same browser, must not write here. Browsers say so by themselves
 *  (Fetch Metadata, W3C); programs that are no browser send no such header. */
export function refuseOtherSites(app: FastifyInstance) {
  app.addHook('onRequest', async ({ method, headers }) => {
    if (headers['sec-fetch-site'] === 'cross-site' && !READS.includes(method))
      throw new ProblemError('forbidden', 'A page of another site may not write here: open Sightglass itself.')
  })
}

import { createHash, randomBytes } from 'node:crypto'
import type { Gateway, gatewayCreate } from '@sightglass/contract'
import { uuidv7 } from 'uuidv7'
import type { z } from 'zod'
import type { Deps } from '../../platform/context.ts'
import { inTransaction } from '../../platform/database.ts'
import { conflict, invalid, notFound, ProblemError } from '../../platform/problems.ts'
import * as q from './gateway-queries.ts'

/** Shown in the answer to its creation and never again; only its hash is stored. */
const newToken = () => randomBytes(32).toString('base64url')
const hashOf = (token: string) => createHash('sha256').update(token).digest()

export async function createGateway(deps: Deps, given: z.output<typeof gatewayCreate>) {
  const token = newToken()
  const controllerIds = [...new Set(given.controllerIds.map((id) => id.toLowerCase()))]
  const id = uuidv7()
  const gateway = await inTransaction(deps.database.pool, async (client) => {
    const known = await q.selectControllers(client, controllerIds)
    refuseControllers(given.controllerIds, known)
    await q.insertGateway(client, { id, name: given.name, tokenHash: hashOf(token), at: deps.now() })
    await q.insertGatewayControllers(client, id, controllerIds)
    return q.selectGateway(client, id)
  })
  if (!gateway) throw notFound('gateway', id)
  return { ...showGateway(gateway), token }
}

function refuseControllers(given: readonly string[], known: readonly { id: string; retired: boolean }[]) {
  const retired = new Map(known.map((controller) => [controller.id, controller.retired]))
  const fields = (wanted: (id: string) => boolean, message: string) =>
    given.flatMap((id, index) => (wanted(id.toLowerCase()) ? [{ path: `body.controllerIds.${index}`, message }] : []))
  const unknown = fields((id) => !retired.has(id), 'There is no such controller.')
  if (unknown.length > 0) throw invalid('There is no such controller.', unknown)
  const gone = fields((id) => retired.get(id) === true, 'This controller is retired.')
  if (gone.length > 0) throw conflict('A controller of the gateway is retired.', gone)
}

export async function listGateways(deps: Deps) {
  const items = (await q.selectGateways(deps.database.pool)).map(showGateway)
  return { items, total: items.length }
}

/** A token that was revoked stays revoked: the first time counts. */
export async function revokeGateway(deps: Deps, gatewayId: string) {
  await q.revokeGateway(deps.database.pool, gatewayId, deps.now())
  const gateway = await q.selectGateway(deps.database.pool, gatewayId)
  if (!gateway) throw notFound('gateway', gatewayId)
  return showGateway(gateway)
}

/** @throws ProblemError `unauthorized` without a valid token of a gateway that is in use */
export async function gatewayOf(deps: Deps, authorization: string | undefined): Promise<string> {
  const token = authorization?.match(/^Bearer ([\w-]{20,200})$/i)?.[1]
  if (!token)
    throw new ProblemError(
      'unauthorized',
      'Send the gateway’s token as "Authorization: Bearer …"; its creation showed it.',
    )
  const gatewayId = await q.findGateway(deps.database.pool, hashOf(token), deps.now())
  if (!gatewayId) throw new ProblemError('unauthorized', 'No gateway in use has this token: it is wrong or revoked.')
  return gatewayId
}

const showGateway = ({ createdAt, lastUsedAt, revokedAt, ...rest }: q.GatewayRow): Gateway => ({
  ...rest,
  createdAt: createdAt.toISOString(),
  lastUsedAt: lastUsedAt?.toISOString() ?? null,
  revokedAt: revokedAt?.toISOString() ?? null,
})

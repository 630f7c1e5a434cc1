import type { Quantity } from '@sightglass/chemistry'
import type { Queryable } from '../../platform/database.ts'

export interface GatewayRow {
  id: string
  name: string
  controllerIds: string[]
  createdAt: Date
  lastUsedAt: Date | null
  revokedAt: Date | null
}

const SELECT = `
SELECT g.id, g.name, g.created_at AS "createdAt", g.last_used_at AS "lastUsedAt", g.revoked_at AS "revokedAt",
  coalesce((SELECT array_agg(c.controller_id ORDER BY c.controller_id) FROM gateway_controller c
    WHERE c.gateway_id = g.id), '{}') AS "controllerIds"
FROM gateway g`

export const selectGateways = async (client: Queryable) =>
  (await client.query<GatewayRow>(`${SELECT} ORDER BY g.revoked_at IS NOT NULL, lower(g.name), g.id`)).rows

export const selectGateway = async (client: Queryable, id: string) =>
  (await client.query<GatewayRow>(`${SELECT} WHERE g.id = $1`, [id])).rows[0]

export const selectControllers = async (client: Queryable, ids: readonly string[]) =>
  (
    await client.query<{ id: string; retired: boolean }>(
      'SELECT id, retired_at IS NOT NULL AS retired FROM controller WHERE id = ANY ($1) FOR SHARE',
      [ids],
    )
  ).rows

export const insertGateway = (
  client: Queryable,
  { id, name, tokenHash, at }: { id: string; name: string; tokenHash: Buffer; at: Date },
) =>
  client.query('INSERT INTO gateway (id, name, token_hash, created_at) VALUES ($1, $2, $3, $4)', [
    id,
    name,
    tokenHash,
    at,
  ])

export const insertGatewayControllers = (client: Queryable, gatewayId: string, controllerIds: readonly string[]) =>
  client.query('INSERT INTO gateway_controller (gateway_id, controller_id) SELECT $1, unnest($2::uuid[])', [
    gatewayId,
    controllerIds,
  ])

export const revokeGateway = (client: Queryable, id: string, at: Date) =>
  client.query('UPDATE gateway SET revoked_at = $2 WHERE id = $1 AND revoked_at IS NULL', [id, at])

/** The gateway with this token, noted as used. */
export async function findGateway(client: Queryable, tokenHash: Buffer, at: Date): Promise<string | undefined> {
  const { rows } = await client.query<{ id: string }>(
    'UPDATE gateway SET last_used_at = $2 WHERE token_hash = $1 AND revoked_at IS NULL RETURNING id',
    [tokenHash, at],
  )
  return rows[0]?.id
}

/** What a gateway may speak of: the channels in use of its controllers. */
export const selectGatewayChannels = async (client: Queryable, gatewayId: string, bodyIds: readonly string[]) =>
  (
    await client.query<{ bodyId: string; quantities: Quantity[] }>(
      `SELECT c.body_id AS "bodyId", array_agg(c.quantity) AS quantities
      FROM gateway_controller g
      JOIN channel c ON c.controller_id = g.controller_id AND c.retired_at IS NULL
      JOIN body b ON b.id = c.body_id AND b.retired_at IS NULL
      JOIN facility f ON f.id = b.facility_id AND f.retired_at IS NULL
      WHERE g.gateway_id = $1 AND c.body_id = ANY ($2) GROUP BY c.body_id`,
      [gatewayId, bodyIds],
    )
  ).rows

export const selectBatch = async (client: Queryable, id: string) =>
  (
    await client.query<{ gatewayId: string; content: Buffer; answer: unknown }>(
      'SELECT gateway_id AS "gatewayId", content, answer FROM push_batch WHERE id = $1',
      [id],
    )
  ).rows[0]

export const insertBatch = (
  client: Queryable,
  { id, gatewayId, content, answer, at }: { id: string; gatewayId: string; content: Buffer; answer: unknown; at: Date },
) =>
  client.query('INSERT INTO push_batch (id, gateway_id, received_at, content, answer) VALUES ($1, $2, $3, $4, $5)', [
    id,
    gatewayId,
    at,
    content,
    JSON.stringify(answer),
  ])

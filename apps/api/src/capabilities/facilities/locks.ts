import type { Queryable } from '../../platform/database.ts'

/** Holds the bodies until the transaction ends: what is sent twice at once is stored once, and nothing overlaps. Those there are. */
export const lockBodies = async (client: Queryable, bodyIds: readonly string[]) =>
  (
    await client.query<{ id: string; name: string; retired: boolean }>(
      'SELECT id, name, retired_at IS NOT NULL AS retired FROM body WHERE id = ANY ($1) ORDER BY id FOR NO KEY UPDATE',
      [bodyIds],
    )
  ).rows

export const lockBody = async (client: Queryable, bodyId: string) => (await lockBodies(client, [bodyId]))[0]

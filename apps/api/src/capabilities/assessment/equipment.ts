import type { Finding } from '@sightglass/chemistry'
import type { Queryable } from '../../platform/database.ts'
import { selectEquipment } from './queries.ts'
import { groupedBy } from './snapshot.ts'

/** What is open of feeders, flow, drums and probes of these bodies: it rests on weeks that a thin snapshot does not hold. */
export async function equipmentOf(client: Queryable, bodyIds: readonly string[]): Promise<Map<string, Finding[]>> {
  const groups = groupedBy(await selectEquipment(client, bodyIds))
  return new Map([...groups].map(([bodyId, rows]) => [bodyId, rows.map(({ found }) => found)]))
}

import { severityRank } from '@sightglass/chemistry'
import type { Queryable } from '../../platform/database.ts'
import { markStandings } from './queries.ts'

/** Names bodies that a write has touched, in that write's own transaction: they are due now, whatever happens next. */
export async function markDue(client: Queryable, bodyIds: readonly string[], at: Date): Promise<void> {
  if (bodyIds.length > 0) await markStandings(client, [...new Set(bodyIds)], at, severityRank('unheard'))
}

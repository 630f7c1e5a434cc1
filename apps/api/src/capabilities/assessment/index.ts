import type { FastifyInstance } from 'fastify'
import type { Context, Deps } from '../../app.ts'
import type { Queryable } from '../../platform/database.ts'

export function registerAssessment(_app: FastifyInstance, _context: Context) {}

/** Names bodies that a write has touched, in that write's own transaction: they are due now, whatever happens next. */
export async function markDue(_client: Queryable, _bodyIds: readonly string[], _at: Date): Promise<void> {}

/** Assesses these bodies anew, in sets. Returns how many. */
export async function assessBodies(_deps: Deps, _bodyIds: readonly string[]): Promise<number> {
  return 0
}

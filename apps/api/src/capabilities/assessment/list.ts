import { compareFindings } from '@sightglass/chemistry'
import type { StoredFinding } from '@sightglass/contract'
import type { Deps } from '../../platform/context.ts'
import { notFound } from '../../platform/problems.ts'
import { countFindings, type FindingRow, selectFindings, selectLastFindings } from './queries.ts'

const showFinding = ({ id, found, openedAt, seenAt, closedAt }: FindingRow): StoredFinding => ({
  ...found,
  id,
  openedAt: openedAt.toISOString(),
  seenAt: seenAt.toISOString(),
  closedAt: closedAt?.toISOString() ?? null,
})

export async function listFindings(
  { database: { pool } }: Deps,
  bodyId: string,
  page: { offset: number; limit: number },
) {
  const { there, total } = await countFindings(pool, bodyId)
  if (!there) throw notFound('body of water', bodyId)
  return { items: (await selectFindings(pool, bodyId, page)).map(showFinding), total }
}

/** The open findings, worst first, then the ones that closed last. */
export async function lastFindings({ database: { pool } }: Deps, bodyId: string, closed: number) {
  const rows = await selectLastFindings(pool, bodyId, closed)
  const open = rows.filter(({ closedAt }) => closedAt === null).sort((a, b) => compareFindings(a.found, b.found))
  return [...open, ...rows.filter(({ closedAt }) => closedAt !== null)].map(showFinding)
}

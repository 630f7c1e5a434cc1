import type { ImportDetail, ImportRecord } from '@sightglass/contract'
import type { Deps } from '../../platform/context.ts'
import { notFound } from '../../platform/problems.ts'
import * as q from './queries.ts'

const REJECTS_SHOWN = 20

/** How far the work of this process is, 0 to 1, by import. */
export const progressOf = new Map<string, number>()

export async function showDetail({ database }: Deps, importId: string): Promise<ImportDetail> {
  const row = await q.selectImport(database.pool, importId)
  if (!row) throw notFound('import', importId)
  const firstRejects = await q.selectRejects(database.pool, row.id, { limit: REJECTS_SHOWN, offset: 0 })
  return { ...showRecord(row), detection: row.detection, layout: row.layout, firstRejects }
}

export async function listImports(
  { database }: Deps,
  query: { facilityId?: string | undefined; limit: number; offset: number },
) {
  const { items, total } = await q.selectImports(database.pool, query)
  return { items: items.map(showRecord), total }
}

export async function listRejects({ database }: Deps, importId: string, page: { limit: number; offset: number }) {
  if (!(await q.selectImport(database.pool, importId))) throw notFound('import', importId)
  const [items, total] = await Promise.all([
    q.selectRejects(database.pool, importId, page),
    q.countRejects(database.pool, importId),
  ])
  return { items, total }
}

function showRecord({ createdAt, finishedAt, detection, layout, ...row }: q.ImportRow): ImportRecord {
  const working = row.state === 'checking' || row.state === 'running'
  return {
    ...row,
    progress: working ? (progressOf.get(row.id) ?? 0) : row.state === 'checked' || row.state === 'done' ? 1 : 0,
    createdAt: createdAt.toISOString(),
    finishedAt: finishedAt?.toISOString() ?? null,
  }
}

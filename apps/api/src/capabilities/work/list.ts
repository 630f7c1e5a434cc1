import type { Work } from '@sightglass/contract'
import type { Deps } from '../../platform/context.ts'
import { notFound } from '../../platform/problems.ts'
import { countWork, selectPage, selectVersions, type WorkRow } from './queries.ts'

export const showWork = ({ at, replacedAt, createdAt, ...work }: WorkRow): Work => ({
  ...work,
  at: at.toISOString(),
  replacedAt: replacedAt?.toISOString() ?? null,
  createdAt: createdAt.toISOString(),
})

export async function listWork(
  { database: { pool } }: Deps,
  bodyId: string,
  { replaced = false, ...page }: { offset: number; limit: number; replaced?: boolean | undefined },
) {
  const { there, total } = await countWork(pool, bodyId, replaced)
  if (!there) throw notFound('body of water', bodyId)
  return { items: (await selectPage(pool, bodyId, { replaced, ...page })).map(showWork), total }
}

export async function getWork({ database: { pool } }: Deps, bodyId: string, workId: string) {
  const versions = await selectVersions(pool, bodyId, workId)
  if (versions.length === 0) throw notFound('entry of work', workId)
  return { versions: versions.map(showWork) }
}

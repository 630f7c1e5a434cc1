import type { Deps } from '../../platform/context.ts'
import { notFound } from '../../platform/problems.ts'
import { countReadings, selectPage, selectVersions } from './queries.ts'
import { showReading } from './show.ts'

export async function listReadings(
  { database: { pool } }: Deps,
  bodyId: string,
  query: { offset: number; limit: number; replaced?: boolean | undefined },
) {
  const { replaced = false, ...page } = query
  const { there, total } = await countReadings(pool, bodyId, replaced)
  if (!there) throw notFound('body of water', bodyId)
  const items = await selectPage(pool, bodyId, { replaced, ...page })
  return { items: items.map(showReading), total }
}

export async function getReading({ database: { pool } }: Deps, bodyId: string, readingId: string) {
  const versions = await selectVersions(pool, bodyId, readingId)
  if (versions.length === 0) throw notFound('test', readingId)
  return { versions: versions.map(showReading) }
}

/** For pages that show the last few tests beside other things. */
export const lastReadings = async ({ database: { pool } }: Deps, bodyId: string, limit: number) =>
  (await selectPage(pool, bodyId, { replaced: false, limit, offset: 0 })).map(showReading)

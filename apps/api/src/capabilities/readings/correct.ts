import type { Reading, readingCorrect } from '@sightglass/contract'
import type { z } from 'zod'
import type { Deps } from '../../platform/context.ts'
import { inTransaction } from '../../platform/database.ts'
import { conflict, notFound } from '../../platform/problems.ts'
import { refuseUnlikelyTime } from '../../platform/times.ts'
import { assessTouched, markDue } from '../assessment/index.ts'
import { lockBodies } from '../facilities/index.ts'
import { refuseAny, sameReading, unusualValues } from './check.ts'
import {
  insertReadings,
  markReplaced,
  type NewReading,
  type ReadingRow,
  selectReadings,
  selectVersions,
} from './queries.ts'
import { showReading } from './show.ts'

type Given = z.output<typeof readingCorrect>

/** Puts a new version in the place of a test; the old one is kept. The same correction sent again changes nothing. */
export async function correctReading(deps: Deps, bodyId: string, readingId: string, given: Given): Promise<Reading> {
  const at = refuseUnlikelyTime(given.at, deps.now(), 'body.at')
  const version: NewReading = {
    id: given.id,
    bodyId,
    at,
    person: given.person,
    method: given.method,
    values: given.values,
    displayPh: given.displayPh ?? null,
    displayOrpMv: given.displayOrpMv ?? null,
    note: given.note ?? '',
    replacesId: readingId,
    reason: given.reason,
  }
  const { stored, touched } = await inTransaction(deps.database.pool, async (client) => {
    await lockBodies(client, [bodyId])
    const versions = await selectVersions(client, bodyId, readingId)
    const named = versions.find(({ id }) => id === version.replacesId)
    if (!named) throw notFound('test', readingId)
    const [there] = await selectReadings(client, [version])
    if (there) return { stored: sameOrRefuse(there, version), touched: [] }
    if (named.replacedAt) throw replaced(versions[0] ?? named)
    refuseAny('unusual', unusualValues(given.values, given.confirmed, 'body'))
    const now = deps.now()
    await markReplaced(client, bodyId, readingId, now)
    await insertReadings(client, [version], now)
    await markDue(client, [bodyId], now)
    return { stored: (await selectReadings(client, [version]))[0] ?? named, touched: [bodyId] }
  })
  await assessTouched(deps, touched)
  return showReading(stored)
}

function sameOrRefuse(there: ReadingRow, version: NewReading): ReadingRow {
  if (sameReading(there, version)) return there
  throw conflict('A test with this id is stored with other content: use a new id.', [
    { path: 'body.id', message: 'is taken' },
  ])
}

const replaced = (newest: ReadingRow) =>
  conflict(
    `This version was replaced by ${newest.person}. The newest version is ${newest.id}: correct that one instead.`,
    [{ path: 'params.readingId', message: `is not the newest version, ${newest.id} is` }],
  )

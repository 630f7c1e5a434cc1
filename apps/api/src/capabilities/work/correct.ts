import type { Work, workCorrect } from '@sightglass/contract'
import type { z } from 'zod'
import type { Deps } from '../../platform/context.ts'
import { inTransaction } from '../../platform/database.ts'
import { conflict, notFound } from '../../platform/problems.ts'
import { refuseUnlikelyTime } from '../../platform/times.ts'
import { assessTouched, markDue } from '../assessment/index.ts'
import { refuseAny, rowOf, sameWork, strangeFeeders, unusualSetPoints } from './check.ts'
import { showWork } from './list.ts'
import {
  insertWork,
  lockBodies,
  markReplaced,
  type NewWork,
  selectFedBodies,
  selectVersions,
  selectWork,
  type WorkRow,
} from './queries.ts'

type Given = z.output<typeof workCorrect>

/** Puts a new version in the place of an entry; the old one is kept. The same correction sent again changes nothing. */
export async function correctWork(deps: Deps, bodyId: string, workId: string, given: Given): Promise<Work> {
  const at = refuseUnlikelyTime(given.at, deps.now(), 'body.at')
  const { done, reason } = given
  const version: NewWork = { ...rowOf(bodyId, given, at), done, replacesId: workId, reason }
  const { stored, touched } = await inTransaction(deps.database.pool, async (client) => {
    await lockBodies(client, [bodyId])
    const versions = await selectVersions(client, bodyId, workId)
    const named = versions.find(({ id }) => id === workId)
    if (!named) throw notFound('entry of work', workId)
    const [there] = await selectWork(client, [version])
    if (there) return { stored: sameOrRefuse(there, version), touched: [] }
    if (named.replacedAt) throw replaced(versions[0] ?? named)
    const fed = await selectFedBodies(client, version.feederId ? [version.feederId] : [])
    refuseAny(
      'invalid',
      strangeFeeders([version], fed, () => 'body'),
    )
    refuseAny('unusual', unusualSetPoints(version, given.confirmed, 'body'))
    const now = deps.now()
    await markReplaced(client, bodyId, workId, now)
    await insertWork(client, [version], now)
    await markDue(client, [bodyId], now)
    return { stored: (await selectWork(client, [version]))[0] ?? named, touched: [bodyId] }
  })
  await assessTouched(deps, touched)
  return showWork(stored)
}

function sameOrRefuse(there: WorkRow, version: NewWork): WorkRow {
  if (sameWork(there, version)) return there
  throw conflict('Work with this id is stored with other content: use a new id.', [
    { path: 'body.id', message: 'is taken' },
  ])
}

const replaced = (newest: WorkRow) =>
  conflict(
    `This version was replaced by ${newest.person}. The newest version is ${newest.id}: correct that one instead.`,
    [{ path: 'params.workId', message: `is not the newest version, ${newest.id} is` }],
  )

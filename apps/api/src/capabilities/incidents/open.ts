import { isDeepStrictEqual } from 'node:util'
import type { IncidentDetail, incidentOpen } from '@sightglass/contract'
import type { z } from 'zod'
import type { Deps } from '../../platform/context.ts'
import { inTransaction } from '../../platform/database.ts'
import { conflictAt, idTaken, invalidAt } from '../../platform/problems.ts'
import { refuseUnlikelyTime } from '../../platform/times.ts'
import { assessTouched, markDue } from '../assessment/index.ts'
import { lockBody } from '../facilities/index.ts'
import { getIncident } from './list.ts'
import { insertIncident, insertVersion, type NewVersion, selectVersions } from './queries.ts'

/** Writes down an incident; the body is closed before this answers. The same again changes nothing. */
export async function openIncident(deps: Deps, given: z.output<typeof incidentOpen>): Promise<IncidentDetail> {
  const { id, bodyId } = given
  const version = versionOf(id, given, refuseUnlikelyTime(given.at, deps.now(), 'body.at'), null)
  const touched = await inTransaction(deps.database.pool, async (client) => {
    const body = await lockBody(client, bodyId)
    if (!body) throw unknownBody()
    const first = (await selectVersions(client, bodyId, id)).find((there) => there.id === id)
    if (first) {
      if (!sameVersion(first, version)) throw idTaken()
      return []
    }
    if (body.retired) throw retired()
    const now = deps.now()
    await insertIncident(client, bodyId, id, now)
    await insertVersion(client, bodyId, id, version, now)
    await markDue(client, [bodyId], now)
    return [bodyId]
  })
  await assessTouched(deps, touched)
  return getIncident(deps, bodyId, id)
}

type Said = Pick<z.output<typeof incidentOpen>, 'kind' | 'person' | 'note' | 'instruction'>
export const versionOf = (
  id: string,
  { kind, person, note, instruction }: Said,
  at: Date,
  reason: string | null,
): NewVersion => ({ id, kind, at, person, note: note ?? '', instruction: instruction ?? null, reason })

/** True when both say the same. */
export const sameVersion = (a: NewVersion, b: NewVersion) =>
  +a.at === +b.at &&
  a.kind === b.kind &&
  a.person === b.person &&
  a.note === b.note &&
  a.reason === b.reason &&
  isDeepStrictEqual(a.instruction, b.instruction)

const unknownBody = () => invalidAt('body.bodyId', 'There is no such body of water.')
const retired = () => conflictAt('body.bodyId', 'This body of water is retired: no more incidents are recorded for it.')

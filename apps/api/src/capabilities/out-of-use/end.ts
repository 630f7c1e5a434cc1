import type { OutOfUsePeriod, outOfUseEnd } from '@sightglass/contract'
import type { z } from 'zod'
import type { Deps } from '../../platform/context.ts'
import { inTransaction } from '../../platform/database.ts'
import { conflict, invalidAt, notFound } from '../../platform/problems.ts'
import { refuseUnlikelyTime } from '../../platform/times.ts'
import { assessTouched, markDue } from '../assessment/index.ts'
import { lockBody } from '../facilities/index.ts'
import { endPeriod, selectCurrent } from './queries.ts'
import { answerOf } from './take.ts'

/** Puts a body into use again; one that was only to be taken out later stays in use. */
export async function putIntoUse(
  deps: Deps,
  bodyId: string,
  given: z.output<typeof outOfUseEnd>,
): Promise<OutOfUsePeriod> {
  const now = deps.now()
  const at = refuseUnlikelyTime(given.at, now, 'body.at')
  const ended = await inTransaction(deps.database.pool, async (client) => {
    const body = await lockBody(client, bodyId)
    if (!body) throw notFound('body of water', bodyId)
    const period = await selectCurrent(client, bodyId, now)
    if (!period) throw conflict(`${body.name} is in use.`)
    const planned = period.from > now
    if (!planned && at < period.from) throw tooEarly(period.from)
    const to = planned ? period.from : at
    await endPeriod(client, bodyId, period.id, to, given.person)
    await markDue(client, [bodyId], now)
    return { ...period, to, endedBy: given.person }
  })
  await assessTouched(deps, [bodyId])
  return answerOf(ended)
}

const tooEarly = (from: Date) => invalidAt('body.at', `is before ${from.toISOString()}, from when it is out of use`)

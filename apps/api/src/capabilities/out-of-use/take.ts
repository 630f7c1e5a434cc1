import type { OutOfUsePeriod, outOfUseBegin } from '@sightglass/contract'
import type { z } from 'zod'
import type { Deps } from '../../platform/context.ts'
import { inTransaction } from '../../platform/database.ts'
import { conflict, conflictAt, idTaken, invalidAt, notFound } from '../../platform/problems.ts'
import { assessTouched, markDue } from '../assessment/index.ts'
import { lockBody } from '../facilities/index.ts'
import { insertPeriod, type PeriodRow, selectOverlap, selectPeriod } from './queries.ts'

const YEAR_MS = 366 * 86_400_000

/** Takes a body out of use, now or from a time ahead. The same again changes nothing. */
export async function takeOutOfUse(
  deps: Deps,
  bodyId: string,
  given: z.output<typeof outOfUseBegin>,
): Promise<OutOfUsePeriod> {
  const now = deps.now()
  const { id, reason, person } = given
  const from = withinAYear(given.from, now)
  const to = given.to ? new Date(given.to) : null
  const period: PeriodRow = { id, from, to, reason, person, endedBy: null }
  const stored = await inTransaction(deps.database.pool, async (client) => {
    const body = await lockBody(client, bodyId)
    if (!body) throw notFound('body of water', bodyId)
    const there = await selectPeriod(client, bodyId, id)
    if (there) {
      if (!samePeriod(there, period)) throw idTaken()
      return there
    }
    if (body.retired) throw conflict('This body of water is retired: it is no longer judged anyway.')
    const other = await selectOverlap(client, bodyId, from, to)
    if (other) throw conflictAt('body.from', `It is out of use already ${spanWords(other)}: ${other.reason}`)
    await insertPeriod(client, bodyId, period, now)
    await markDue(client, [bodyId], now)
    return period
  })
  await assessTouched(deps, [bodyId])
  return answerOf(stored)
}

function withinAYear(text: string, now: Date): Date {
  const at = new Date(text)
  if (Math.abs(+at - +now) > YEAR_MS) throw invalidAt('body.from', `${at.toISOString()} is more than a year away.`)
  return at
}

const samePeriod = (a: PeriodRow, b: PeriodRow) =>
  +a.from === +b.from &&
  a.reason === b.reason &&
  a.person === b.person &&
  (+(a.to ?? 0) === +(b.to ?? 0) || !!a.endedBy)

const spanWords = ({ from, to }: PeriodRow) =>
  to ? `from ${from.toISOString()} to ${to.toISOString()}` : `since ${from.toISOString()}`

export const answerOf = ({ from, to, ...rest }: PeriodRow): OutOfUsePeriod => ({
  ...rest,
  from: from.toISOString(),
  to: to?.toISOString() ?? null,
})

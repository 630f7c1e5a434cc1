import { bodyAsTested } from '@sightglass/chemistry'
import type pg from 'pg'
import type { Deps } from '../../platform/context.ts'
import { inTransaction } from '../../platform/database.ts'
import { pastFor } from './past.ts'
import { redoxRecordsFor } from './redox.ts'
import { type BodySnapshot, snapshotsWith } from './snapshot.ts'

/** Snapshots with the weeks before: what judgement needs, and what is too large to send to a browser. */
export async function fullSnapshotsFor(
  client: pg.ClientBase,
  bodyIds: readonly string[],
  now: Date,
): Promise<BodySnapshot[]> {
  // the day's hours are among those of the weeks
  const known = await snapshotsWith(new Map(), client, bodyIds, now)
  const past = await pastFor(
    client,
    known.map(({ bodyId }) => bodyId),
    now,
  )
  return known.map(({ snapshot, ...one }, place) => ({
    ...one,
    snapshot: {
      ...snapshot,
      controller: snapshot.controller && {
        ...snapshot.controller,
        hours: past.hours[place] ?? [],
        recent: past.recent[place] ?? [],
      },
      pastTests: past.tests[place] ?? [],
      feedWork: past.work[place] ?? [],
    },
  }))
}

/** One body so; undefined for one that is retired or not there. */
export const fullSnapshotOf = ({ database, now }: Deps, bodyId: string): Promise<BodySnapshot | undefined> =>
  inTransaction(database.pool, async (client) => (await fullSnapshotsFor(client, [bodyId], now()))[0])

/** Bodies with all that tells what ORP and pH mean, for those whose relation is to be fitted anew. */
export async function withRedox(client: pg.ClientBase, known: readonly BodySnapshot[], now: Date) {
  const records = await redoxRecordsFor(
    client,
    known.map(({ bodyId, snapshot }) => ({
      bodyId,
      oxidant: snapshot.body.sanitizerSystem === 'bromine' ? ('bromine' as const) : ('chlorine' as const),
      cyanuricAcidUsed: bodyAsTested(snapshot).cyanuricAcidUsed,
    })),
    now,
  )
  return known.flatMap((one, place) => {
    const record = records[place]
    return record ? [{ ...one, record }] : []
  })
}

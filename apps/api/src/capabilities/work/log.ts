import type { Problem, worksCreate } from '@sightglass/contract'
import type { z } from 'zod'
import type { Deps } from '../../platform/context.ts'
import { inTransaction } from '../../platform/database.ts'
import { unlikelyTime } from '../../platform/times.ts'
import { assessTouched, markDue } from '../assessment/index.ts'
import { refuseAny, rowOf, sameWork, strangeFeeders, unusualSetPoints } from './check.ts'
import { showWork } from './list.ts'
import { insertWork, lockBodies, type NewWork, selectFedBodies, selectWork, type WorkRow } from './queries.ts'

type Given = z.output<typeof worksCreate>['work'][number]
type Field = NonNullable<Problem['fields']>[number]
type Stored = ReadonlyMap<string, WorkRow>

/** Stores what was done, all or none. Work that is there already with the same content changes nothing. */
export async function logWork(deps: Deps, given: readonly Given[]) {
  refuseTimes(given, deps.now())
  refuseTwice(given)
  const rows = given.map((one) => rowOf(one.bodyId, one, new Date(one.at)))
  const { stored, fresh } = await inTransaction(deps.database.pool, async (client) => {
    const bodies = await lockBodies(client, bodyIdsOf(rows))
    const there: Stored = new Map((await selectWork(client, rows)).map((row) => [keyOf(row), row]))
    refuseBodies(rows, bodies, there)
    refuseOtherContent(rows, there)
    const fed = await selectFedBodies(client, feederIdsOf(rows))
    refuseAny('invalid', strangeFeeders(rows, fed, pathOf))
    refuseAny(
      'unusual',
      rows.flatMap((row, index) =>
        there.has(keyOf(row)) ? [] : unusualSetPoints(row, given[index]?.confirmed ?? [], pathOf(index)),
      ),
    )
    const fresh = rows.filter((row) => !there.has(keyOf(row)))
    await insertWork(client, fresh, deps.now())
    await markDue(client, bodyIdsOf(fresh), deps.now())
    return { stored: await selectWork(client, rows), fresh }
  })
  await assessTouched(deps, bodyIdsOf(fresh))
  const byKey = new Map(stored.map((row) => [keyOf(row), row]))
  const work = rows.flatMap((row) => byKey.get(keyOf(row)) ?? []).map(showWork)
  return { work, repeated: rows.length - fresh.length }
}

const pathOf = (index: number) => `body.work.${index}`
const keyOf = ({ bodyId, id }: { bodyId: string; id: string }) => `${bodyId} ${id}`
const bodyIdsOf = (rows: readonly { bodyId: string }[]) => [...new Set(rows.map(({ bodyId }) => bodyId))]
const feederIdsOf = (rows: readonly NewWork[]) => [...new Set(rows.flatMap(({ feederId }) => feederId ?? []))]

function refuseTimes(given: readonly Given[], now: Date) {
  refuseAny(
    'invalid',
    given.flatMap(({ at }, index): Field[] => {
      const message = unlikelyTime(new Date(at), now)
      return message ? [{ path: `${pathOf(index)}.at`, message }] : []
    }),
  )
}

function refuseTwice(given: readonly Given[]) {
  const first = new Map<string, number>()
  refuseAny(
    'invalid',
    given.flatMap(({ id }, index): Field[] => {
      const before = first.get(id)
      if (before === undefined) first.set(id, index)
      return before === undefined ? [] : [{ path: `${pathOf(index)}.id`, message: `is the id of row ${before} too` }]
    }),
  )
}

function refuseBodies(rows: readonly NewWork[], bodies: readonly { id: string; retired: boolean }[], there: Stored) {
  const known = new Map(bodies.map(({ id, retired }) => [id, retired]))
  const where = (wanted: (row: NewWork) => boolean, message: string) =>
    rows.flatMap((row, index): Field[] => (wanted(row) ? [{ path: `${pathOf(index)}.bodyId`, message }] : []))
  refuseAny(
    'invalid',
    where(({ bodyId }) => !known.has(bodyId), 'There is no such body of water.'),
  )
  refuseAny(
    'conflict',
    where(
      (row) => known.get(row.bodyId) === true && !there.has(keyOf(row)),
      'This body of water is retired: no more work is logged for it.',
    ),
  )
}

function refuseOtherContent(rows: readonly NewWork[], there: Stored) {
  const message = 'Work with this id is stored with other content: correct it instead, or use a new id.'
  refuseAny(
    'conflict',
    rows.flatMap((row, index): Field[] => {
      const stored = there.get(keyOf(row))
      return stored && !sameWork(stored, row) ? [{ path: `${pathOf(index)}.id`, message }] : []
    }),
  )
}

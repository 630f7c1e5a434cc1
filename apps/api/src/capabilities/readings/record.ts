import type { Problem, readingsCreate } from '@sightglass/contract'
import type { z } from 'zod'
import type { Deps } from '../../platform/context.ts'
import { inTransaction } from '../../platform/database.ts'
import { unlikelyTime } from '../../platform/times.ts'
import { assessTouched, markDue } from '../assessment/index.ts'
import { lockBodies } from '../facilities/index.ts'
import { refuseAny, sameReading, unusualValues } from './check.ts'
import { insertReadings, type NewReading, type ReadingRow, selectReadings } from './queries.ts'
import { showReading } from './show.ts'

type Given = z.output<typeof readingsCreate>['readings'][number]
type Field = NonNullable<Problem['fields']>[number]

/** Stores manual tests, all or none. Tests that are there already with the same content change nothing. */
export async function recordReadings(deps: Deps, given: readonly Given[]) {
  refuseTimes(given, deps.now())
  refuseTwice(given)
  const rows = given.map(rowOf)
  const { stored, fresh } = await inTransaction(deps.database.pool, async (client) => {
    const bodies = await lockBodies(client, bodyIdsOf(rows))
    const there = new Map((await selectReadings(client, rows)).map((row) => [keyOf(row), row]))
    refuseBodies(rows, bodies, there)
    refuseOtherContent(rows, there)
    const fresh = rows.filter((row) => !there.has(keyOf(row)))
    refuseAny(
      'unusual',
      given.flatMap(({ id, bodyId, values, confirmed }, index) =>
        there.has(keyOf({ bodyId, id })) ? [] : unusualValues(values, confirmed, pathOf(index)),
      ),
    )
    await insertReadings(client, fresh, deps.now())
    await markDue(client, bodyIdsOf(fresh), deps.now())
    return { stored: await selectReadings(client, rows), fresh }
  })
  await assessTouched(deps, bodyIdsOf(fresh))
  const byKey = new Map(stored.map((row) => [keyOf(row), row]))
  const readings = rows.flatMap((row) => byKey.get(keyOf(row)) ?? []).map(showReading)
  return { readings, repeated: rows.length - fresh.length }
}

const pathOf = (index: number) => `body.readings.${index}`
const keyOf = ({ bodyId, id }: { bodyId: string; id: string }) => `${bodyId} ${id}`
const bodyIdsOf = (rows: readonly { bodyId: string }[]) => [...new Set(rows.map(({ bodyId }) => bodyId))]

const rowOf = ({ id, bodyId, at, person, method, values, ...optional }: Given): NewReading => ({
  id,
  bodyId,
  at: new Date(at),
  person,
  method,
  values,
  displayPh: optional.displayPh ?? null,
  displayOrpMv: optional.displayOrpMv ?? null,
  note: optional.note ?? '',
  replacesId: null,
  reason: null,
})

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

function refuseBodies(
  rows: readonly NewReading[],
  bodies: readonly { id: string; retired: boolean }[],
  there: ReadonlyMap<string, ReadingRow>,
) {
  const known = new Map(bodies.map(({ id, retired }) => [id, retired]))
  const where = (wanted: (row: NewReading) => boolean, message: string) =>
    rows.flatMap((row, index): Field[] => (wanted(row) ? [{ path: `${pathOf(index)}.bodyId`, message }] : []))
  refuseAny(
    'invalid',
    where(({ bodyId }) => !known.has(bodyId), 'There is no such body of water.'),
  )
  refuseAny(
    'conflict',
    where(
      (row) => known.get(row.bodyId) === true && !there.has(keyOf(row)),
      'This body of water is retired: no more tests are recorded for it.',
    ),
  )
}

function refuseOtherContent(rows: readonly NewReading[], there: ReadonlyMap<string, ReadingRow>) {
  const message = 'A test with this id is stored with other content: correct it instead, or use a new id.'
  refuseAny(
    'conflict',
    rows.flatMap((row, index): Field[] => {
      const stored = there.get(keyOf(row))
      return stored && !sameReading(stored, row) ? [{ path: `${pathOf(index)}.id`, message }] : []
    }),
  )
}

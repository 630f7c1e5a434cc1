// 8,000 bodies from the database and back: snapshots with three weeks of the roll-up, judgement, findings, standings.
import pino from 'pino'
import { assessBodies, openDatabase } from '../../apps/api/src/index.ts'
import { fillCompany, LARGE } from './company.ts'
import { median, timed } from './measure.ts'

const ROUNDS = 2
/** What judgement looks back on. */
const DAYS = 22
const TARGET_MS = 60_000

export async function benchAssess({ databaseUrl }: { databaseUrl: string }) {
  const now = new Date()
  const database = openDatabase(databaseUrl, 10, () => undefined)
  const deps = { database, logger: pino({ level: 'error' }), now: () => now }
  try {
    await fillCompany(database.pool, { ...LARGE, days: DAYS }, now)
    const { rows } = await database.pool.query<{ id: string }>('SELECT id FROM body')
    const ids = rows.map(({ id }) => id)
    const first = await timed(() => assessBodies(deps, ids))
    const again: number[] = []
    for (let round = 0; round < ROUNDS; round++) again.push(await timed(() => assessBodies(deps, ids)))
    return [
      ['for the first time, every finding opens', first] as const,
      ['again, every finding is seen again', median(again)] as const,
    ].map(([what, ms]) => ({
      what: `assessing ${ids.length} bodies ${what}`,
      ms,
      bodiesPerSecond: (ids.length / ms) * 1000,
      target: '< 60 s',
      reached: ms < TARGET_MS,
    }))
  } finally {
    await database.close()
  }
}

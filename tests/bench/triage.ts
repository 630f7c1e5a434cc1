// The morning list with 8,000 bodies: the API's answer against its bare SQL, in one run.
import { triageQuery } from '@sightglass/contract'
import pg from 'pg'
import pino from 'pino'
import { triageSql, triageValues } from '../../apps/api/src/capabilities/triage/queries.ts'
import { assessBodies, buildApp, openDatabase, readConfig } from '../../apps/api/src/index.ts'
import { containsPattern } from '../../apps/api/src/platform/search.ts'
import { fillCompany, LARGE } from './company.ts'
import { medians } from './measure.ts'

const ROUNDS = 25
const LISTS = {
  'first page, worst first': '',
  'by facility': 'byFacility=true',
  'filters and search': 'severity=close,act&sanitizerSystem=hypochlorite&q=facility%201',
  'last page by days left': 'sort=daysLeft&offset=7900',
}

export async function benchTriage({ databaseUrl }: { databaseUrl: string }) {
  const now = new Date()
  const database = openDatabase(databaseUrl, 10, () => undefined)
  const logger = pino({ level: 'silent' })
  const deps = { database, logger, now: () => now }
  const app = await buildApp(
    readConfig({ DATABASE_URL: databaseUrl, ASSESS_EVERY_S: '0', REQUESTS_PER_MINUTE: '1000000' }),
    deps,
  )
  const client = new pg.Client({ connectionString: databaseUrl, options: '-c timezone=UTC' })
  try {
    await fillCompany(database.pool, LARGE, now)
    const { rows: bodies } = await database.pool.query<{ id: string }>('SELECT id FROM body')
    await assessBodies(
      deps,
      bodies.map(({ id }) => id),
    )
    await database.pool.query('VACUUM ANALYZE standing')
    await client.connect()
    const address = await app.listen({ host: '127.0.0.1', port: 0 })
    const results = []
    for (const [list, query] of Object.entries(LISTS)) {
      const filter = filterOf(query, now)
      const answer = await medians(ROUNDS, {
        sql: () => client.query(triageSql(filter), triageValues(filter)),
        api: async () => {
          const response = await fetch(`${address}/triage?${query}`)
          if (!response.ok) throw new Error(`the list answered ${response.status}: ${await response.text()}`)
          await response.text()
        },
      })
      results.push({
        what: `triage of ${LARGE.bodies} bodies, ${list}`,
        ms: answer.api,
        bareSqlMs: answer.sql,
        ratio: answer.api / answer.sql,
        target: 'ratio ≤ 1.5, < 100 ms',
        reached: answer.api / answer.sql <= 1.5 && answer.api < 100,
      })
    }
    return results
  } finally {
    await client.end()
    await app.close()
    await database.close()
  }
}

/** The same query string as the API reads it. */
function filterOf(query: string, at: Date) {
  const { q, ...filter } = triageQuery.parse(Object.fromEntries(new URLSearchParams(query)))
  return { ...filter, pattern: containsPattern(q), at }
}

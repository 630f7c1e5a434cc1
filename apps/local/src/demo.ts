import pg from 'pg'
import { Problem } from './problem.ts'
import { repository } from './settings.ts'

export type DemoState = 'empty' | 'half' | 'used'

// Kept as the comment of a table, so that it travels with the data that it speaks of.
const MARK = 'demo is being written'

/** Whether the demo may be written: only into a database without a facility. `half` was interrupted. */
export async function demoState(url: string): Promise<DemoState> {
  return withClient(url, async (client) => {
    const { rows } = await client.query(
      `select obj_description('facility'::regclass) is not distinct from $1 as half,
              exists (select from facility) as used`,
      [MARK],
    )
    return rows[0].half ? 'half' : rows[0].used ? 'used' : 'empty'
  })
}

/** Writes the demo company. The first facility decides whether it is there, so a half-written one is marked until it is whole. */
export async function writeDemo(url: string, onProgress: (part: number, doing: string) => void): Promise<void> {
  await withClient(url, (client) => client.query(`comment on table facility is '${MARK}'`))
  const { seedDemo } = await import('@sightglass/seed')
  await seedDemo({ databaseUrl: url, onProgress })
  await withClient(url, (client) => client.query('comment on table facility is null'))
}

/** Empties our own PostgreSQL of a half-written demo. Nothing else can be in it: the API had not been started. */
export async function emptyDatabase(url: string): Promise<void> {
  const admin = new URL(url)
  const database = admin.pathname.slice(1)
  admin.pathname = '/postgres'
  await withClient(admin.href, async (client) => {
    await client.query(`drop database ${client.escapeIdentifier(database)} with (force)`)
    await client.query(`create database ${client.escapeIdentifier(database)}`)
  })
}

export const halfWritten = () =>
  new Problem(
    'The database of DATABASE_URL holds part of the demo: its writing was interrupted.',
    'To write it again, empty the database (drop schema public cascade; create schema public) and start again.\n' +
      `To keep it as it is: SIGHTGLASS_DEMO=off npm start (in ${repository}).`,
  )

async function withClient<T>(url: string, work: (client: pg.Client) => Promise<T>): Promise<T> {
  const client = new pg.Client({ connectionString: url })
  client.on('error', () => undefined)
  await client.connect()
  try {
    return await work(client)
  } finally {
    await client.end()
  }
}

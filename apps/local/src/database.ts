import pg from 'pg'
import { type Postgres, startPostgres } from './postgres.ts'
import { codeOf, messageOf, Problem } from './problem.ts'
import type { Settings } from './settings.ts'

export interface OpenDatabase {
  url: string
  description: string
  /** Set when PostgreSQL was started here. */
  own?: Postgres
}

export async function openDatabase({ databaseUrl, dataFolder }: Settings): Promise<OpenDatabase> {
  if (databaseUrl) return { url: databaseUrl, description: await checkExternal(databaseUrl) }
  const own = await startPostgres(dataFolder)
  return { url: own.url, own, description: `${own.version} on 127.0.0.1:${own.port}, data in ${dataFolder}` }
}

const OLDEST = 15

/** What stands at an address of the user's, or a Problem that says how to mend it. */
export async function checkExternal(url: string, oldest = OLDEST): Promise<string> {
  const client = new pg.Client({ connectionString: url, connectionTimeoutMillis: 10_000 })
  client.on('error', () => undefined)
  const { host, pathname } = new URL(url)
  try {
    await client.connect()
    const { rows } = await client.query(`select current_setting('server_version_num')::int as number`)
    const major = Math.floor(rows[0].number / 10_000)
    if (major >= oldest) return `${major} at ${host}${pathname} (DATABASE_URL)`
    throw new Problem(
      `The database at ${host} is PostgreSQL ${major}; Sightglass needs ${oldest} or newer.`,
      'Point DATABASE_URL at a newer server, or leave it out, and PostgreSQL 18 is started here.',
    )
  } catch (error) {
    if (error instanceof Problem) throw error
    throw unreachable(error, host, pathname.slice(1))
  } finally {
    await client.end().catch(() => undefined)
  }
}

const ways: Record<string, string> = {
  ECONNREFUSED: 'Nothing listens there: start that PostgreSQL, or mend host and port.',
  ENOTFOUND: 'There is no host of that name: mend it.',
  EAI_AGAIN: 'The name could not be looked up: mend the host or the network.',
  '28P01': 'User or password is wrong: mend them (special characters in a password are percent-encoded).',
  '28000': 'The server does not let this user in from here: see pg_hba.conf of that server.',
  '3D000': 'There is no database of that name: make it with createdb, or mend the name.',
  '53300': 'The server has no connection left: raise max_connections there or close other programs.',
  '57P03': 'The server is starting or stopping: try again in a moment.',
}

function unreachable(cause: unknown, host: string, database: string): Problem {
  const code = codeOf(cause) ?? (cause as AggregateError).errors?.[0]?.code
  return new Problem(
    `DATABASE_URL is set, but the database "${database}" at ${host} cannot be used: ${messageOf(cause) || code}`,
    `${ways[code ?? ''] ?? 'Check that it runs, that it can be reached from here, and its firewall.'}\n` +
      'Or leave DATABASE_URL out, and PostgreSQL is started here.',
    { cause },
  )
}

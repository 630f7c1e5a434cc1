// One PostgreSQL for a whole vitest run, with a migrated template that every suite copies (see database.ts).
import pg from 'pg'
import type { TestProject } from 'vitest/node'
import { migrate } from '../../apps/local/src/migrate.ts'
import { startTemporaryPostgres } from '../../apps/local/src/postgres.ts'

declare module 'vitest' {
  interface ProvidedContext {
    postgresUrl: string
    templateDatabase: string
  }
}

const needPostgres = new Set(['api', 'journeys', 'scale', 'local', 'seed'])

export default async function setup(project: TestProject) {
  if (!project.vitest.projects.some(({ name }) => needPostgres.has(name))) return
  const external = process.env.TEST_DATABASE_URL
  const own = external ? undefined : await startTemporaryPostgres()
  const url = external ?? (own?.url as string)
  const template = `sightglass_template_${process.pid}`
  try {
    await inServer(url, `create database ${template}`)
    await migrate(withDatabase(url, template))
  } catch (error) {
    await own?.stop()
    throw error
  }
  project.provide('postgresUrl', url)
  project.provide('templateDatabase', template)
  return async () => {
    if (own) await own.stop()
    else await inServer(url, `drop database if exists ${template} with (force)`)
  }
}

async function inServer(url: string, sql: string) {
  const client = new pg.Client({ connectionString: url })
  await client.connect()
  try {
    await client.query(sql)
  } finally {
    await client.end()
  }
}

function withDatabase(url: string, database: string) {
  const address = new URL(url)
  address.pathname = `/${database}`
  return address.href
}

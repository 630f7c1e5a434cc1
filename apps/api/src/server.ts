import { setTimeout as sleep } from 'node:timers/promises'
import type { FastifyInstance } from 'fastify'
import { buildApp } from './app.ts'
import { readConfig } from './config.ts'
import { startSchedule } from './jobs/schedule.ts'
import type { Context } from './platform/context.ts'
import { isMigrated, openDatabase } from './platform/database.ts'
import { makeLogger } from './platform/logger.ts'

const config = readConfig(process.env)
const logger = makeLogger(config.logLevel)
const database = openDatabase(config.databaseUrl, config.databasePool, (error) =>
  logger.warn({ err: error }, 'the database dropped an idle connection'),
)
const context: Context = { config, database, logger, now: () => new Date() }
let stopping = false
let stopSchedule = async () => {}
let app: FastifyInstance | undefined

/** What is under way is finished, nothing new is begun; then the database is let go. */
async function stop(signal: string) {
  if (stopping) return
  stopping = true
  logger.info({ signal }, 'stopping: requests under way are finished first')
  await Promise.all([stopSchedule(), app?.close()])
  await database.close()
  logger.info('stopped')
}
for (const signal of ['SIGINT', 'SIGTERM'] as const) process.on(signal, () => void stop(signal))

try {
  await waitForDatabase()
  if (!stopping) {
    app = await buildApp(config, context)
    // Fastify logs the address once it listens; whoever starts the process can wait for that line or for /ready
    await app.listen({ host: config.host, port: config.port })
    if (!stopping) stopSchedule = startSchedule(context)
  }
} catch (error) {
  const busy = (error as NodeJS.ErrnoException).code === 'EADDRINUSE'
  logger.fatal(
    busy ? { port: config.port } : { err: error },
    busy ? 'the port is in use: set PORT to another' : 'cannot start',
  )
  await database.close()
  process.exitCode = 1
}

/** PostgreSQL may be starting beside this process, or be migrated by another one. */
async function waitForDatabase() {
  for (let said = ''; !stopping; await sleep(500)) {
    const lack = await isMigrated(database.pool).then(
      (migrated) => (migrated ? '' : 'the database is not migrated yet: waiting for the migrations'),
      (error: Error) => `the database does not answer (${error.message || 'no connection'}): waiting for it`,
    )
    if (!lack) return
    if (lack !== said) logger.warn(lack)
    said = lack
  }
}

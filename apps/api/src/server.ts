import { buildApp, type Context } from './app.ts'
import { readConfig } from './config.ts'
import { startSchedule } from './jobs/schedule.ts'
import { openDatabase } from './platform/database.ts'
import { makeLogger } from './platform/logger.ts'

const config = readConfig(process.env)
const logger = makeLogger(config.logLevel)
const database = openDatabase(config.databaseUrl, config.databasePool, (error) =>
  logger.warn({ err: error }, 'the database dropped an idle connection'),
)
const context: Context = { config, database, logger, now: () => new Date() }
const app = await buildApp(config, context)
let stopSchedule = async () => {}

/** What is under way is finished, nothing new is begun; then the database is let go. */
let stopping = false
async function stop(signal: string) {
  if (stopping) return
  stopping = true
  logger.info({ signal }, 'stopping: requests under way are finished first')
  await Promise.all([stopSchedule(), app.close()])
  await database.close()
  logger.info('stopped')
}
for (const signal of ['SIGINT', 'SIGTERM'] as const) process.on(signal, () => void stop(signal))

try {
  // Fastify logs the address once it listens; whoever starts the process can wait for that line or for /ready
  await app.listen({ host: config.host, port: config.port })
  if (!stopping) stopSchedule = startSchedule(context)
} catch (error) {
  const busy = (error as NodeJS.ErrnoException).code === 'EADDRINUSE'
  logger.fatal(
    busy ? { port: config.port } : { err: error },
    busy ? 'the port is in use: set PORT to another' : 'cannot listen',
  )
  await database.close()
  process.exitCode = 1
}

import pino from 'pino'
import { buildApp } from './app.ts'
import { readConfig } from './config.ts'
import { startSchedule } from './jobs/schedule.ts'
import { openDatabase } from './platform/database.ts'

const config = readConfig(process.env)
const logger = pino({ level: config.logLevel, redact: ['req.headers.authorization', 'req.headers.cookie'] })
const database = openDatabase(config.databaseUrl, config.databasePool, (error) =>
  logger.warn({ err: error }, 'the database dropped an idle connection'),
)
const app = await buildApp(config, { database, logger, now: () => new Date() })
const stopSchedule = startSchedule({ config, database, logger, now: () => new Date() })

let stopping = false
async function stop(signal: string) {
  if (stopping) return
  stopping = true
  logger.info({ signal }, 'stopping')
  await stopSchedule()
  await app.close()
  await database.close()
}
for (const signal of ['SIGINT', 'SIGTERM'] as const) process.on(signal, () => void stop(signal))

try {
  await app.listen({ host: config.host, port: config.port })
} catch (error) {
  const busy = (error as NodeJS.ErrnoException).code === 'EADDRINUSE'
  logger.fatal(
    busy ? { port: config.port } : { err: error },
    busy ? 'the port is in use: set PORT to another' : 'cannot listen',
  )
  await database.close()
  process.exitCode = 1
}

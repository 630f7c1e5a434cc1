import { join } from 'node:path'
import { setTimeout as sleep } from 'node:timers/promises'
import { portTrouble } from './ports.ts'
import { Problem } from './problem.ts'
import { type Program, startProgram } from './program.ts'
import { repository, type Settings } from './settings.ts'
import { nextProgram, webEnvironment } from './web-build.ts'

const apiUrl = ({ apiPort }: Settings) => `http://127.0.0.1:${apiPort}`
export const webUrl = ({ host, webPort }: Settings) =>
  `http://${['0.0.0.0', '::', '127.0.0.1'].includes(host) ? 'localhost' : host}:${webPort}`

/** Says which port is taken before any long work is begun. */
export async function refuseBusyPorts({ host, webPort, apiPort }: Settings): Promise<void> {
  await refuseBusy(webPort, host, 'SIGHTGLASS_PORT', 'the web app')
  await refuseBusy(apiPort, '127.0.0.1', 'SIGHTGLASS_API_PORT', 'the API')
}

async function refuseBusy(port: number, host: string, variable: string, what: string) {
  const trouble = await portTrouble(port, host)
  if (trouble === null) return
  const other = `Choose another for ${what}: ${variable}=${port + 100 > 65_535 ? 4500 : port + 100} npm start`
  if (trouble === 'EADDRINUSE') throw new Problem(`Port ${port} is in use by another program.`, other)
  if (trouble === 'EACCES') throw new Problem(`Port ${port} may not be used without special rights.`, other)
  throw new Problem(
    `${what} cannot listen on ${host} port ${port}: ${trouble}`,
    'SIGHTGLASS_HOST must be an address of this machine: 127.0.0.1 for this machine only, 0.0.0.0 for all networks.',
  )
}

export interface Watch {
  api: string[]
  web: string[]
}

/** How Node.js is called for each: as it runs for users, or restarting on each change for working on it. */
export const serving: Watch = { api: ['--import', 'tsx'], web: ['start'] }
export const developing: Watch = { api: [join(repository, 'node_modules/tsx/dist/cli.mjs'), 'watch'], web: ['dev'] }

export async function startApi(settings: Settings, databaseUrl: string, how = serving): Promise<Program> {
  const program = startProgram({
    command: process.execPath,
    args: [...how.api, join(repository, 'apps/api/src/server.ts')],
    cwd: repository,
    env: {
      ...process.env,
      NODE_ENV: how === serving ? 'production' : 'development',
      DATABASE_URL: databaseUrl,
      HOST: '127.0.0.1',
      PORT: String(settings.apiPort),
      UPLOAD_DIR: join(settings.dataFolder, 'uploads'),
    },
    logFile: join(settings.dataFolder, 'logs/api.log'),
    show: how === developing,
  })
  await untilAnswering(program, `${apiUrl(settings)}/ready`, 'The API')
  return program
}

export async function startWeb(settings: Settings, how = serving): Promise<Program> {
  const { host, webPort } = settings
  const program = startProgram({
    command: process.execPath,
    args: [nextProgram, ...how.web, '--hostname', host, '--port', String(webPort)],
    cwd: join(repository, 'apps/web'),
    env: { ...webEnvironment(), API_URL: apiUrl(settings), NODE_ENV: how === serving ? 'production' : 'development' },
    logFile: join(settings.dataFolder, 'logs/web.log'),
    show: how === developing,
  })
  const here = ['0.0.0.0', '::'].includes(host) ? '127.0.0.1' : host
  await untilAnswering(program, `http://${here}:${webPort}`, 'The web app')
  return program
}

async function untilAnswering(program: Program, url: string, name: string): Promise<void> {
  const end = Date.now() + 60_000
  while (Date.now() < end && !program.hasEnded()) {
    const answer = await fetch(url, { signal: AbortSignal.timeout(30_000) }).catch(() => undefined)
    await answer?.body?.cancel()
    if (answer?.ok) return
    await sleep(100)
  }
  const ended = program.hasEnded()
  await program.stop()
  throw new Problem(
    `${name} ${ended ? 'ended while starting' : `does not answer at ${url}`}. It said:\n${program.lastLines()}`,
    'Its whole log is in the data folder under logs.',
  )
}

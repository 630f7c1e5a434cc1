// The real web app for the journeys: built once (again only when its sources changed), served on a free port.
//
//   const web = await startTestWeb(`http://127.0.0.1:${apiPort}`)
//   await page.goto(web.url)
//   await web.stop()
import { join } from 'node:path'
import { setTimeout as sleep } from 'node:timers/promises'
import { freePort } from '../../apps/local/src/ports.ts'
import { startProgram } from '../../apps/local/src/program.ts'
import { repository } from '../../apps/local/src/settings.ts'
import { buildWeb, nextProgram, webEnvironment, webIsBuilt } from '../../apps/local/src/web-build.ts'

export interface TestWeb {
  url: string
  stop(): Promise<void>
}

export async function startTestWeb(apiUrl: string): Promise<TestWeb> {
  if (!webIsBuilt()) await buildWeb()
  const port = await freePort()
  const program = startProgram({
    command: process.execPath,
    args: [nextProgram, 'start', '--hostname', '127.0.0.1', '--port', String(port)],
    cwd: join(repository, 'apps/web'),
    env: { ...webEnvironment(), API_URL: apiUrl, NODE_ENV: 'production' },
  })
  const url = `http://127.0.0.1:${port}`
  for (let tries = 0; tries < 300 && !program.hasEnded(); tries++) {
    const answer = await fetch(url).catch(() => undefined)
    await answer?.body?.cancel()
    if (answer) return { url, stop: () => program.stop() }
    await sleep(100)
  }
  await program.stop()
  throw new Error(`The web app did not start:\n${program.lastLines()}`)
}

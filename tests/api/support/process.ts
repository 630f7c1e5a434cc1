// The API as a process of its own, and a door to the database that a test can shut.
import { type ChildProcess, spawn } from 'node:child_process'
import { once } from 'node:events'
import { connect, createServer, type Socket } from 'node:net'
import { fileURLToPath } from 'node:url'

export interface ApiProcess {
  address: string
  child: ChildProcess
  /** All that it has logged so far. */
  log(): string
  ended: Promise<number | null>
}

export async function startApiProcess(databaseUrl: string, env: Record<string, string> = {}): Promise<ApiProcess> {
  const child = spawn(process.execPath, ['--import', 'tsx', 'apps/api/src/server.ts'], {
    cwd: fileURLToPath(new URL('../../..', import.meta.url)),
    env: { ...process.env, DATABASE_URL: databaseUrl, PORT: '0', ASSESS_EVERY_S: '1', ...env },
    stdio: ['ignore', 'pipe', 'pipe'],
  })
  let log = ''
  const ended = once(child, 'exit').then(([code]) => code as number | null)
  const address = await new Promise<string>((resolve, reject) => {
    const read = (chunk: Buffer) => {
      log += chunk
      const listening = /Server listening at (http:[^"]+)/.exec(log)
      if (listening?.[1]) resolve(listening[1])
    }
    child.stdout.on('data', read)
    child.stderr.on('data', read)
    ended.then((code) => reject(new Error(`the API ended with ${code}:\n${log}`)))
  })
  return { address, child, log: () => log, ended }
}

/** Passes connections on to the database until it is shut: then they break, and new ones are refused. */
export async function databaseDoor(databaseUrl: string) {
  const target = new URL(databaseUrl)
  const sockets = new Set<Socket>()
  const server = createServer((incoming) => {
    const outgoing = connect(Number(target.port), target.hostname)
    for (const [from, to] of [
      [incoming, outgoing],
      [outgoing, incoming],
    ] as const) {
      sockets.add(from)
      from.pipe(to)
      from.on('error', () => to.destroy())
      from.on('close', () => sockets.delete(from))
    }
  })
  const open = async (port: number) => {
    server.listen(port, '127.0.0.1')
    await once(server, 'listening')
    return (server.address() as { port: number }).port
  }
  const port = await open(0)
  const url = new URL(databaseUrl)
  url.host = `127.0.0.1:${port}`
  return {
    url: url.href,
    async shut() {
      const closed = once(server, 'close')
      server.close()
      for (const socket of sockets) socket.destroy()
      await closed
    },
    reopen: () => open(port),
  }
}

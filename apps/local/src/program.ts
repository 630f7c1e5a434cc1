import { spawn } from 'node:child_process'
import { createWriteStream, existsSync, renameSync, statSync } from 'node:fs'
import { dirname } from 'node:path'
import { createInterface } from 'node:readline'
import { fileURLToPath } from 'node:url'
import { makeFolders } from './folders.ts'

const keeper = fileURLToPath(new URL('./keep.mjs', import.meta.url))

export interface ProgramOptions {
  command: string
  args: string[]
  cwd?: string
  env?: NodeJS.ProcessEnv
  uid?: number
  gid?: number
  /** The signal on which the program finishes its work and ends. */
  stopSignal?: NodeJS.Signals
  /** How long it may take for that before it is killed. */
  graceMs?: number
  /** A folder to delete once the program has ended. */
  removeAfter?: string
  logFile?: string
  /** Hears each line of its standard output. */
  onLine?: (line: string) => void
  /** Show the program's output as well as logging it. */
  show?: boolean
}

export interface Program {
  /** Resolves with the exit code when the program has ended, for whatever reason. */
  ended: Promise<number>
  hasEnded(): boolean
  stop(): Promise<void>
  /** The last lines that it wrote. */
  lastLines(count?: number): string
}

/** Starts a program that cannot outlive this process (see keep.mjs). */
export function startProgram(options: ProgramOptions): Program {
  const { command, args, uid, gid, stopSignal = 'SIGTERM', graceMs = 15_000, removeAfter } = options
  const order = JSON.stringify({ command, args, uid, gid, stopSignal, graceMs, removeAfter })
  const child = spawn(process.execPath, [keeper, order], {
    cwd: options.cwd,
    env: options.env,
    detached: true,
    stdio: ['pipe', 'pipe', 'pipe'],
  })

  let tail = ''
  const log = options.logFile ? openLog(options.logFile) : undefined
  const take = (chunk: Buffer) => {
    tail = (tail + chunk.toString('utf8')).slice(-8_000)
    log?.write(chunk)
    if (options.show) process.stdout.write(chunk)
  }
  child.stdout.on('data', take)
  if (options.onLine) createInterface(child.stdout).on('line', options.onLine)
  child.stderr.on('data', take)

  let over = false
  const ended = new Promise<number>((resolve) => {
    const end = (code: number) => {
      over = true
      log?.end()
      resolve(code)
    }
    child.on('error', (error) => {
      tail += error.message
      end(127)
    })
    child.on('close', (code) => end(code ?? 1))
  })
  child.stdin.on('error', () => undefined)

  return {
    ended,
    hasEnded: () => over,
    async stop() {
      child.stdin.end()
      await ended
    },
    lastLines: (count = 12) => tail.trimEnd().split('\n').slice(-count).join('\n'),
  }
}

const LARGE_LOG_BYTES = 20_000_000

function openLog(path: string) {
  makeFolders(dirname(path), 0o755)
  // one older log is kept; a log that is still written to grows until the next start
  if (existsSync(path) && statSync(path).size > LARGE_LOG_BYTES) renameSync(path, `${path}.1`)
  return createWriteStream(path, { flags: 'a', mode: 0o600 })
}

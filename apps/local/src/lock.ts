import { readFileSync, rmSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { makeFolders } from './folders.ts'
import { unwritable } from './postgres.ts'
import { codeOf, messageOf, Problem } from './problem.ts'

interface Holder {
  pid: number
  address: string
}

/** One start at a time on one data folder. Answers with the function that gives the folder free again. */
export function lockFolder(folder: string, address: string): () => void {
  const file = join(folder, 'lock')
  try {
    makeFolders(folder, 0o755)
    if (!take(file, address)) {
      const holder = readHolder(file)
      if (holder && isRunning(holder.pid)) throw running(holder, folder)
      // left by a start that was killed
      rmSync(file, { force: true })
      if (!take(file, address)) throw running(readHolder(file), folder)
    }
  } catch (error) {
    if (error instanceof Problem) throw error
    throw unwritable(folder, messageOf(error), error)
  }
  return () => rmSync(file, { force: true })
}

function take(file: string, address: string): boolean {
  try {
    writeFileSync(file, JSON.stringify({ pid: process.pid, address } satisfies Holder), { flag: 'wx' })
    return true
  } catch (error) {
    if (codeOf(error) === 'EEXIST') return false
    throw error
  }
}

function readHolder(file: string): Holder | undefined {
  try {
    return JSON.parse(readFileSync(file, 'utf8'))
  } catch {
    return undefined
  }
}

function isRunning(pid: number): boolean {
  try {
    process.kill(pid, 0)
  } catch (error) {
    if (codeOf(error) !== 'EPERM') return false
  }
  try {
    // after a restart of the machine the number may belong to any other program
    return readFileSync(`/proc/${pid}/cmdline`, 'utf8').includes('run.mjs')
  } catch {
    return process.platform !== 'linux'
  }
}

const running = (holder: Holder | undefined, folder: string) =>
  new Problem(
    `Sightglass is already running on the data in ${folder}${holder ? `: ${holder.address} (process ${holder.pid})` : ''}.`,
    'Use that one, or stop it with Ctrl-C first. A second one beside it needs its own folder and ports:\n' +
      'SIGHTGLASS_DATA=/path/to/folder SIGHTGLASS_PORT=4500 SIGHTGLASS_API_PORT=4501 npm start',
  )

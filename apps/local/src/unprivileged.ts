import { execFileSync, spawnSync } from 'node:child_process'
import { Problem } from './problem.ts'

/** The user that PostgreSQL runs as: nobody in particular unless we are root, whom PostgreSQL refuses. */
export interface RunAs {
  name?: string
  uid?: number
  gid?: number
}

export const isRoot = () => process.getuid?.() === 0

/** As root: the `postgres` user when this machine has one, otherwise `nobody`; no user is ever created.
 *  Files that exist already decide by their owner, so that a user added later doesn't lock us out. */
export function unprivilegedUser(ownerOfExistingData?: number): RunAs {
  if (!isRoot()) return {}
  for (const name of [ownerOfExistingData, 'postgres', 'nobody']) {
    if (name === undefined || name === 0) continue
    const found = lookUp(String(name))
    if (found) return found
  }
  throw new Problem(
    'You are root. PostgreSQL refuses to run as root, and this machine has neither a user "postgres" nor "nobody".',
    'Start as an ordinary user, or set DATABASE_URL to a PostgreSQL 15 or newer that runs elsewhere.',
  )
}

/** Asks the system itself, so that every rule of it counts (modes of all parent folders, access lists, read-only mounts). */
export function canReach(path: string, user: RunAs, how: 'read' | 'write' = 'read'): boolean {
  const flags = how === 'write' ? ['-w', '-x'] : ['-r', '-x']
  return flags.every((flag) => spawnSync('test', [flag, path], { uid: user.uid, gid: user.gid }).status === 0)
}

function lookUp(user: string): RunAs | undefined {
  try {
    const ask = (what: string) => Number(execFileSync('id', [what, user], { stdio: ['ignore', 'pipe', 'ignore'] }))
    const uid = ask('-u')
    return uid > 0 ? { name: user, uid, gid: ask('-g') } : undefined
  } catch {
    return undefined
  }
}

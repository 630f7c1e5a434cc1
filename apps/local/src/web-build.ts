import { spawn } from 'node:child_process'
import { createHash } from 'node:crypto'
import { existsSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { join, relative } from 'node:path'
import { Problem } from './problem.ts'
import { repository } from './settings.ts'

const web = join(repository, 'apps/web')
const stamp = join(web, '.next/sightglass-sources')
export const nextProgram = join(repository, 'node_modules/next/dist/bin/next')

export const webEnvironment = (): NodeJS.ProcessEnv => ({ ...process.env, NEXT_TELEMETRY_DISABLED: '1' })

/** Whether what stands in .next was built from these very sources. */
export function webIsBuilt(): boolean {
  return existsSync(stamp) && readFileSync(stamp, 'utf8') === hashOfSources()
}

export async function buildWeb(signal?: AbortSignal): Promise<void> {
  const sources = hashOfSources()
  rmSync(stamp, { force: true })
  const { code, output } = await next(['build'], { ...webEnvironment(), NODE_ENV: 'production' }, signal)
  if (code !== 0)
    throw new Problem(
      `The web app could not be built:\n${output.trim().split('\n').slice(-30).join('\n')}`,
      'If the sources are as they came, remove apps/web/.next and start again.',
    )
  writeFileSync(stamp, sources)
}

function next(args: string[], env: NodeJS.ProcessEnv, signal?: AbortSignal) {
  return new Promise<{ code: number; output: string }>((resolve, reject) => {
    const child = spawn(process.execPath, [nextProgram, ...args], { cwd: web, env, signal })
    let output = ''
    const take = (chunk: Buffer) => {
      output = (output + chunk.toString('utf8')).slice(-20_000)
    }
    child.stdout.on('data', take)
    child.stderr.on('data', take)
    child.on('error', reject)
    child.on('close', (code) => resolve({ code: code ?? 1, output }))
  })
}

function hashOfSources(): string {
  const hash = createHash('sha256').update(process.versions.node)
  const folders = [web, join(repository, 'packages/chemistry'), join(repository, 'packages/contract')]
  for (const file of [...folders.flatMap(filesBelow).sort(), join(repository, 'package-lock.json')])
    hash.update(`${relative(repository, file)}\0`).update(readFileSync(file))
  return hash.digest('hex')
}

// Next.js writes into tsconfig.json as it pleases, and what is built doesn't depend on it.
const made = new Set(['.next', 'node_modules', 'next-env.d.ts', 'tsconfig.json', 'tsconfig.tsbuildinfo'])

function filesBelow(folder: string): string[] {
  return readdirSync(folder, { withFileTypes: true }).flatMap((entry) => {
    const path = join(folder, entry.name)
    if (made.has(entry.name)) return []
    return entry.isDirectory() ? filesBelow(path) : [path]
  })
}

// The door of `npm start` and its sisters: `node apps/local/bin/run.mjs <command>`. It may rely on nothing but Node.js,
// because on a fresh clone there is nothing else. It installs what package-lock.json names, generates the database
// client, and hands over to the command's TypeScript, in this same process.
import { spawnSync } from 'node:child_process'
import { createHash } from 'node:crypto'
import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'

const root = fileURLToPath(new URL('../../..', import.meta.url))
const commands = ['start', 'dev', 'test', 'verify', 'bench', 'bench-faults', 'migrate', 'drop-samples']
const command = process.argv[2]

if (!commands.includes(command)) fail(`Say which: node apps/local/bin/run.mjs ${commands.join('|')}`)
// Ctrl-C reaches npm too: stay until it has put its files in order, or a start right after finds them half removed.
let interrupted = false
const wait = () => {
  interrupted = true
}
process.on('SIGINT', wait)
checkNode()
await installWhatIsMissing()
generateClient()
process.off('SIGINT', wait)
const { register } = await import('tsx/esm/api')
register()
await import(`../src/commands/${command}.ts`)

function checkNode() {
  const [major, minor] = process.versions.node.split('.').map(Number)
  if (major > 20 || (major === 20 && minor >= 19)) return
  fail(`This is Node.js ${process.versions.node}; Sightglass needs 20.19 or newer: https://nodejs.org`)
}

async function installWhatIsMissing() {
  const missing = firstMissingPackage()
  if (!missing) return
  say(`Installing packages with npm ci (${missing}); takes a minute or two …`)
  // with NODE_ENV=production npm would leave out the tools that build and start us
  const args = ['ci', '--include=dev', '--include=optional', '--no-audit', '--no-fund']
  const npm = process.env.npm_execpath ? [process.execPath, process.env.npm_execpath] : ['npm']
  const { status, signal, error } = spawnSync(npm[0], [...npm.slice(1), ...args], { cwd: root, stdio: 'inherit' })
  await new Promise((resolve) => setImmediate(resolve))
  if (interrupted || signal) process.exit(130)
  if (status === 0) return
  if (error?.code === 'ENOENT') fail('npm was not found. It comes with Node.js: https://nodejs.org')
  fail('npm ci failed; its reason stands above. It needs the npm registry and about 1 GB of disk. Then start again.')
}

/** Why an install is needed, or nothing. npm notes in node_modules what it put there. */
function firstMissingPackage() {
  const note = join(root, 'node_modules/.package-lock.json')
  if (!existsSync(note)) return 'there are none yet'
  const wanted = readJson(join(root, 'package-lock.json')).packages
  const present = readJson(note).packages
  for (const [path, { version, optional, devOptional, link }] of Object.entries(wanted)) {
    if (!path.includes('node_modules/')) continue
    const there = present[path]
    if (!there && (optional || devOptional)) continue
    if (!there || (!link && there.version !== version)) return `${path.replace('node_modules/', '')} is missing or old`
  }
  return undefined
}

/** Prisma's client is made from the schema and not committed. */
function generateClient() {
  const files = ['prisma/schema.prisma', '.config/prisma.config.ts', 'node_modules/prisma/package.json']
  const hash = createHash('sha256')
  for (const file of files) hash.update(readFileSync(join(root, file)))
  const wanted = hash.digest('hex')
  const stamp = join(root, 'node_modules/.cache/sightglass/prisma-client')
  const client = join(root, 'apps/api/src/platform/prisma/client.ts')
  if (existsSync(client) && existsSync(stamp) && readFileSync(stamp, 'utf8') === wanted) return
  say('Generating the database client …')
  const cli = join(root, 'node_modules/prisma/build/index.js')
  const { status, stdout, stderr } = spawnSync(
    process.execPath,
    [cli, 'generate', '--config', files[1], '--no-hints'],
    {
      cwd: root,
      encoding: 'utf8',
      env: { ...process.env, PRISMA_HIDE_UPDATE_MESSAGE: '1', CHECKPOINT_DISABLE: '1' },
    },
  )
  if (status !== 0) fail(`prisma generate failed:\n${stdout}${stderr}`)
  mkdirSync(dirname(stamp), { recursive: true })
  writeFileSync(stamp, wanted)
}

function readJson(path) {
  return JSON.parse(readFileSync(path, 'utf8'))
}

function say(text) {
  console.log(`Sightglass: ${text}`)
}

function fail(text) {
  console.error(`Sightglass: ${text}`)
  process.exit(1)
}

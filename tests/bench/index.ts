// npm run bench: the figures to reach, each as a ratio against something plain in the same run, on fresh databases.
//   npm run bench            all of them
//   npm run bench triage     one of them
import { cpus, totalmem } from 'node:os'
import pg from 'pg'
import { migrate } from '../../apps/local/src/migrate.ts'
import { startTemporaryPostgres } from '../../apps/local/src/postgres.ts'

interface Figure {
  what: string
  target?: string
  reached?: boolean
  [measured: string]: unknown
}
type Bench = (given: { databaseUrl: string }) => Promise<Figure[]>

const BENCHES: Record<string, () => Promise<Bench>> = {
  chemistry: async () => (await import('../../packages/chemistry/bench.ts')).benchChemistry,
  assess: async () => (await import('./assess.ts')).benchAssess,
  triage: async () => (await import('./triage.ts')).benchTriage,
  import: async () => (await import('./import.ts')).benchImport,
}

const wanted = process.argv.slice(2)
const unknown = wanted.filter((name) => !(name in BENCHES))
if (unknown.length > 0)
  throw new Error(`There is no bench ${unknown.join(', ')}. There are: ${Object.keys(BENCHES).join(', ')}.`)

// figures of writing count only on a database that would survive a crash
const own = process.env.DATABASE_URL ? undefined : await startTemporaryPostgres({ durable: true })
const server = own?.url ?? (process.env.DATABASE_URL as string)
try {
  console.log(`${await machine(server)}\n`)
  let missed = 0
  for (const [name, load] of Object.entries(BENCHES)) {
    if (wanted.length > 0 && !wanted.includes(name)) continue
    const bench = await load()
    console.log(name)
    for (const figure of await onFreshDatabase(server, name, (databaseUrl) => bench({ databaseUrl }))) {
      print(figure)
      if (figure.reached === false) missed++
    }
    console.log()
  }
  if (missed > 0) {
    console.log(`${missed} of the figures missed their target.`)
    process.exitCode = 1
  }
} finally {
  await own?.stop()
}

function print({ what, target, reached, ...measured }: Figure) {
  const numbers = Object.entries(measured).map(
    ([key, value]) => `${key} ${typeof value === 'number' ? short(value) : value}`,
  )
  const verdict = reached === undefined ? '' : reached ? '  reached' : '  MISSED'
  console.log(`  ${what}\n    ${numbers.join(', ')}${target ? `  (to reach: ${target})` : ''}${verdict}`)
}

function short(value: number) {
  return Math.abs(value) >= 100 ? value.toFixed(0) : value.toPrecision(3)
}

async function machine(url: string) {
  const { rows } = await inServer(url, 'SHOW server_version')
  const cores = cpus()
  return [
    `${cores.length} × ${cores[0]?.model.trim() ?? 'unknown processor'}`,
    `${Math.round(totalmem() / 2 ** 30)} GiB`,
    `Node.js ${process.versions.node}`,
    `PostgreSQL ${rows[0]?.server_version}`,
    process.platform,
  ].join(', ')
}

async function onFreshDatabase<Result>(
  url: string,
  name: string,
  work: (url: string) => Promise<Result>,
): Promise<Result> {
  await inServer(url, `CREATE DATABASE bench_${name}`)
  const address = new URL(url)
  address.pathname = `/bench_${name}`
  try {
    await migrate(address.href)
    return await work(address.href)
  } finally {
    await inServer(url, `DROP DATABASE bench_${name} WITH (FORCE)`)
  }
}

async function inServer(url: string, sql: string) {
  const client = new pg.Client({ connectionString: url })
  await client.connect()
  try {
    return await client.query(sql)
  } finally {
    await client.end()
  }
}

import { existsSync, readdirSync, readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { PrismaPg } from '@prisma/adapter-pg'
import { bindMigrationAwareSqlAdapterFactory, type SqlDriverAdapter } from '@prisma/driver-adapter-utils'
import type { MigrationList, SchemaEngine } from '@prisma/schema-engine-wasm'
import pg from 'pg'
import { messageOf, Problem } from './problem.ts'

export const migrationsFolder = fileURLToPath(new URL('../../../prisma/migrations', import.meta.url))

/** Two starts at once wait for each other on this number (any number, as long as nobody else takes it). */
const MIGRATION_LOCK = 7_444_853

/** Brings a database up to date with prisma/migrations and answers with the names of what was applied.
 *
 *  This is Prisma's own schema engine as WebAssembly, so that nothing is downloaded: it keeps Prisma's own
 *  `_prisma_migrations`, and `prisma migrate deploy` goes on working wherever its native engine can be had. */
export async function migrate(databaseUrl: string, folder = migrationsFolder): Promise<string[]> {
  const lock = new pg.Client({ connectionString: databaseUrl })
  await lock.connect()
  try {
    await lock.query('select pg_advisory_lock($1)', [MIGRATION_LOCK])
    await forgetInterrupted(lock)
    return await applyMigrations(databaseUrl, folder)
  } finally {
    await lock.end()
  }
}

/** A script is taken whole or not at all, so one that was cut off or refused left nothing behind and may be tried again.
 *  Left alone, its row would stop every later start. (That is why a migration holds no BEGIN or COMMIT of its own.) */
async function forgetInterrupted(client: pg.Client) {
  const { rows } = await client.query(`select to_regclass('_prisma_migrations') is not null as known`)
  if (!rows[0].known) return
  await client.query(
    'update _prisma_migrations set rolled_back_at = now() where finished_at is null and rolled_back_at is null',
  )
}

async function applyMigrations(databaseUrl: string, folder: string) {
  const migrations = readMigrations(folder)
  const database = new WholeScripts({ connectionString: databaseUrl })
  const engine = await openEngine(database)
  try {
    const filters = { externalTables: [], externalEnums: [] }
    const { appliedMigrationNames } = await engine.applyMigrations({ migrationsList: migrations, filters })
    return appliedMigrationNames
  } catch (error) {
    throw migrationProblem(error, database.refused, migrations)
  } finally {
    engine.free()
    await database.close()
  }
}

/** The adapter cuts a script at every semicolon, which breaks function bodies. PostgreSQL takes a script whole, and then
 *  all of it or none. */
class WholeScripts extends PrismaPg {
  refused?: { script: string; error: { message: string; detail?: string } }
  readonly #open: SqlDriverAdapter[] = []

  override async connect() {
    const adapter = await super.connect()
    adapter.executeScript = async (script: string) => {
      try {
        await adapter.underlyingDriver().query(script)
      } catch (error) {
        this.refused = { script, error: error as Error }
        throw error
      }
    }
    this.#open.push(adapter)
    return adapter
  }

  async close() {
    for (const adapter of this.#open) await adapter.dispose().catch(() => undefined)
  }
}

// Applying needs to know the kind of database only, not its tables.
const DATASOURCE: [string, string] = ['schema.prisma', 'datasource db {\n  provider = "postgresql"\n}\n']

let engineModule: Promise<typeof SchemaEngine> | undefined

async function openEngine(database: PrismaPg): Promise<SchemaEngine> {
  engineModule ??= loadEngine()
  const Engine = await engineModule
  return Engine.new({ datamodels: [DATASOURCE] }, () => undefined, bindMigrationAwareSqlAdapterFactory(database))
}

// The package's own entry imports its .wasm file as a module, which Node.js 20 doesn't do.
async function loadEngine(): Promise<typeof SchemaEngine> {
  Object.assign(globalThis, { PRISMA_WASM_PANIC_REGISTRY: { set_message: (panic: string) => console.error(panic) } })
  const require = createRequire(import.meta.url)
  const glue = await import('@prisma/schema-engine-wasm/schema_engine_bg')
  const bytes = readFileSync(join(require.resolve('@prisma/schema-engine-wasm'), '..', 'schema_engine_bg.wasm'))
  const { instance } = await WebAssembly.instantiate(bytes, { './schema_engine_bg.js': glue as never })
  const wasm = instance.exports as { __wbindgen_start(): void }
  ;(glue as never as { __wbg_set_wasm(value: unknown): void }).__wbg_set_wasm(wasm)
  wasm.__wbindgen_start()
  return glue.SchemaEngine
}

function readMigrations(baseDir: string): MigrationList {
  const names = existsSync(baseDir)
    ? readdirSync(baseDir, { withFileTypes: true })
        .filter((entry) => entry.isDirectory())
        .map((entry) => entry.name)
        .sort()
    : []
  const lockfile = join(baseDir, 'migration_lock.toml')
  return {
    baseDir,
    lockfile: {
      path: 'migration_lock.toml',
      content: existsSync(lockfile) ? readFileSync(lockfile, 'utf8') : null,
    },
    shadowDbInitScript: '',
    migrationDirectories: names.map((path) => ({
      path,
      migrationFile: {
        path: 'migration.sql',
        content: { tag: 'ok', value: readFileSync(join(baseDir, path, 'migration.sql'), 'utf8') },
      },
    })),
  }
}

function migrationProblem(cause: unknown, refused: WholeScripts['refused'], migrations: MigrationList): Problem {
  const name = migrations.migrationDirectories.find(
    ({ migrationFile }) => migrationFile.content.value === refused?.script,
  )
  const where = name ? ` (${name.path})` : ''
  const detail = refused?.error.detail ? ` (${refused.error.detail})` : ''
  return new Problem(
    `The database could not be brought up to date${where}: ${refused?.error.message ?? messageOf(cause)}${detail}`,
    'Nothing of the failed migration was kept and the data is as it was. Mend the cause, then start again.',
    { cause },
  )
}

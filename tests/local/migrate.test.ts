import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { migrate, migrationsFolder } from '../../apps/local/src/migrate.ts'
import { startTestDatabase, type TestDatabase } from '../support/database.ts'

describe('migrate', () => {
  let db: TestDatabase
  let folder: string
  beforeEach(async () => {
    db = await startTestDatabase({ migrated: false })
    folder = mkdtempSync(join(tmpdir(), 'sightglass-migrations-'))
    writeFileSync(join(folder, 'migration_lock.toml'), 'provider = "postgresql"\n')
  })
  afterEach(async () => {
    await db.stop()
    rmSync(folder, { recursive: true })
  })

  const write = (name: string, sql: string) => {
    mkdirSync(join(folder, name), { recursive: true })
    writeFileSync(join(folder, name, 'migration.sql'), sql)
  }
  const history = async () =>
    (await db.pool.query('select migration_name, finished_at is not null as done from _prisma_migrations')).rows

  it('applies each migration once, in the order of the names', async () => {
    write('0002_second', 'alter table pool add column volume_l float8')
    write('0001_first', 'create table pool (id uuid)')
    expect(await migrate(db.url, folder)).toEqual(['0001_first', '0002_second'])
    expect(await migrate(db.url, folder)).toEqual([])
  })

  it('takes function bodies with semicolons whole', async () => {
    write('0001_f', 'create function f() returns int language plpgsql as $$ begin perform 1; return 2; end $$;')
    await migrate(db.url, folder)
    expect((await db.pool.query('select f()')).rows).toEqual([{ f: 2 }])
  })

  it('applies once when two starts come at the same time', async () => {
    write('0001_first', 'create table pool (id uuid); select pg_sleep(0.5)')
    const applied = await Promise.all([migrate(db.url, folder), migrate(db.url, folder)])
    expect(applied.flat()).toEqual(['0001_first'])
  })

  it('keeps nothing of a migration that fails, says why, and can be tried again once mended', async () => {
    write('0001_first', 'create table pool (id uuid)')
    write('0002_second', 'create table spa (id uuid); create table pool (id uuid)')
    await expect(migrate(db.url, folder)).rejects.toThrow(/0002_second.*relation "pool" already exists/)
    expect((await db.pool.query(`select to_regclass('spa') as spa`)).rows).toEqual([{ spa: null }])
    write('0002_second', 'create table spa (id uuid)')
    expect(await migrate(db.url, folder)).toEqual(['0002_second'])
  })

  it('goes on after a start that was killed in the middle of a migration', async () => {
    write('0001_first', 'create table pool (id uuid)')
    await migrate(db.url, folder)
    await db.pool.query(`insert into _prisma_migrations (id, checksum, migration_name) values ('x', '', '0002_second')`)
    write('0002_second', 'create table spa (id uuid)')
    expect(await migrate(db.url, folder)).toEqual(['0002_second'])
    expect(await history()).toContainEqual({ migration_name: '0002_second', done: true })
  })

  it('brings an empty database to the tables of this version', async () => {
    const names = readdirSync(migrationsFolder, { withFileTypes: true }).filter((entry) => entry.isDirectory())
    expect(await migrate(db.url)).toEqual(names.map(({ name }) => name).sort())
    expect((await db.pool.query('select count(*)::int as n from facility')).rows).toEqual([{ n: 0 }])
  })

  it('finds no migration with transactions of its own, which would break "all or nothing"', () => {
    for (const entry of readdirSync(migrationsFolder, { withFileTypes: true })) {
      if (!entry.isDirectory()) continue
      const sql = readFileSync(join(migrationsFolder, entry.name, 'migration.sql'), 'utf8')
      const outsideBodies = sql.replace(/\$(\w*)\$[\s\S]*?\$\1\$/g, '').replace(/--.*$/gm, '')
      expect(outsideBodies, entry.name).not.toMatch(/^\s*(begin|start transaction|commit|rollback)\b/im)
    }
  })
})

import { spawn } from 'node:child_process'
import { chmodSync, existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs'
import { createServer, type Server } from 'node:net'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import pg from 'pg'
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest'
import { checkExternal } from '../../apps/local/src/database.ts'
import { demoState } from '../../apps/local/src/demo.ts'
import { lockFolder } from '../../apps/local/src/lock.ts'
import { freePort } from '../../apps/local/src/ports.ts'
import { type Postgres, startPostgres, startTemporaryPostgres } from '../../apps/local/src/postgres.ts'
import { startProgram } from '../../apps/local/src/program.ts'
import { refuseBusyPorts } from '../../apps/local/src/services.ts'
import { startTestDatabase } from '../support/database.ts'

const isRoot = process.getuid?.() === 0
let folder: string
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'sightglass-start-'))
  // as root, PostgreSQL is another user
  chmodSync(folder, 0o755)
})
afterEach(() => rmSync(folder, { recursive: true, force: true }))

/** The whole message as it is printed: what happened and how to mend it. */
const told = async (work: () => unknown): Promise<string> => {
  try {
    await work()
  } catch (error) {
    const { message, mend } = error as Error & { mend?: string }
    return `${message}\n${mend}`
  }
  return 'nothing was refused'
}

describe('ports', () => {
  let server: Server
  let port: number
  beforeEach(async () => {
    port = await freePort()
    server = createServer().listen(port, '127.0.0.1')
    await new Promise((resolve) => server.once('listening', resolve))
  })
  afterEach(() => server.close())

  it('says which port is taken and which variable changes it', async () => {
    const settings = { host: '127.0.0.1', webPort: port, apiPort: await freePort(), dataFolder: folder, demo: true }
    expect(await told(() => refuseBusyPorts(settings))).toMatch(`Port ${port} is in use by another program.`)
    const swapped = { ...settings, webPort: settings.apiPort, apiPort: port }
    expect(await told(() => refuseBusyPorts(swapped))).toMatch(/SIGHTGLASS_API_PORT=\d+ npm start/)
  })

  it('says when the host is no address of this machine', async () => {
    const settings = { host: '192.0.2.1', webPort: await freePort(), apiPort: 1, dataFolder: folder, demo: true }
    expect(await told(() => refuseBusyPorts(settings))).toMatch(/cannot listen on 192\.0\.2\.1.*SIGHTGLASS_HOST/s)
  })
})

describe('the data folder', () => {
  it('is for one start at a time', async () => {
    const unlock = lockFolder(folder, 'http://localhost:4400')
    // this test doesn't run through run.mjs, so the holder has to be one that does
    const holder = spawn(process.execPath, ['-e', 'setTimeout(() => {}, 60000)', 'run.mjs'])
    writeFileSync(join(folder, 'lock'), JSON.stringify({ pid: holder.pid, address: 'http://localhost:4400' }))
    const message = await told(() => lockFolder(folder, 'http://localhost:4500'))
    expect(message).toMatch(`already running on the data in ${folder}: http://localhost:4400 (process ${holder.pid})`)
    holder.kill()
    unlock()
    expect(existsSync(join(folder, 'lock'))).toBe(false)
  })

  it.each([
    ['a start that was killed', JSON.stringify({ pid: 2 ** 22 + 1, address: 'http://localhost:4400' })],
    ['a number that another program has by now', JSON.stringify({ pid: 1, address: 'http://localhost:4400' })],
    ['a disk that was full', ''],
  ])('is taken over from %s', (_, lock) => {
    writeFileSync(join(folder, 'lock'), lock)
    lockFolder(folder, 'http://localhost:4400')()
    expect(existsSync(join(folder, 'lock'))).toBe(false)
  })

  it('may lie where nothing can be written; then that is said', async () => {
    const file = join(folder, 'file')
    writeFileSync(file, '')
    expect(await told(() => lockFolder(join(file, 'data'), ''))).toMatch(/cannot be written: .*SIGHTGLASS_DATA=/s)
  })

  it.runIf(existsSync('/proc/self'))(
    'that the system does not let anybody make says so, instead of trying for ever',
    async () => {
      expect(await told(() => lockFolder('/proc/nowhere/deeper', ''))).toMatch(/cannot be written: .*SIGHTGLASS_DATA=/s)
    },
  )

  it.runIf(isRoot)('must let the user in as whom PostgreSQL runs when root starts', async () => {
    chmodSync(folder, 0o700)
    expect(await told(() => startPostgres(join(folder, 'data')))).toMatch(
      /You are root, so PostgreSQL runs as the user "\w+", and that user cannot reach/,
    )
  })

  it('made by another PostgreSQL is left alone', async () => {
    mkdirSync(join(folder, 'postgresql'))
    writeFileSync(join(folder, 'postgresql/PG_VERSION'), '17\n')
    const message = await told(() => startPostgres(folder))
    expect(message).toMatch(/made by PostgreSQL 17; this Sightglass brings PostgreSQL 18.*pg_dump/s)
    expect(readFileSync(join(folder, 'postgresql/PG_VERSION'), 'utf8')).toBe('17\n')
  })
})

describe('the PostgreSQL that is started here', () => {
  it('keeps its data, its port and its password from one start to the next, readable by its owner alone', async () => {
    const first = await startPostgres(folder)
    await query(first.url, `create table pool (name text); insert into pool values ('Lagoon')`)
    await first.stop()
    expect(first.program.hasEnded()).toBe(true)
    expect(existsSync(join(folder, 'postgresql/postmaster.pid'))).toBe(false)
    for (const file of ['postgresql-password', 'database-url'])
      expect(statSync(join(folder, file)).mode & 0o077, file).toBe(0)

    const second = await startPostgres(folder)
    expect(second.url).toBe(first.url)
    expect(await query(second.url, 'select name from pool')).toEqual([{ name: 'Lagoon' }])
    await second.stop()
  })

  it('lets nobody in without the password, and listens on this machine alone', async () => {
    const postgres = await startPostgres(folder)
    const stranger = new URL(postgres.url)
    stranger.password = 'guess'
    await expect(query(stranger.href, 'select 1')).rejects.toThrow(/password authentication failed/)
    expect(await query(postgres.url, 'show listen_addresses')).toEqual([{ listen_addresses: '127.0.0.1' }])
    await postgres.stop()
  })

  it('is gone when the process that started it was killed, and the next start finds whole data', async () => {
    const script = `
      const { startPostgres } = await import('${join(process.cwd(), 'apps/local/src/postgres.ts')}')
      console.log((await startPostgres(process.argv[1])).url)
      setInterval(() => {}, 1000)`
    const starter = spawn(process.execPath, ['--import', 'tsx', '--input-type=module', '-e', script, folder])
    const url = await new Promise<string>((resolve) =>
      starter.stdout.once('data', (data) => resolve(String(data).trim())),
    )
    await query(url, `create table pool (name text); insert into pool values ('Lagoon')`)
    starter.kill('SIGKILL')
    await expect.poll(() => existsSync(join(folder, 'postgresql/postmaster.pid')), { timeout: 10_000 }).toBe(false)
    const again = await startPostgres(folder)
    expect(await query(again.url, 'select name from pool')).toEqual([{ name: 'Lagoon' }])
    await again.stop()
  })

  it('says what PostgreSQL said when it cannot start', async () => {
    const postgres = await startPostgres(folder)
    await postgres.stop()
    writeFileSync(join(folder, 'postgresql/postgresql.conf'), 'shared_buffers = many\n')
    expect(await told(() => startPostgres(folder))).toMatch(/PostgreSQL did not start.*shared_buffers/s)
  })
})

describe('a program that was started', () => {
  it('is asked to stop, and made to when it does not', async () => {
    const deaf = `process.on('SIGTERM', () => {}); setInterval(() => {}, 1000); console.log(process.pid)`
    const program = startProgram({ command: process.execPath, args: ['-e', deaf], graceMs: 300 })
    await expect.poll(() => program.lastLines()).toMatch(/^\d+$/)
    await program.stop()
    expect(() => process.kill(Number(program.lastLines()), 0)).toThrow(/ESRCH/)
  })

  it('takes its own children with it', async () => {
    const parent = `
      const child = require('node:child_process').spawn(process.execPath, ['-e', 'setInterval(() => {}, 1000)'])
      console.log(child.pid)
      setInterval(() => {}, 1000)`
    const program = startProgram({ command: process.execPath, args: ['-e', parent] })
    await expect.poll(() => program.lastLines()).toMatch(/^\d+$/)
    await program.stop()
    const gone = () => {
      try {
        return readFileSync(`/proc/${program.lastLines()}/stat`, 'utf8').includes(' Z ')
      } catch {
        return true
      }
    }
    await expect.poll(gone).toBe(true)
  })

  it('tells its exit code when it ends by itself', async () => {
    expect(await startProgram({ command: process.execPath, args: ['-e', 'process.exit(3)'] }).ended).toBe(3)
    expect(await startProgram({ command: '/no/such/program', args: [] }).ended).toBe(127)
  })
})

describe('DATABASE_URL', () => {
  // not the server of the other tests, which may let everybody in
  let server: Postgres
  beforeAll(async () => {
    server = await startTemporaryPostgres()
  })
  afterAll(() => server.stop())

  it('works when the server is new enough, and is refused when it is older', async () => {
    expect(await checkExternal(server.url)).toMatch(/^18 at 127\.0\.0\.1:\d+\/sightglass \(DATABASE_URL\)$/)
    expect(await told(() => checkExternal(server.url, 19))).toMatch(/is PostgreSQL 18; Sightglass needs 19 or newer/)
  })

  it.each([
    [
      'nothing listens',
      async (url: URL) => ({ port: String(await freePort(url.hostname)) }),
      /ECONNREFUSED.*start that/s,
    ],
    [
      'the password is wrong',
      () => ({ password: 'guess' }),
      /password authentication failed.*User or password is wrong/s,
    ],
    ['there is no such database', () => ({ pathname: '/nowhere' }), /"nowhere" does not exist.*createdb/s],
    ['there is no such host', () => ({ hostname: 'nowhere.invalid' }), /nowhere\.invalid.*(mend it|looked up)/s],
  ])('says what to do when %s', async (_, change, expected) => {
    const url = new URL(server.url)
    const { password } = url
    Object.assign(url, await change(url))
    const message = await told(() => checkExternal(url.href))
    expect(message).toMatch(expected)
    expect(message).not.toContain(password)
    expect(message).toMatch(/leave DATABASE_URL out, and PostgreSQL is started here/)
  })
})

describe('the demo', () => {
  it('goes only into a database without facilities, and a half-written one is known', async () => {
    const db = await startTestDatabase()
    expect(await demoState(db.url)).toBe('empty')
    await db.pool.query(`comment on table facility is 'demo is being written'`)
    expect(await demoState(db.url)).toBe('half')
    await db.stop()
  })
})

async function query(url: string, sql: string) {
  const client = new pg.Client({ connectionString: url })
  client.on('error', () => undefined)
  await client.connect()
  try {
    return (await client.query(sql)).rows
  } finally {
    await client.end()
  }
}

// kill -9 in the middle of an import, against the real process: nothing of it stays, and running it again succeeds.
import { type ChildProcess, spawn } from 'node:child_process'
import { once } from 'node:events'
import { mkdtemp, rm } from 'node:fs/promises'
import { createServer } from 'node:net'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import type { ImportDetail } from '@sightglass/contract'
import { afterAll, beforeAll, expect, it } from 'vitest'
import { startTestDatabase, type TestDatabase } from '../../support/database.ts'

const ROWS = 250_000
let db: TestDatabase
let uploadDir: string
let server: { url: string; process: ChildProcess } | undefined
beforeAll(async () => {
  db = await startTestDatabase()
  uploadDir = await mkdtemp(join(tmpdir(), 'sightglass-test-crash-'))
})
afterAll(async () => {
  server?.process.kill('SIGKILL')
  await db.stop()
  await rm(uploadDir, { recursive: true, force: true })
})

async function startServer() {
  const port = await freePort()
  const child = spawn(process.execPath, ['--import', 'tsx', 'apps/api/src/server.ts'], {
    cwd: fileURLToPath(new URL('../../..', import.meta.url)),
    env: {
      ...process.env,
      DATABASE_URL: db.url,
      PORT: String(port),
      UPLOAD_DIR: uploadDir,
      LOG_LEVEL: 'error',
      ASSESS_EVERY_S: '0',
    },
    stdio: ['ignore', 'inherit', 'inherit'],
  })
  server = { url: `http://127.0.0.1:${port}`, process: child }
  for (let attempt = 0; attempt < 600; attempt++) {
    if (child.exitCode !== null) throw new Error(`the server ended with ${child.exitCode}`)
    if ((await fetch(`${server.url}/ready`).catch(() => null))?.ok) return
    await sleep(50)
  }
  throw new Error('the server does not answer')
}

const freePort = () =>
  new Promise<number>((resolve) => {
    const probe = createServer().listen(0, '127.0.0.1', () => {
      const { port } = probe.address() as { port: number }
      probe.close(() => resolve(port))
    })
  })
const sleep = (ms: number) => new Promise((resolve) => setTimeout(resolve, ms))

async function call(path: string, given?: object | FormData) {
  const form = given instanceof FormData
  const response = await fetch(`${server?.url}${path}`, {
    method: given ? 'POST' : 'GET',
    ...(given && { body: form ? given : JSON.stringify(given) }),
    ...(given && !form && { headers: { 'content-type': 'application/json' } }),
  })
  if (!response.ok) throw new Error(`${path} answered ${response.status}: ${await response.text()}`)
  return response.json()
}

async function until(id: string, reached: (detail: ImportDetail) => boolean): Promise<ImportDetail> {
  for (;;) {
    const detail: ImportDetail = await call(`/imports/${id}`)
    if (reached(detail)) return detail
    await sleep(5)
  }
}
const count = async (table: string) => (await db.pool.query(`SELECT count(*)::int AS n FROM ${table}`)).rows[0].n

async function upload(facilityId: string, text: string): Promise<ImportDetail> {
  const form = new FormData()
  form.append('facilityId', facilityId)
  form.append('person', 'Tobias Fenn')
  form.append('file', new Blob([text]), 'north.csv')
  const uploaded: ImportDetail = await call('/imports', form)
  await call(`/imports/${uploaded.id}/check`, { layout: uploaded.detection?.proposal })
  return until(uploaded.id, ({ state }) => state === 'checked')
}

it('leaves no rows after kill -9; the next start says so, a retry stores all, and the same file again changes nothing', async () => {
  await startServer()
  const facility = await call('/facilities', { name: 'Tern House', timeZone: 'Etc/UTC' })
  const room = await call('/equipment-rooms', { facilityId: facility.id, name: 'Basement' })
  const body = await call('/bodies', {
    facilityId: facility.id,
    equipmentRoomId: room.id,
    name: 'Lap pool',
    useClass: 'pool',
    setting: 'indoor',
    sanitizerSystem: 'hypochlorite',
    cyanuricAcidUsed: false,
  })
  const controller = await call('/controllers', { equipmentRoomId: room.id, name: 'Controller' })
  for (const quantity of ['ph', 'orpMv'])
    await call('/channels', { controllerId: controller.id, bodyId: body.id, quantity })

  const from = Date.UTC(2026, 4, 1)
  const row = (index: number) =>
    `${new Date(from + index * 60_000).toISOString()},7.${20 + (index % 50)},${680 + (index % 60)}`
  const text = `Time,pH,ORP mV\n${Array.from({ length: ROWS }, (_, index) => row(index)).join('\n')}\nrubbish,1,2\n`
  const { id } = await upload(facility.id, text)

  await call(`/imports/${id}/run`, {})
  const midway = await until(id, ({ state, progress }) => state !== 'running' || progress > 0.4)
  expect(midway.state).toBe('running')
  server?.process.kill('SIGKILL')
  await once(server?.process as ChildProcess, 'exit')
  expect(await count('sample')).toBe(0)
  expect(await count('sample_hour')).toBe(0)

  await startServer()
  const found: ImportDetail = await call(`/imports/${id}`)
  expect(found).toMatchObject({
    state: 'failed',
    failure: expect.stringMatching(/Interrupted; nothing was stored\. Run it again/),
  })
  expect([await count('sample'), await count('sample_hour')]).toEqual([0, 0])

  await call(`/imports/${id}/run`, {})
  const done = await until(id, ({ state }) => state !== 'running')
  expect(done).toMatchObject({ state: 'done', failure: null, counts: { rows: ROWS + 1, stored: ROWS, rejected: 1 } })
  expect(await count('sample')).toBe(ROWS)
  const { rows } = await db.pool.query('SELECT sum(samples)::int AS samples FROM sample_hour')
  expect(rows).toEqual([{ samples: ROWS }])

  const again = await upload(facility.id, text)
  expect(again.counts).toMatchObject({ stored: 0, same: ROWS, differing: 0, rejected: 1 })
})

it('stopped in order while importing, it stores nothing either and ends in time', async () => {
  if (!server || server.process.exitCode !== null) await startServer()
  const [{ id: facilityId }] = (await call('/facilities')).items
  const from = Date.UTC(2025, 4, 1)
  const row = (index: number) =>
    `${new Date(from + index * 60_000).toISOString()},7.${20 + (index % 50)},${680 + (index % 60)}`
  const before = await count('sample')
  const { id } = await upload(
    facilityId,
    `Time,pH,ORP mV\n${Array.from({ length: ROWS }, (_, index) => row(index)).join('\n')}\n`,
  )
  await call(`/imports/${id}/run`, {})
  await until(id, ({ progress }) => progress > 0.2)
  server?.process.kill('SIGTERM')
  await once(server?.process as ChildProcess, 'exit')
  expect(await count('sample')).toBe(before)
  const { rows } = await db.pool.query('SELECT state, failure FROM import WHERE id = $1', [id])
  expect(rows).toEqual([{ state: 'failed', failure: expect.stringContaining('Interrupted') }])
})

// A large export through HTTP into the database, against a plain COPY of the same rows into the same table, in one run.
import { type ChildProcess, spawn } from 'node:child_process'
import { once } from 'node:events'
import { createWriteStream, openAsBlob } from 'node:fs'
import { mkdtemp, readFile, rm, stat } from 'node:fs/promises'
import { createServer } from 'node:net'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { finished, pipeline } from 'node:stream/promises'
import type { ImportDetail } from '@sightglass/contract'
import pg from 'pg'
import { from as copyFrom, to as copyTo } from 'pg-copy-streams'
import { median, timed } from './measure.ts'

const QUANTITIES = [
  'ph',
  'orpMv',
  'freeChlorineMgL',
  'tempC',
  'flowLMin',
  'flowOn',
  'sanitizerFeedPct',
  'phFeedPct',
  'phSetPoint',
  'orpSetPointMv',
]
const NAMES = [
  'Terrace pool',
  'Atrium pool',
  'Atrium spa',
  'Lap pool',
  'Diving well',
  'Wading pool',
  'Therapy pool',
  'Splash pad',
]
/** 5-minute rows of each body: 451 days. */
const STEPS = 130_000
const END = Date.UTC(2026, 10, 20)
const ROUNDS = 3
const TARGET_RATIO = 0.35
const TARGET_MB = 300

export async function benchImport({ databaseUrl }: { databaseUrl: string }) {
  const folder = await mkdtemp(join(tmpdir(), 'sightglass-bench-'))
  const client = new pg.Client({ connectionString: databaseUrl, options: '-c timezone=UTC' })
  await client.connect()
  const api = await startApi(databaseUrl, folder)
  try {
    const facilityId = await makePlant(api.url)
    const path = join(folder, 'export.csv')
    await writeExport(path)
    const { size } = await stat(path)
    await client.query('CHECKPOINT')
    const startMb = await peakRssMb(api.process)
    const rounds: Round[] = []
    for (let round = 0; round < ROUNDS; round++) rounds.push(await measure(api.url, client, facilityId, path))
    const peakMb = await peakRssMb(api.process)

    // import and copies take turns, so that whatever else the machine does falls on all of them alike
    const ms = (name: keyof Round) => median(rounds.map((round) => round[name]))
    const rows = STEPS * NAMES.length
    const perSecond = (...names: (keyof Round)[]) => rows / (names.reduce((sum, name) => sum + ms(name), 0) / 1000)
    const importing = perSecond('upload', 'run')
    const text = perSecond('textCopy')
    return [
      {
        what: `import of ${rows} rows in ${(size / 1e6).toFixed(0)} MB: upload, run, roll-up and re-assessment`,
        rowsPerSecond: importing,
        plainCopyRowsPerSecond: text,
        ratio: importing / text,
        uploadS: ms('upload') / 1000,
        runS: ms('run') / 1000,
        target: `ratio ≥ ${TARGET_RATIO}`,
        reached: importing / text >= TARGET_RATIO,
      },
      {
        what: 'the same with the check that comes before',
        checkS: ms('check') / 1000,
        ratio: perSecond('upload', 'check', 'run') / text,
      },
      {
        what: 'the same against a COPY in binary format, which the import itself uses',
        plainCopyRowsPerSecond: perSecond('binaryCopy'),
        ratio: importing / perSecond('binaryCopy'),
      },
      {
        what: `peak memory of the API process: when started, and after ${ROUNDS} uploads, checks and runs`,
        startMb,
        peakMb,
        target: `< ${TARGET_MB} MB`,
        reached: peakMb < TARGET_MB,
      },
    ]
  } finally {
    api.process.kill('SIGTERM')
    await client.end()
    await rm(folder, { recursive: true, force: true })
  }
}

/** Rows of several bodies, told apart by a column, in local time; the same bytes each time. */
async function writeExport(path: string) {
  const file = createWriteStream(path)
  file.write(
    'Water,Date and time,pH,ORP (mV),Free chlorine (mg/L),Water temp (°F),Flow (gpm),Flow switch,Chlorine feed (%),Acid feed (%),pH set point,ORP set point (mV)\r\n',
  )
  // a clock that never changes: every row is a sample
  const two = (value: number) => String(value).padStart(2, '0')
  for (let from = 0; from < STEPS; from += 2000) {
    const lines: string[] = []
    for (let step = from; step < Math.min(STEPS, from + 2000); step++) {
      const time = new Date(END - (STEPS - step) * 300_000)
      const when = `${time.getUTCFullYear()}-${two(time.getUTCMonth() + 1)}-${two(time.getUTCDate())} ${two(time.getUTCHours())}:${two(time.getUTCMinutes())}:00`
      NAMES.forEach((name, body) => {
        const wave = ((step * 7919 + body * 104_729) % 1000) / 1000
        lines.push(
          `${name},${when},${(7.2 + wave * 0.4).toFixed(3)},${(680 + wave * 90).toFixed(2)},${(1 + wave * 3).toFixed(3)},${(80 + wave * 4).toFixed(3)},${(100 + wave * 9).toFixed(2)},${step % 97 === 0 ? 'off' : 'on'},${(wave * 30).toFixed(3)},${(wave * 12).toFixed(3)},7.400,${700 + body}.00\r\n`,
        )
      })
    }
    if (!file.write(lines.join(''))) await once(file, 'drain')
  }
  file.end()
  await finished(file)
}

/** Milliseconds of each part. */
type Round = Record<'upload' | 'check' | 'run' | 'textCopy' | 'binaryCopy', number>

async function measure(url: string, client: pg.Client, facilityId: string, path: string): Promise<Round> {
  await client.query('TRUNCATE sample, sample_hour')
  await client.query('CHECKPOINT')
  let detail: ImportDetail | undefined
  const uploading = await timed(async () => {
    detail = await upload(url, facilityId, path)
  })
  const { id, detection } = detail as ImportDetail
  const checking = await timed(async () => {
    await call(url, `/imports/${id}/check`, { layout: detection?.proposal })
    await ended(url, id, 'checked')
  })
  await client.query('CHECKPOINT')
  const begun = new Date()
  const running = await timed(async () => {
    await call(url, `/imports/${id}/run`, {})
    detail = await ended(url, id, 'done')
    await assessed(client, begun)
  })
  await refuseMissing(client, detail as ImportDetail)
  return { upload: uploading, check: checking, run: running, ...(await plainCopies(client)) }
}

/** The rows that the import stored, in the order of the file, copied into the same table as plainly as can be. */
async function plainCopies(client: pg.Client) {
  const columns = `body_id, at, ${(await columnsOf(client)).join(', ')}`
  const read = async (options: string) => {
    const chunks: Buffer[] = []
    const out = client.query(copyTo(`COPY (SELECT ${columns} FROM sample ORDER BY at, body_id) TO STDOUT ${options}`))
    for await (const chunk of out) chunks.push(chunk as Buffer)
    return chunks
  }
  const content = { text: await read(''), binary: await read(BINARY) }
  const copyIn = async (chunks: Buffer[], options: string) => {
    await client.query('TRUNCATE sample')
    await client.query('CHECKPOINT')
    return timed(() => pipeline(chunks, client.query(copyFrom(`COPY sample (${columns}) FROM STDIN ${options}`))))
  }
  return { textCopy: await copyIn(content.text, ''), binaryCopy: await copyIn(content.binary, BINARY) }
}
const BINARY = '(FORMAT binary)'

async function columnsOf(client: pg.Client): Promise<string[]> {
  const { rows } = await client.query(
    `SELECT attname FROM pg_attribute WHERE attrelid = 'sample'::regclass AND attnum > 2 AND NOT attisdropped ORDER BY attnum`,
  )
  return rows.map(({ attname }) => attname)
}

/** The figures are worth nothing unless every row is stored and rolled up. */
async function refuseMissing(client: pg.Client, { counts }: ImportDetail) {
  const { rows } = await client.query(
    'SELECT (SELECT count(*) FROM sample)::int AS samples, (SELECT sum(samples) FROM sample_hour)::int AS rolled',
  )
  const { samples, rolled } = rows[0]
  if (samples !== STEPS * NAMES.length || rolled !== samples || counts?.rejected !== 0)
    throw new Error(
      `${samples} samples and ${rolled} in hours are there of ${STEPS * NAMES.length}: ${JSON.stringify(counts)}`,
    )
}

interface Api {
  url: string
  process: ChildProcess
}

async function startApi(databaseUrl: string, uploadDir: string): Promise<Api> {
  const port = await freePort()
  const child = spawn(process.execPath, ['--import', 'tsx', 'apps/api/src/server.ts'], {
    cwd: new URL('../..', import.meta.url).pathname,
    env: { ...process.env, DATABASE_URL: databaseUrl, PORT: String(port), UPLOAD_DIR: uploadDir, LOG_LEVEL: 'warn' },
    stdio: ['ignore', 'inherit', 'inherit'],
  })
  const url = `http://127.0.0.1:${port}`
  for (let attempt = 0; attempt < 300; attempt++) {
    if (child.exitCode !== null) throw new Error(`the API ended with ${child.exitCode}`)
    const ready = await fetch(`${url}/ready`).catch(() => null)
    if (ready?.ok) return { url, process: child }
    await sleep(100)
  }
  child.kill()
  throw new Error('the API does not answer')
}

const freePort = () =>
  new Promise<number>((resolve, reject) => {
    const server = createServer()
    server.on('error', reject)
    server.listen(0, '127.0.0.1', () => {
      const { port } = server.address() as { port: number }
      server.close(() => resolve(port))
    })
  })

const sleep = (ms: number) => new Promise((resolve) => setTimeout(resolve, ms))

async function answerOf(response: Response) {
  if (!response.ok) throw new Error(`${response.url} answered ${response.status}: ${await response.text()}`)
  return response.json()
}

const call = async (url: string, path: string, body: object) =>
  answerOf(
    await fetch(url + path, {
      method: 'POST',
      headers: { 'content-type': 'application/json' },
      body: JSON.stringify(body),
    }),
  )

async function makePlant(url: string): Promise<string> {
  const facility = await call(url, '/facilities', { name: 'Bench House', timeZone: 'Etc/GMT+6' })
  const room = await call(url, '/equipment-rooms', { facilityId: facility.id, name: 'Basement' })
  const controller = await call(url, '/controllers', { equipmentRoomId: room.id, name: 'Controller' })
  for (const name of NAMES) {
    const body = await call(url, '/bodies', {
      facilityId: facility.id,
      equipmentRoomId: room.id,
      name,
      useClass: 'pool',
      setting: 'indoor',
      sanitizerSystem: 'hypochlorite',
      cyanuricAcidUsed: false,
    })
    for (const quantity of QUANTITIES)
      await call(url, '/channels', { controllerId: controller.id, bodyId: body.id, quantity })
  }
  return facility.id
}

async function upload(url: string, facilityId: string, path: string): Promise<ImportDetail> {
  const form = new FormData()
  form.append('facilityId', facilityId)
  form.append('person', 'Bench')
  form.append('file', await openAsBlob(path), 'export.csv')
  return answerOf(await fetch(`${url}/imports`, { method: 'POST', body: form }))
}

async function ended(url: string, id: string, wanted: ImportDetail['state']): Promise<ImportDetail> {
  for (;;) {
    const detail: ImportDetail = await answerOf(await fetch(`${url}/imports/${id}`))
    if (detail.state === wanted) return detail
    if (detail.state === 'failed') throw new Error(`the import failed: ${detail.failure}`)
    await sleep(20)
  }
}

async function assessed(client: pg.Client, since: Date) {
  for (;;) {
    const { rows } = await client.query('SELECT count(*)::int AS assessed FROM standing WHERE assessed_at >= $1', [
      since,
    ])
    if (rows[0].assessed === NAMES.length) return
    await sleep(5)
  }
}

/** The most that the process ever held, as Linux counts it; NaN elsewhere. */
async function peakRssMb({ pid }: ChildProcess): Promise<number> {
  const status = await readFile(`/proc/${pid}/status`, 'utf8').catch(() => '')
  return Number(/VmHWM:\s+(\d+) kB/.exec(status)?.[1] ?? Number.NaN) / 1000
}

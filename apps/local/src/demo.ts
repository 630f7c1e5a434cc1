import { fileURLToPath } from 'node:url'
import pg from 'pg'
import type { OpenDatabase } from './database.ts'
import { migrate } from './migrate.ts'
import { Problem } from './problem.ts'
import { type Program, startProgram } from './program.ts'
import { repository } from './settings.ts'

type DemoState = 'empty' | 'half' | 'used'

// Kept as the comment of a table, so that it travels with the data that it speaks of.
const MARK = 'demo is being written'

/** Whether the demo may be written: only into a database without a facility. `half` was interrupted. */
export async function demoState(url: string): Promise<DemoState> {
  return withClient(url, async (client) => {
    const { rows } = await client.query(
      `select obj_description('facility'::regclass) is not distinct from $1 as half,
              exists (select from facility) as used`,
      [MARK],
    )
    return rows[0].half ? 'half' : rows[0].used ? 'used' : 'empty'
  })
}

/** Writes the demo company. The first facility decides whether it is there, so a half-written one is marked until it is
 *  whole. A failed demo fails the start. */
async function writeDemo(url: string, onProgress: Progress, onStart: (program: Program) => void): Promise<void> {
  await withClient(url, (client) => client.query(`comment on table facility is '${MARK}'`))
  const program = startProgram({
    command: process.execPath,
    args: ['--import', 'tsx', fileURLToPath(new URL('./write-demo.ts', import.meta.url))],
    cwd: repository,
    env: { ...process.env, DATABASE_URL: url },
    onLine: (line) => {
      const told = progressOf(line)
      if (told) onProgress(told.part, told.doing)
    },
  })
  onStart(program)
  if ((await program.ended) !== 0)
    throw new Problem(
      `The demo could not be written. Its last words:\n${program.lastLines(20)}`,
      'The next start tries again from the beginning; SIGHTGLASS_DEMO=off starts without it.',
    )
  await withClient(url, (client) => client.query('comment on table facility is null'))
}

/** Sees to it that the demo is there where it should be, and says in a word what it found. */
export async function ensureDemo(database: OpenDatabase, wanted: boolean, tell: Telling): Promise<string> {
  const { url, own } = database
  if (!wanted) return 'off (SIGHTGLASS_DEMO)'
  const state = await demoState(url)
  if (state === 'used') return 'there are facilities already'
  if (state === 'half') {
    if (!own) throw halfWritten()
    tell.say('was interrupted last time; beginning anew')
    await emptyDatabase(url)
    await migrate(url)
  }
  await writeDemo(url, tell.progress, tell.started)
  return 'written'
}

export interface Telling {
  say(text: string): void
  progress: Progress
  started(program: Program): void
}

type Progress = (part: number, doing: string) => void

function progressOf(line: string): { part: number; doing: string } | undefined {
  try {
    const told = JSON.parse(line)
    return typeof told?.part === 'number' ? told : undefined
  } catch {
    return undefined
  }
}

/** Empties our own PostgreSQL of a half-written demo. Nothing else can be in it: the API had not been started. */
async function emptyDatabase(url: string): Promise<void> {
  const admin = new URL(url)
  const database = admin.pathname.slice(1)
  admin.pathname = '/postgres'
  await withClient(admin.href, async (client) => {
    await client.query(`drop database ${client.escapeIdentifier(database)} with (force)`)
    await client.query(`create database ${client.escapeIdentifier(database)}`)
  })
}

const halfWritten = () =>
  new Problem(
    'The database of DATABASE_URL holds part of the demo: its writing was interrupted.',
    'To write it again, empty the database (drop schema public cascade; create schema public) and start again.\n' +
      `To keep it as it is: SIGHTGLASS_DEMO=off npm start (in ${repository}).`,
  )

async function withClient<T>(url: string, work: (client: pg.Client) => Promise<T>): Promise<T> {
  const client = new pg.Client({ connectionString: url })
  client.on('error', () => undefined)
  await client.connect()
  try {
    return await work(client)
  } finally {
    await client.end()
  }
}

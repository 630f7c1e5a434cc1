// npm run drop-samples -- 2026-01-01: drops the months of samples that ended before a day. Hourly values stay.
import { existsSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import pg from 'pg'
import { checkExternal } from '../database.ts'
import { describe, Problem } from '../problem.ts'
import { databaseUrl, readSettings } from '../settings.ts'

try {
  const day = wholeDay(process.argv[3])
  const url = databaseUrl(process.env) ?? ownDatabase()
  await checkExternal(url)
  const client = new pg.Client({ connectionString: url })
  await client.connect()
  const { rows } = await client.query<{ dropped: string[] }>('select drop_sample_partitions_before($1) as dropped', [
    day,
  ])
  await client.end()
  const dropped = rows[0]?.dropped ?? []
  console.log(dropped.length ? `dropped: ${dropped.join(', ')}` : `no month of samples ended before ${day}`)
} catch (error) {
  console.error(describe(error))
  process.exitCode = 1
}

function wholeDay(text = ''): string {
  if (/^\d{4}-\d\d-\d\d$/.test(text) && new Date(text).toJSON()?.startsWith(text)) return text
  throw new Problem(`"${text}" is no day.`, 'Write it as year-month-day: npm run drop-samples -- 2026-01-01')
}

function ownDatabase(): string {
  const file = join(readSettings(process.env).dataFolder, 'database-url')
  if (existsSync(file)) return readFileSync(file, 'utf8').trim()
  throw new Problem(`There is no database in ${file}.`, 'Set DATABASE_URL, or SIGHTGLASS_DATA as for npm start.')
}

// npm run migrate: brings the database of DATABASE_URL up to date, as npm start does before it serves.
import { checkExternal } from '../database.ts'
import { migrate } from '../migrate.ts'
import { describe, Problem } from '../problem.ts'
import { databaseUrl } from '../settings.ts'

try {
  const url = databaseUrl(process.env)
  if (!url) throw new Problem('DATABASE_URL is not set.', 'Name the database that is to be brought up to date.')
  await checkExternal(url)
  const applied = await migrate(url)
  console.log(applied.length ? `applied: ${applied.join(', ')}` : 'up to date')
  process.exit(0)
} catch (error) {
  console.error(describe(error))
  process.exit(1)
}

// npm run bench: the figures, against a PostgreSQL of its own that writes as carefully as a real one.
import { join } from 'node:path'
import { startTemporaryPostgres } from '../postgres.ts'
import { startProgram } from '../program.ts'
import { Session } from '../session.ts'
import { repository } from '../settings.ts'

const session = new Session()

await session.run(async () => {
  const postgres = await startTemporaryPostgres({ durable: true })
  session.add('PostgreSQL', postgres.stop)
  const bench = startProgram({
    command: process.execPath,
    args: ['--import', 'tsx', join(repository, 'tests/bench/index.ts'), ...process.argv.slice(3)],
    cwd: repository,
    env: { ...process.env, DATABASE_URL: postgres.url },
    show: true,
  })
  session.add('Bench', bench.stop)
  const code = await bench.ended
  await session.end(code, code === 0 ? 'Measured.' : 'The bench failed; its reason stands above.')
})

// npm run bench:faults: seeded plants with faults, judged as the product would judge them. It needs no database.
import { spawnSync } from 'node:child_process'
import { join } from 'node:path'
import { repository } from '../settings.ts'

const { status } = spawnSync(
  process.execPath,
  ['--import', 'tsx', join(repository, 'tests/bench/faults/index.ts'), ...process.argv.slice(3)],
  { cwd: repository, stdio: 'inherit' },
)
process.exitCode = status ?? 1

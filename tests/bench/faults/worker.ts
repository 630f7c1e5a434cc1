// Judges one plant after another, as they are handed in.
import type { Job, Judged } from './jobs.ts'
import { judgeCase, judgeHealthy } from './judge.ts'

process.on('message', (job: Job) => {
  const judged: Judged =
    job.what === 'case'
      ? { what: 'case', result: judgeCase(job.name, job.kind, job.seed) }
      : { what: 'healthy', result: judgeHealthy(job.kind, job.seed) }
  process.send?.(judged)
})

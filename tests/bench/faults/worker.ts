// Judges one plant after another, as they are handed in.
import type { Job, Judged } from './jobs.ts'
import { judgeCase, judgeHealthy } from './judge.ts'
import { judgeSeason } from './season.ts'

function judged(job: Job): Judged {
  switch (job.what) {
    case 'case':
      return { what: 'case', result: judgeCase(job.name, job.kind, job.seed) }
    case 'healthy':
      return { what: 'healthy', result: judgeHealthy(job.kind, job.seed) }
    case 'season':
      return { what: 'season', result: judgeSeason(job.policy, job.kind, job.seed) }
  }
}

process.on('message', (job: Job) => {
  process.send?.(judged(job))
})

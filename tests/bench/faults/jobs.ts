import { fork } from 'node:child_process'
import { cpus } from 'node:os'
import { fileURLToPath } from 'node:url'
import { FAULT_CASES, type FaultCase, type FaultName } from '../../../seed/src/faults/catalogue.ts'
import { PLANT_KINDS, type PlantKind } from '../../../seed/src/faults/plants.ts'
import type { CaseResult, HealthyResult } from './judge.ts'
import { POLICIES, type Policy, SEASON_KINDS, type SeasonResult } from './season.ts'

export type Job =
  | { what: 'case'; name: FaultName; kind: PlantKind; seed: string }
  | { what: 'healthy'; kind: PlantKind; seed: string }
  | { what: 'season'; policy: Policy; kind: PlantKind; seed: string }
export type Judged =
  | { what: 'case'; result: CaseResult }
  | { what: 'healthy'; result: HealthyResult }
  | { what: 'season'; result: SeasonResult }

/** Every fault on so many plants, of the kinds that it can befall in turn; every kind of plant healthy as often as told. */
export function jobsOf(
  seed: string,
  plantsPerFault: number,
  healthyPerKind: number,
  names: readonly FaultName[],
): Job[] {
  const cases = names.flatMap((name) => {
    const { on }: FaultCase = FAULT_CASES[name]
    return Array.from({ length: plantsPerFault }, (_, at): Job => {
      return { what: 'case', name, kind: on[at % on.length] as PlantKind, seed: `${seed}/${at}` }
    })
  })
  const kinds = Object.keys(PLANT_KINDS) as PlantKind[]
  const healthy = kinds.flatMap((kind) =>
    Array.from({ length: healthyPerKind }, (_, at): Job => ({ what: 'healthy', kind, seed: `${seed}/${at}` })),
  )
  return [...cases, ...healthy]
}

/** Every way to place the set point, on the same plants. */
export const seasonJobs = (seed: string, plantsPerKind: number): Job[] =>
  POLICIES.flatMap((policy) =>
    SEASON_KINDS.flatMap((kind) =>
      Array.from({ length: plantsPerKind }, (_, at): Job => ({ what: 'season', policy, kind, seed: `${seed}/${at}` })),
    ),
  )

/** Runs the jobs on so many cores at most; results come in any order. */
export async function runJobs(
  jobs: readonly Job[],
  mostWorkers: number,
  onDone: (done: number) => void,
): Promise<Judged[]> {
  const waiting = [...jobs]
  const results: Judged[] = []
  const work = () =>
    new Promise<void>((resolve, reject) => {
      // a process rather than a thread: the TypeScript loader does not reach into threads
      const worker = fork(fileURLToPath(new URL('./worker.ts', import.meta.url)), { execArgv: ['--import', 'tsx'] })
      const next = () => {
        const job = waiting.shift()
        if (job) worker.send(job)
        else worker.disconnect()
      }
      worker.on('message', (judged: Judged) => {
        results.push(judged)
        onDone(results.length)
        next()
      })
      worker.on('error', reject)
      worker.on('exit', (code) => (code === 0 ? resolve() : reject(new Error(`a worker ended with ${code}`))))
      next()
    })
  await Promise.all(Array.from({ length: Math.min(mostWorkers, cpus().length) }, work))
  return results
}

// npm run bench:faults: seeded plants with a fault each, judged as the product would judge them.
//   npm run bench:faults                                both sets of seeds, every fault
//   npm run bench:faults -- sanitizerPrimeLost bothFeeds
//   npm run bench:faults -- speed                       how long one judgement takes
//   npm run bench:faults -- season                      following the set point advice for a season
//   FAULT_SEEDS=mine,yours npm run bench:faults          other seeds
//   FAULT_PLANTS=30 HEALTHY_PLANTS=8 FAULT_WORKERS=1 npm run bench:faults   more plants, on one core
import { FAULT_CASES, type FaultName } from '../../../seed/src/faults/catalogue.ts'
import { type Job, type Judged, jobsOf, runJobs, seasonJobs } from './jobs.ts'
import { judgementMs, printSpeed } from './speed.ts'
import { printSeason, printTally, tallyOf } from './table.ts'

/** Thresholds were chosen on the first; nothing was ever chosen on the second. */
const SETS = 'tuned,held-out'

const wanted = process.argv.slice(2)
const BESIDE = ['season', 'speed']
const unknown = wanted.filter((name) => !BESIDE.includes(name) && !(name in FAULT_CASES))
if (unknown.length > 0) {
  console.error(
    `There is no ${unknown.join(', ')}. There are: ${BESIDE.join(', ')}, ${Object.keys(FAULT_CASES).join(', ')}.`,
  )
  process.exit(1)
}
const every = wanted.length === 0
const names = (every ? Object.keys(FAULT_CASES) : wanted.filter((name) => !BESIDE.includes(name))) as FaultName[]
const plants = numberOf('FAULT_PLANTS', 10)
const healthy = every ? numberOf('HEALTHY_PLANTS', 4) : 0
const workers = numberOf('FAULT_WORKERS', 2)

if (every || wanted.includes('speed')) console.log(`${printSpeed(judgementMs())}\n`)
for (const seed of (process.env.FAULT_SEEDS ?? SETS).split(',')) {
  if (names.length > 0)
    await bench(seed, jobsOf(seed, plants, healthy, names), (judged) => printTally(seed, tallyOf(judged)))
  if (every || wanted.includes('season')) {
    await bench(seed, seasonJobs(seed, numberOf('SEASON_PLANTS', 3)), (judged) => printSeason(seed, judged))
  }
}

async function bench(seed: string, jobs: readonly Job[], told: (judged: readonly Judged[]) => string) {
  const started = Date.now()
  const judged = await runJobs(jobs, workers, (done) => {
    if (process.stderr.isTTY && done % 10 === 0) process.stderr.write(`\r${seed}: ${done} of ${jobs.length} plants`)
  })
  if (process.stderr.isTTY) process.stderr.write('\r')
  console.log(`${told(judged)}\nin ${((Date.now() - started) / 1000).toFixed(0)} s\n`)
}

function numberOf(name: string, usual: number): number {
  const given = process.env[name]
  if (given === undefined) return usual
  const value = Number(given)
  if (!Number.isInteger(value) || value < 0)
    throw new Error(`${name} is “${given}”; it must be a whole number, 0 or more.`)
  return value
}

import { assess, assessRedox, fitRedox, profileByKey, setPointAdvice } from '@sightglass/chemistry'
import { lifeOf } from '../../../seed/src/faults/plants.ts'
import { observe, snapshotAt } from './observe.ts'
import { aimOf, redoxRecords } from './redox.ts'

const DAY = 24 * 3_600_000
const ROUNDS = 60
const WARM_UP = 10
const PAIRS = 200

/** Milliseconds of processor time, its helpers' included, of so many runs of one work on one body: a busy machine does not count. */
interface Took {
  what: string
  median: number
  slowest: number
  /** To reach: under this; null where nothing was promised. */
  under: number | null
}

/** How long one judgement of a body takes: its feed from 90 days at five minutes, and its probes from 200 pairs. */
export function judgementMs(): Took[] {
  const profile = profileByKey('cdc-mahc')
  if (!profile) throw new Error('there is no profile cdc-mahc')
  const fromMs = Date.UTC(2026, 3, 1)
  const nowMs = fromMs + 91 * DAY
  const observed = observe(lifeOf('outdoorPool', 'speed', fromMs, 92), [])
  const usual = snapshotAt(observed, nowMs)
  if (!usual.controller) throw new Error('the plant has no controller')
  const hours = observed.hours.filter(({ hourMs }) => hourMs <= nowMs && hourMs > nowMs - 90 * DAY)
  const recent = observed.samples.filter(({ atMs }) => atMs <= nowMs && atMs > nowMs - 90 * DAY)
  const ninetyDays = { ...usual, controller: { ...usual.controller, hours, recent } }
  const aim = aimOf(observed.life)
  const whole = redoxRecords(observed)(nowMs)
  if (whole.pairs.length < PAIRS) throw new Error(`the plant has ${whole.pairs.length} pairs`)
  const record = { ...whole, pairs: whole.pairs.slice(-PAIRS) }
  const { probe } = assessRedox(record, aim, nowMs).drift
  // another object each time: nothing may be remembered
  return [
    took('feed and all else of a body, 90 days at five minutes', 20, () => assess({ ...ninetyDays }, profile, nowMs)),
    took('the same, three weeks of hours as asked for every hour', null, () => assess({ ...usual }, profile, nowMs)),
    took(`fitting and advising, ${PAIRS} pairs`, 5, () => {
      const again = { ...record }
      setPointAdvice(again, fitRedox(again, nowMs), aim, probe, nowMs)
    }),
    took('the same with drift and both probes, 90 days of hours', null, () => assessRedox({ ...record }, aim, nowMs)),
  ]
}

function took(what: string, under: number | null, work: () => unknown): Took {
  for (let round = 0; round < WARM_UP; round++) work()
  const times = Array.from({ length: ROUNDS }, () => {
    const start = process.cpuUsage()
    work()
    const { user, system } = process.cpuUsage(start)
    return (user + system) / 1000
  }).sort((a, b) => a - b)
  return { what, median: times[ROUNDS >> 1] as number, slowest: times[ROUNDS - 1] as number, under }
}

export const printSpeed = (all: readonly Took[]): string =>
  all
    .map(({ what, median, slowest, under }) => {
      const aim = under === null ? '' : `  (to reach: under ${under} ms)  ${median < under ? 'reached' : 'MISSED'}`
      return `${what.padEnd(58)} median ${median.toFixed(1)} ms, slowest of ${ROUNDS} ${slowest.toFixed(1)} ms${aim}`
    })
    .join('\n')

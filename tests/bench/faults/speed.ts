import { assess, profileByKey } from '@sightglass/chemistry'
import { lifeOf } from '../../../seed/src/faults/plants.ts'
import { observe, snapshotAt } from './observe.ts'

const DAY = 24 * 3_600_000
const ROUNDS = 40

/** Milliseconds of one judgement of a body: 90 days of hours and of five-minute samples, and what is asked for every hour. */
export function judgementMs(): { ninetyDays: number; usual: number } {
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
  const medianOf = (snapshot: typeof usual) => {
    const times = Array.from({ length: ROUNDS }, () => {
      const start = performance.now()
      // another object each time: nothing may be remembered
      assess({ ...snapshot }, profile, nowMs)
      return performance.now() - start
    }).sort((a, b) => a - b)
    return times[ROUNDS >> 1] as number
  }
  return { ninetyDays: medianOf(ninetyDays), usual: medianOf(usual) }
}

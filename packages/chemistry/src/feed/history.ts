import type { BodyFacts, HourRecord } from '../snapshot.ts'
import { HOUR_MS } from '../time.ts'
import type { FeederRole } from '../vocabulary.ts'

/**
 * Hours as columns on a grid without holes, so that the same clock hours of other days are one index away. NaN: nothing
 * was heard, or it cannot be judged.
 */
export interface History {
  fromMs: number
  /** Hours from the first to the newest, the one under way included when half of it is covered. */
  count: number
  /** Minutes of feed in a whole hour; NaN also while nothing flowed, because an interlock holds feeds then. */
  feed: Record<FeederRole, Float64Array>
  /** The controller has reported this feed at least once. */
  reports: Record<FeederRole, boolean>
  orp: Float64Array
  orpRange: Float64Array
  orpSet: Float64Array
  ph: Float64Array
  phRange: Float64Array
  phSet: Float64Array
  tempC: Float64Array
  /** L/min while it flowed. */
  flow: Float64Array
  /** Minutes without flow, by the switch. */
  noFlow: Float64Array
}

/** Common practice, no source: what is heard of less than half an hour says little of a feed that takes turns. */
const HOUR_COUNTS_MIN = 30

const DAY_HOURS = 24

export const hourAt = ({ fromMs }: History, index: number) => fromMs + index * HOUR_MS

/** @param hours oldest first, at most one for each hour; @param longestDays what lies further back is left out */
export function historyOf(hours: readonly HourRecord[], body: BodyFacts, longestDays = 90): History {
  const last = hours[hours.length - 1]
  const lastMs = last ? (last.coveredMin >= HOUR_COUNTS_MIN ? last.hourMs : last.hourMs - HOUR_MS) : 0
  const earliestMs = lastMs - (longestDays * DAY_HOURS - 1) * HOUR_MS
  const first = hours.find(({ hourMs }) => hourMs >= earliestMs)
  const fromMs = first?.hourMs ?? lastMs
  const count = first && lastMs >= fromMs ? Math.round((lastMs - fromMs) / HOUR_MS) + 1 : 0
  const history = emptyHistory(fromMs, count)
  for (const hour of hours) {
    const index = Math.round((hour.hourMs - fromMs) / HOUR_MS)
    if (index >= 0 && index < count) put(history, index, hour, body)
  }
  return history
}

function emptyHistory(fromMs: number, count: number): History {
  const column = () => new Float64Array(count).fill(Number.NaN)
  return {
    fromMs,
    count,
    feed: { primary: column(), backup: column(), ph: column() },
    reports: { primary: false, backup: false, ph: false },
    orp: column(),
    orpRange: column(),
    orpSet: column(),
    ph: column(),
    phRange: column(),
    phSet: column(),
    tempC: column(),
    flow: column(),
    noFlow: column(),
  }
}

function put(history: History, index: number, hour: HourRecord, body: BodyFacts): void {
  if (hour.noFlowMin !== null) history.noFlow[index] = hour.noFlowMin
  if (hour.coveredMin < HOUR_COUNTS_MIN) return
  if (hour.tempC) history.tempC[index] = hour.tempC.mean
  const standing = hour.noFlowMin ?? 0
  if (standing > hour.coveredMin / 2) return
  if (hour.flowLMin && standing === 0 && hour.flowLMin.max > 0.05 * (body.flowLMin ?? 0)) {
    history.flow[index] = hour.flowLMin.mean
  }
  const whole = 60 / (hour.coveredMin - standing)
  const feeds = { primary: hour.sanitizerFeedMin, backup: hour.backupFeedMin, ph: hour.phFeedMin }
  for (const role of ['primary', 'backup', 'ph'] as const) {
    const minutes = feeds[role]
    if (minutes === null) continue
    history.feed[role][index] = Math.min(60, minutes * whole)
    history.reports[role] = true
  }
  if (hour.orpMv) {
    history.orp[index] = hour.orpMv.mean
    history.orpRange[index] = hour.orpMv.max - hour.orpMv.min
  }
  if (hour.ph) {
    history.ph[index] = hour.ph.mean
    history.phRange[index] = hour.ph.max - hour.ph.min
  }
  if (hour.orpSetPointMv !== null) history.orpSet[index] = hour.orpSetPointMv
  if (hour.phSetPoint !== null) history.phSet[index] = hour.phSetPoint
}

/** Mean of a column from one hour up to, but not with, another; NaN where less than half of it is known. */
export function meanOver(column: Float64Array, from: number, to: number): number {
  let [sum, known] = [0, 0]
  for (let index = Math.max(0, from); index < to; index++) {
    const value = column[index] as number
    if (Number.isNaN(value)) continue
    sum += value
    known++
  }
  return known > 0 && known * 2 >= to - from ? sum / known : Number.NaN
}

/** Of the numbers in a list, the one below which a share of them lies; NaN of none. */
export function quantileOf(values: readonly number[], share: number): number {
  // typed arrays sort numbers without a call for each comparison
  const sorted = Float64Array.from(values).sort()
  return sorted[Math.floor((sorted.length - 1) * share)] ?? Number.NaN
}

export const medianOf = (values: readonly number[]) => quantileOf(values, 0.5)

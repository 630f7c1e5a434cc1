import { FAULT_CASES, type FaultCase, type FaultGroup, type FaultName } from '../../../seed/src/faults/catalogue.ts'
import type { Judged } from './jobs.ts'
import type { CaseResult, HealthyResult } from './judge.ts'
import { POLICIES, type Policy, type SeasonResult } from './season.ts'

/** A hazard is to be said within two samples, feed and flow within a day. */
const IN_TIME_HOURS: Record<FaultGroup, number | null> = {
  feed: 24,
  flow: 24,
  hazard: 10 / 60,
  probe: null,
  water: null,
  decoy: null,
}

export interface FaultRow {
  name: FaultName
  group: FaultGroup
  plants: number
  /** Parts of the plants. */
  recall: number
  inTime: number | null
  wrongCause: number
  others: number
  medianHours: number
  p90Hours: number
}

export interface Tally {
  rows: FaultRow[]
  months: number
  /** Per healthy body and month, by kind; silence of a controller is no false alarm where samples really failed to come. */
  falseAlarms: Record<string, number>
  falseAlarmsAll: number
}

export function tallyOf(judged: readonly Judged[]): Tally {
  const cases = judged.flatMap((one) => (one.what === 'case' ? [one.result] : []))
  const healthy = judged.flatMap((one) => (one.what === 'healthy' ? [one.result] : []))
  const names = (Object.keys(FAULT_CASES) as FaultName[]).filter((name) => cases.some((one) => one.name === name))
  return {
    rows: names.map((name) =>
      rowOf(
        name,
        cases.filter((one) => one.name === name),
      ),
    ),
    ...alarmsOf(healthy),
  }
}

function rowOf(name: FaultName, results: readonly CaseResult[]): FaultRow {
  const { group, expect }: FaultCase = FAULT_CASES[name]
  const delays = results.flatMap(({ delayHours }) => (delayHours === null ? [] : [delayHours])).sort((a, b) => a - b)
  const limit = IN_TIME_HOURS[group]
  const part = (count: number) => count / results.length
  const at = (share: number) => delays[Math.floor((delays.length - 1) * share)] ?? Number.NaN
  return {
    name,
    group,
    plants: results.length,
    // nothing is to be said of a decoy: it is passed when nothing was
    recall: expect.length > 0 ? part(delays.length) : part(results.filter(({ others }) => others.length === 0).length),
    inTime: limit === null ? null : part(delays.filter((hours) => hours <= limit + 1e-9).length),
    wrongCause: part(results.filter(({ wrongCause }) => wrongCause).length),
    others: part(results.filter(({ others }) => others.length > 0).length),
    medianHours: at(0.5),
    p90Hours: at(0.9),
  }
}

function alarmsOf(healthy: readonly HealthyResult[]): Omit<Tally, 'rows'> {
  const months = healthy.reduce((sum, one) => sum + one.months, 0)
  const counts: Record<string, number> = {}
  for (const { alarms } of healthy) for (const { kind } of alarms) counts[kind] = (counts[kind] ?? 0) + 1
  const falseAlarms = Object.fromEntries(Object.entries(counts).map(([kind, count]) => [kind, count / months]))
  const all = Object.entries(falseAlarms).filter(([kind]) => kind !== 'controllerSilent')
  return { months, falseAlarms, falseAlarmsAll: all.reduce((sum, [, rate]) => sum + rate, 0) }
}

const pct = (part: number | null) => (part === null ? '' : `${Math.round(part * 100)} %`).padStart(6)
const hours = (value: number) =>
  (Number.isNaN(value) ? '' : value < 1 ? `${Math.round(value * 60)} min` : `${value.toFixed(1)} h`).padStart(8)

export function printTally(seed: string, { rows, months, falseAlarms, falseAlarmsAll }: Tally): string {
  const lines = [
    `Seeds “${seed}”`,
    `${'fault'.padEnd(22)} ${'group'.padEnd(7)} plants recall in time   median     p90 wrong cause other`,
    ...rows.map(
      (row) =>
        `${row.name.padEnd(22)} ${row.group.padEnd(7)} ${String(row.plants).padStart(6)} ${pct(row.recall)}  ${pct(row.inTime)} ${hours(row.medianHours)} ${hours(row.p90Hours)}     ${pct(row.wrongCause)} ${pct(row.others)}`,
    ),
  ]
  for (const group of ['feed', 'flow', 'hazard', 'probe', 'water', 'decoy'] as const) {
    const of = rows.filter((row) => row.group === group)
    if (of.length === 0) continue
    const mean = (value: (row: FaultRow) => number | null) =>
      of.some((row) => value(row) === null) ? null : of.reduce((sum, row) => sum + (value(row) ?? 0), 0) / of.length
    lines.push(
      `all ${group}`.padEnd(37) +
        ` ${pct(mean((row) => row.recall))}  ${pct(mean((row) => row.inTime))}${' '.repeat(22)} ${pct(mean((row) => row.wrongCause))} ${pct(mean((row) => row.others))}`,
    )
  }
  if (months > 0) {
    const each = Object.entries(falseAlarms).map(([kind, rate]) => `${kind} ${rate.toFixed(3)}`)
    lines.push(
      `healthy: ${months.toFixed(0)} body months, false alarms per body and month: ${falseAlarmsAll.toFixed(3)} (${each.join(', ')}; controllerSilent not counted: samples did fail to come)`,
    )
  }
  return lines.join('\n')
}

/** The ways side by side, over the same plants. */
export function printSeason(seed: string, judged: readonly Judged[]): string {
  const results = judged.flatMap((one) => (one.what === 'season' ? [one.result] : []))
  const mean = (policy: Policy, of: (one: SeasonResult) => number) => {
    const its = results.filter((one) => one.policy === policy)
    return its.reduce((sum, one) => sum + of(one), 0) / its.length
  }
  return [
    `Seeds “${seed}”: 26 weeks on ${results.length / POLICIES.length} plants, free chlorine within 0.5 mg/L of its target`,
    'set point      weeks  hours',
    ...POLICIES.map(
      (policy) =>
        `${policy.padEnd(12)} ${pct(mean(policy, (one) => one.weeksWithin))} ${pct(mean(policy, (one) => one.hoursWithin))}`,
    ),
  ].join('\n')
}

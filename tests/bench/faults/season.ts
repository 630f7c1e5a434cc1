// A season of weekly visits on plants whose stabilizer, temperature and probe drift: three ways to place the ORP set point.
import { assessRedox, type HourRecord, type LatestSample, QUANTITIES } from '@sightglass/chemistry'
import {
  createRandom,
  type Fault,
  type PlantSpec,
  type PlantWork,
  type SetPointVisit,
  simulate,
  type TestReading,
} from '@sightglass/chemistry/plant'
import { lifeOf, PLANT_KINDS, type PlantKind, type PlantLife } from '../../../seed/src/faults/plants.ts'
import { rollUp } from '../../support/hours.ts'
import { aimOf, redoxRecords } from './redox.ts'

const HOUR = 3_600_000
const DAY = 24 * HOUR
const WEEK = 7 * DAY
const WEEKS = 26
/** The weeks in which the plant is started up. */
const SETTLING_WEEKS = 3
/** mg/L from the target. */
const WITHIN_MGL = 0.5

/**
 * `alone`: never moved. `difference`: at every visit by that test's whole distance from the target, in mV of a usual probe, as far
 * in a day as the advice may go. `cautious`: the same by 8 mV at most, half as far, and not for less than a quarter.
 * `advice`: as advised.
 */
export const POLICIES = ['alone', 'cautious', 'difference', 'advice'] as const
export type Policy = (typeof POLICIES)[number]

/** Every kind that holds chlorine: the advice rests on the theory of it. */
export const SEASON_KINDS: readonly PlantKind[] = (Object.keys(PLANT_KINDS) as PlantKind[]).filter(
  (kind) => PLANT_KINDS[kind].system !== 'bromine',
)

export interface SeasonResult {
  policy: Policy
  kind: PlantKind
  seed: string
  /** Part of the weeks whose mean free chlorine lay within half a mg/L of the target. */
  weeksWithin: number
  /** The same of the hours. */
  hoursWithin: number
}

export function judgeSeason(policy: Policy, kind: PlantKind, seed: string): SeasonResult {
  const random = createRandom(`${seed}/${kind}/season`)
  const fromMs = Date.UTC(2026, 2, 2)
  const life = lifeOf(kind, `${seed}/season/${kind}`, fromMs, WEEKS * 7)
  const faults = drifts(life, random.next())
  const plant = withScoring(life.plant)
  const seen = {
    samples: [] as LatestSample[],
    readings: [] as TestReading[],
    work: [] as PlantWork[],
    hours: [] as HourRecord[],
  }
  const truth: { atMs: number; mgL: number }[] = []
  const advised = ({ atMs, orpSetPointMv, reading, work }: SetPointVisit) => {
    const known = { life, ...seen, readings: [...seen.readings, reading], work: [...seen.work, ...work] }
    const { advice } = assessRedox(redoxRecords(known)(atMs), aimOf(life), atMs)
    return advice.action === 'move' && advice.todayMv !== null ? Math.round(advice.todayMv) : orpSetPointMv
  }
  const { sanitizerMgL: targetMgL } = plant.target
  const placed: Record<Policy, (visit: SetPointVisit) => number> = {
    alone: ({ orpSetPointMv }) => orpSetPointMv,
    cautious: (visit) => byDifference(visit, targetMgL, CAUTIOUS),
    difference: (visit) => byDifference(visit, targetMgL, WHOLE),
    advice: advised,
  }
  /** Whoever started the plant up found its set point by test; from then on the ways part. */
  const setPoint = (visit: SetPointVisit) =>
    visit.atMs < fromMs + SETTLING_WEEKS * WEEK ? placed.difference(visit) : placed[policy](visit)
  const options = {
    seed: life.seed,
    fromMs,
    toMs: life.toMs,
    faults: [...life.everyday, ...faults],
    tests: life.tests,
    visits: life.visits,
    record: life.record,
    setPoint,
  }
  for (const { count, atMs, columns, readings, work } of simulate(plant, options)) {
    for (let at = 0; at < count; at++) {
      truth.push({ atMs: atMs[at] as number, mgL: columns.freeChlorineMgL[at] as number })
      seen.samples.push(sampleOf(life.plant, atMs[at] as number, (quantity) => columns[quantity][at] as number))
    }
    seen.readings.push(...readings)
    seen.work.push(...work)
    rollUpNew(seen)
  }
  return { policy, kind, seed, ...scored(truth, fromMs + SETTLING_WEEKS * WEEK, life.plant.target.sanitizerMgL) }
}

/** mV for ten times the chlorine (simulated: 55 to 75; 30 is the theory), the furthest in a day, and the share of ten times that is let be. */
const WHOLE = { slopeMv: 65, mostMv: 15, leastDecades: 0 }
const CAUTIOUS = { slopeMv: 30, mostMv: 8, leastDecades: 0.1 }

function byDifference(
  { orpSetPointMv, reading }: SetPointVisit,
  targetMgL: number,
  { slopeMv, mostMv, leastDecades }: typeof WHOLE,
): number {
  const { freeChlorineMgL } = reading.values
  if (freeChlorineMgL === undefined) return orpSetPointMv
  const decades = Math.log10(targetMgL / Math.max(0.1, freeChlorineMgL))
  if (Math.abs(decades) < leastDecades) return orpSetPointMv
  return Math.round(orpSetPointMv + Math.max(-mostMv, Math.min(mostMv, decades * slopeMv)))
}

/** Stabilizer gathers, the probe ages by some tens of millivolts, and its slope with it. */
function drifts({ plant, fromMs, toMs }: PlantLife, chance: number): Fault[] {
  const weeksMin = (toMs - fromMs) / 60_000
  const down = chance < 0.7
  return [
    { kind: 'orpProbeOff', fromMs, amount: (down ? -1 : 1) * (15 + 25 * chance), rampMin: weeksMin },
    { kind: 'orpProbeAged', fromMs, amount: 0.2 * chance, rampMin: weeksMin },
    ...(plant.target.cyanuricAcidMgL > 0
      ? [{ kind: 'stabilizerAdded' as const, fromMs, amount: 0.15 + 0.35 * chance }]
      : []),
    { kind: 'heaterWeak', fromMs: fromMs + 12 * WEEK, toMs: fromMs + 18 * WEEK, amount: 22 },
  ]
}

/** The model's own chlorine, for the score; what is judged by never holds it. */
const withScoring = (plant: PlantSpec): PlantSpec => ({
  ...plant,
  controller: plant.controller && {
    ...plant.controller,
    channels: [...plant.controller.channels.filter((channel) => channel !== 'freeChlorineMgL'), 'freeChlorineMgL'],
  },
})

function sampleOf(
  plant: PlantSpec,
  atMs: number,
  value: (quantity: (typeof QUANTITIES)[number]) => number,
): LatestSample {
  const row = { atMs } as Record<string, number | boolean | null>
  for (const quantity of QUANTITIES) {
    const shown = plant.controller?.channels.includes(quantity) && quantity !== 'freeChlorineMgL'
    const one = value(quantity)
    row[quantity] = !shown || Number.isNaN(one) ? null : quantity === 'flowOn' ? one === 1 : one
  }
  return row as unknown as LatestSample
}

/** Rolls up the hours that came since the last time. */
function rollUpNew({ samples, hours }: { samples: LatestSample[]; hours: HourRecord[] }): void {
  const lastMs = hours[hours.length - 1]?.hourMs ?? Number.NEGATIVE_INFINITY
  let from = samples.length
  while (from > 0 && (samples[from - 1] as LatestSample).atMs >= lastMs + HOUR) from--
  while (from < samples.length) {
    const hourMs = Math.floor((samples[from] as LatestSample).atMs / HOUR) * HOUR
    let to = from
    while (to < samples.length && (samples[to] as LatestSample).atMs < hourMs + HOUR) to++
    hours.push(rollUp(hourMs, samples.slice(from, to)))
    from = to
  }
}

function scored(truth: readonly { atMs: number; mgL: number }[], fromMs: number, targetMgL: number) {
  const weeks = new Map<number, { sum: number; count: number }>()
  let [within, count] = [0, 0]
  for (const { atMs, mgL } of truth) {
    if (atMs < fromMs) continue
    count++
    if (Math.abs(mgL - targetMgL) <= WITHIN_MGL) within++
    const week = Math.floor((atMs - fromMs) / WEEK)
    const one = weeks.get(week) ?? { sum: 0, count: 0 }
    weeks.set(week, { sum: one.sum + mgL, count: one.count + 1 })
  }
  const means = [...weeks.values()].map((one) => one.sum / one.count)
  const near = means.filter((mean) => Math.abs(mean - targetMgL) <= WITHIN_MGL).length
  return { weeksWithin: near / means.length, hoursWithin: within / count }
}

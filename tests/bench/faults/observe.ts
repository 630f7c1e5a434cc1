// What a database would hold of a plant, and nothing of its truth: samples, hours, tests, levels, up to the time asked.
import {
  type FeederFacts,
  type HourRecord,
  type LatestSample,
  type Measured,
  PARAMETERS,
  type Parameter,
  type PastTest,
  QUANTITIES,
  type Snapshot,
} from '@sightglass/chemistry'
import {
  type DrumReading,
  type Fault,
  type PlantState,
  type PlantWork,
  simulate,
  type TestReading,
} from '@sightglass/chemistry/plant'
import type { PlantLife } from '../../../seed/src/faults/plants.ts'
import { rollUp } from '../../support/hours.ts'

const HOUR = 3_600_000
const DAY = 24 * HOUR

export interface Observed {
  life: PlantLife
  samples: LatestSample[]
  hours: HourRecord[]
  readings: TestReading[]
  levels: DrumReading[]
  work: PlantWork[]
  /** The plant as it really stood in the end; for scoring only. */
  truth: PlantState
}

export function observe(life: PlantLife, faults: readonly Fault[]): Observed {
  const { plant, seed, fromMs, toMs, everyday, tests, visits, record } = life
  const observed: Omit<Observed, 'truth'> = { life, samples: [], hours: [], readings: [], levels: [], work: [] }
  const options = { seed, fromMs, toMs, faults: [...everyday, ...faults], tests, visits, record }
  const running = simulate(plant, options)
  for (;;) {
    const step = running.next()
    if (step.done)
      return { ...observed, hours: hoursBetween(observed.samples, 0, observed.samples.length), truth: step.value }
    const { count, atMs, columns, readings, drumLevels, work } = step.value
    for (let at = 0; at < count; at++) {
      const row = { atMs: atMs[at] as number } as Record<string, number | boolean | null>
      for (const quantity of QUANTITIES) {
        const value = columns[quantity][at] as number
        row[quantity] = Number.isNaN(value) ? null : quantity === 'flowOn' ? value === 1 : value
      }
      observed.samples.push(row as unknown as LatestSample)
    }
    observed.readings.push(...readings)
    observed.levels.push(...drumLevels)
    observed.work.push(...work)
  }
}

function hoursBetween(samples: readonly LatestSample[], from: number, to: number): HourRecord[] {
  const hours: HourRecord[] = []
  while (from < to) {
    const hourMs = Math.floor((samples[from] as LatestSample).atMs / HOUR) * HOUR
    let end = from
    while (end < to && (samples[end] as LatestSample).atMs < hourMs + HOUR) end++
    hours.push(rollUp(hourMs, samples.slice(from, end)))
    from = end
  }
  return hours
}

/** How far back a snapshot reaches. */
const HISTORY_DAYS = 21
const RAW_DAYS = 3
const LEVEL_DAYS = 30

/** The snapshot that the database would give at that time. */
export function snapshotAt(observed: Observed, nowMs: number): Snapshot {
  const { life, samples } = observed
  const { plant } = life
  const heard = firstAfter(samples, nowMs)
  const latest = samples[heard - 1] ?? null
  const readings = observed.readings.filter(({ atMs }) => atMs <= nowMs)
  return {
    body: {
      useClass: plant.useClass,
      setting: plant.setting,
      sanitizerSystem: plant.sanitizerSystem,
      cyanuricAcidUsed: plant.target.cyanuricAcidMgL > 0,
      volumeL: plant.volumeL,
      flowLMin: plant.flowLMin,
    },
    tests: newestOf(readings),
    lastTestAtMs: readings.at(-1)?.atMs ?? null,
    controller: plant.controller && {
      channels: plant.controller.channels,
      lastHeardAtMs: latest?.atMs ?? null,
      latest,
      hours: hoursUpTo(observed, heard, nowMs),
      recent: samples.slice(firstAfter(samples, nowMs - RAW_DAYS * DAY), heard),
    },
    feeders: feedersAt(observed, nowMs),
    outOfUse: null,
    incidents: [],
    pastTests: readings.filter(({ atMs }) => atMs > nowMs - HISTORY_DAYS * DAY).map(pastTest),
  }
}

/** Hours as rolled up by then: the one under way holds what has come so far. */
function hoursUpTo({ hours, samples }: Observed, heard: number, nowMs: number): HourRecord[] {
  const underWay = Math.floor(nowMs / HOUR) * HOUR
  const whole = firstHourAt(hours, underWay)
  const past = hours.slice(firstHourAt(hours, underWay - HISTORY_DAYS * DAY), whole)
  return [...past, ...hoursBetween(samples, firstAfter(samples, underWay - 1), heard)]
}

const firstAfter = (samples: readonly LatestSample[], atMs: number) =>
  search(samples.length, (at) => (samples[at] as LatestSample).atMs > atMs)
const firstHourAt = (hours: readonly HourRecord[], atMs: number) =>
  search(hours.length, (at) => (hours[at] as HourRecord).hourMs >= atMs)

/** The first index at which it holds, in a list where it holds from somewhere on. */
function search(count: number, holds: (at: number) => boolean): number {
  let [low, high] = [0, count]
  while (low < high) {
    const middle = (low + high) >> 1
    if (holds(middle)) high = middle
    else low = middle + 1
  }
  return low
}

function feedersAt({ life, levels }: Observed, nowMs: number): FeederFacts[] {
  return life.plant.feeders.map(({ role, kind, drum, rateLH }) => ({
    id: role,
    name: '',
    role,
    kind,
    rateLH: rateLH || null,
    drum: drum && {
      id: `drum of ${role}`,
      name: `Drum of ${role}`,
      content: drum.content,
      capacityL: drum.capacityL,
      levels: levels
        .filter((level) => level.role === role && level.atMs <= nowMs && level.atMs > nowMs - LEVEL_DAYS * DAY)
        .map(({ atMs, levelL, deliveredL }) => ({ atMs, levelL, deliveredL })),
    },
  }))
}

const pastTest = ({ atMs, values }: TestReading): PastTest => ({
  atMs,
  sanitizerMgL: values.freeChlorineMgL ?? values.bromineMgL ?? null,
  ph: values.ph ?? null,
  saltMgL: values.saltMgL ?? null,
})

function newestOf(readings: readonly TestReading[]): Partial<Record<Parameter, Measured>> {
  const newest: Partial<Record<Parameter, Measured>> = {}
  for (const { atMs, values } of readings.slice(-60)) {
    for (const parameter of PARAMETERS) {
      const value = values[parameter]
      if (value !== undefined) newest[parameter] = { value, atMs }
    }
  }
  return newest
}

import {
  createRandom,
  type Fault,
  type PlantSpec,
  type PlantState,
  type SimulateOptions,
  simulate,
  type TestReading,
} from '@sightglass/chemistry/plant'
import type { DrumReading } from '../../packages/chemistry/src/plant/servicing.ts'
import { type CompanyBody, makeCompany } from '../../seed/src/company/index.ts'
import { makePlant, TEMPLATES, type TemplateName } from '../../seed/src/company/templates.ts'

export const HOUR = 3_600_000
export const DAY = 24 * HOUR
export const NOW = Date.UTC(2026, 10, 25, 12)

/** A sample with the channels that the tests look at. */
export interface Sample {
  atMs: number
  ph: number
  orpMv: number
  orpSetPointMv: number
  sanitizerFeedPct: number
  backupFeedPct: number
  phFeedPct: number
  flowOn: number
}

export interface RunResult {
  samples: Sample[]
  readings: TestReading[]
  drumLevels: DrumReading[]
  end: PlantState
}

/** Runs a plant to its end and keeps everything. */
export function run(plant: PlantSpec, options: SimulateOptions): RunResult {
  const running = simulate(plant, options)
  const result: Omit<RunResult, 'end'> = { samples: [], readings: [], drumLevels: [] }
  for (;;) {
    const step = running.next()
    if (step.done) return { ...result, end: step.value }
    const { count, atMs, columns, readings, drumLevels } = step.value
    for (let at = 0; at < count; at++) {
      const of = (column: Float64Array) => column[at] as number
      result.samples.push({
        atMs: of(atMs),
        ph: of(columns.ph),
        orpMv: of(columns.orpMv),
        orpSetPointMv: of(columns.orpSetPointMv),
        sanitizerFeedPct: of(columns.sanitizerFeedPct),
        backupFeedPct: of(columns.backupFeedPct),
        phFeedPct: of(columns.phFeedPct),
        flowOn: of(columns.flowOn),
      })
    }
    result.readings.push(...readings)
    result.drumLevels.push(...drumLevels)
  }
}

export function plantOf(template: TemplateName, seed = 'plant', system: PlantSpec['sanitizerSystem'] = 'hypochlorite') {
  const choice = {
    system,
    content: system === 'bromine' ? ('bromineTablets' as const) : ('sodiumHypochlorite' as const),
    acid: 'hydrochloricAcid' as const,
    automated: true,
    timeZone: 'America/Chicago',
    latitudeDeg: 30,
  }
  return makePlant(TEMPLATES[template], choice, createRandom(seed))
}

/** Days of a plant with a weekly visit and three tests a day. */
export function runDays(plant: PlantSpec, days: number, seed = 'run', faults: Fault[] = []): RunResult {
  const fromMs = NOW - days * DAY
  const tests = Array.from({ length: days * 3 }, (_, at) => ({ atMs: fromMs + at * 8 * HOUR, by: 'staff' as const }))
  const visits = Array.from({ length: Math.floor(days / 7) }, (_, at) => fromMs + (at * 7 + 3) * DAY)
  return run(plant, { seed, fromMs, toMs: NOW, faults, tests, visits })
}

export const company = makeCompany({ nowMs: NOW })
export const allBodies: (CompanyBody & { facility: string })[] = company.facilities.flatMap((facility) =>
  facility.bodies.map((body) => ({ ...body, facility: facility.name })),
)

/** The last `days` of a body of the company. */
export const runBody = ({ plant, seed, faults, tests, visits }: CompanyBody, days = 90) =>
  run(plant, { seed, fromMs: NOW - days * DAY, toMs: NOW, faults, tests, visits })

export const last = <T>(list: readonly T[]): T => {
  const item = list.at(-1)
  if (item === undefined) throw new Error('The list is empty.')
  return item
}
export const median = (values: number[]) => quantile(values, 0.5)
export const quantile = (values: number[], part: number) => {
  const sorted = [...values].sort((a, b) => a - b)
  return sorted[Math.floor((sorted.length - 1) * part)] ?? Number.NaN
}

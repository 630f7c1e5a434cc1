import {
  type HourRecord,
  type LatestSample,
  type Measured,
  PARAMETERS,
  type Parameter,
  QUANTITIES,
  type Quantity,
  type Snapshot,
  type Spread,
} from '@sightglass/chemistry'
import { simulate, type TestReading } from '@sightglass/chemistry/plant'
import type { DrumReading } from '../../packages/chemistry/src/plant/servicing.ts'
import type { CompanyBody } from '../../seed/src/company/index.ts'
import { outOfUseFromMs, SCENARIOS, type Scenario } from '../../seed/src/scenarios/index.ts'
import { incidentAtMs, incidentTests } from '../../seed/src/write/incidents.ts'
import { DAY, HOUR } from './support.ts'

interface Row {
  atMs: number
  values: Record<Quantity, number>
}

/** What the database would know of a body at the end of its days, without a database. */
export function snapshotOf(body: CompanyBody, fromMs: number, nowMs: number): Snapshot {
  const { plant, seed, faults, tests, visits } = body
  const rows: Row[] = []
  const readings: TestReading[] = []
  const levels: DrumReading[] = []
  for (const stretch of simulate(plant, { seed, fromMs, toMs: nowMs, faults, tests, visits })) {
    readings.push(...stretch.readings)
    levels.push(...stretch.drumLevels)
    // only the last day is looked at, and the newest sample of all
    for (let at = 0; at < stretch.count; at++) {
      const atMs = stretch.atMs[at] as number
      if (atMs <= nowMs - DAY && at < stretch.count - 1) continue
      const values = Object.fromEntries(QUANTITIES.map((quantity) => [quantity, stretch.columns[quantity][at]]))
      rows.push({ atMs, values: values as Record<Quantity, number> })
    }
  }
  const scenario: Scenario = SCENARIOS[body.scenario]
  readings.push(...incidentTests(body, nowMs))
  readings.sort((a, b) => a.atMs - b.atMs)
  const heard = scenario.loaded === false ? [] : rows
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
      channels: [],
      lastHeardAtMs: heard.at(-1)?.atMs ?? null,
      latest: latestOf(heard.at(-1)),
      hours: hoursOf(heard.filter(({ atMs }) => atMs > nowMs - DAY)),
    },
    feeders: body.feeders.map(({ id, name, role, drum }) => ({
      id,
      name,
      role,
      kind: plant.feeders.find((feeder) => feeder.role === role)?.kind ?? 'pump',
      drum: drum && {
        id: drum.id,
        name: drum.name,
        content: drum.content,
        capacityL: drum.capacityL,
        levels: levels
          .filter((level) => level.role === role && level.atMs > nowMs - 30 * DAY)
          .map(({ atMs, levelL, deliveredL }) => ({ atMs, levelL, deliveredL })),
      },
    })),
    incidents: incidentsOf(body, readings, nowMs),
    outOfUse: outOfUseOf(body, nowMs),
  }
}

function outOfUseOf({ scenario }: CompanyBody, nowMs: number): Snapshot['outOfUse'] {
  const { outOfUse, ...rest }: Scenario = SCENARIOS[scenario]
  const fromMs = outOfUseFromMs({ ...rest, outOfUse }, nowMs)
  return outOfUse && fromMs !== null ? { fromMs, toMs: null, reason: outOfUse.reason } : null
}

/** What is still open. */
function incidentsOf(body: CompanyBody, readings: TestReading[], nowMs: number): Snapshot['incidents'] {
  const { incident }: Scenario = SCENARIOS[body.scenario]
  if (!incident || incident.closed) return []
  const atMs = incidentAtMs(incident, nowMs)
  const since = readings.filter((reading) => reading.atMs >= atMs && reading.values.freeChlorineMgL !== undefined)
  return [
    {
      id: body.id,
      kind: incident.kind,
      atMs,
      instruction: null,
      readings: since.map(({ values, ...reading }) => ({
        atMs: reading.atMs,
        freeChlorineMgL: values.freeChlorineMgL ?? Number.NaN,
        ph: values.ph ?? null,
        tempC: values.tempC ?? null,
      })),
    },
  ]
}

function newestOf(readings: TestReading[]): Partial<Record<Parameter, Measured>> {
  const newest: Partial<Record<Parameter, Measured>> = {}
  for (const { atMs, values } of readings) {
    for (const parameter of PARAMETERS) {
      const value = values[parameter]
      if (value !== undefined) newest[parameter] = { value, atMs }
    }
  }
  return newest
}

const known = (value: number) => (Number.isNaN(value) ? null : value)

function latestOf(row: Row | undefined): LatestSample | null {
  if (!row) return null
  const values = Object.fromEntries(QUANTITIES.map((quantity) => [quantity, known(row.values[quantity])]))
  return {
    ...(values as Record<Exclude<Quantity, 'flowOn'>, number | null>),
    flowOn: Number.isNaN(row.values.flowOn) ? null : row.values.flowOn === 1,
    atMs: row.atMs,
  }
}

/** As the roll-up does: a sample counts until the next one of its hour, at most 15 minutes, never past the hour. */
function hoursOf(rows: Row[]): HourRecord[] {
  const groups = new Map<number, Row[]>()
  for (const row of rows) {
    const hourMs = Math.floor(row.atMs / HOUR) * HOUR
    groups.set(hourMs, [...(groups.get(hourMs) ?? []), row])
  }
  return [...groups].map(([hourMs, samples]) => {
    const minutes = samples.map(({ atMs }, at) =>
      Math.min(15, ((samples[at + 1]?.atMs ?? hourMs + HOUR) - atMs) / 60_000),
    )
    const sum = (of: (values: Row['values']) => number) =>
      samples.reduce((total, { values }, at) => total + of(values) * (minutes[at] ?? 0), 0)
    const feed = (quantity: Quantity) => known(sum((values) => values[quantity] / 100))
    const any = (v: Row['values']) => Math.max(v.sanitizerFeedPct, v.backupFeedPct || 0, v.phFeedPct)
    return {
      hourMs,
      samples: samples.length,
      coveredMin: minutes.reduce((total, value) => total + value, 0),
      ph: spreadOf(samples, 'ph'),
      orpMv: spreadOf(samples, 'orpMv'),
      freeChlorineMgL: spreadOf(samples, 'freeChlorineMgL'),
      tempC: spreadOf(samples, 'tempC'),
      flowLMin: spreadOf(samples, 'flowLMin'),
      phSetPoint: known(samples.at(-1)?.values.phSetPoint ?? Number.NaN),
      orpSetPointMv: known(samples.at(-1)?.values.orpSetPointMv ?? Number.NaN),
      sanitizerFeedMin: feed('sanitizerFeedPct'),
      backupFeedMin: feed('backupFeedPct'),
      phFeedMin: feed('phFeedPct'),
      noFlowMin: sum((values) => (values.flowOn === 0 ? 1 : 0)),
      feedWithoutFlowMin: sum((values) => (values.flowOn === 0 && any(values) > 0 ? 1 : 0)),
      bothFeedsMin: sum(
        (v) => Math.max(0, v.phFeedPct + Math.max(v.sanitizerFeedPct, v.backupFeedPct || 0) - 100) / 100,
      ),
    }
  })
}

function spreadOf(samples: Row[], quantity: Quantity): Spread | null {
  const values = samples.map((sample) => sample.values[quantity]).filter((value) => !Number.isNaN(value))
  if (values.length === 0) return null
  const mean = values.reduce((total, value) => total + value, 0) / values.length
  return { min: Math.min(...values), mean, max: Math.max(...values) }
}

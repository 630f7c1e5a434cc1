import {
  assessRedox,
  type CodeProfile,
  type HourRecord,
  type LatestSample,
  type Measured,
  PARAMETERS,
  type Parameter,
  QUANTITIES,
  redoxJudgement,
  type Snapshot,
  setPointAimFor,
} from '@sightglass/chemistry'
import { type PlantWork, simulate, type TestReading } from '@sightglass/chemistry/plant'
import type { DrumReading } from '../../packages/chemistry/src/plant/servicing.ts'
import type { CompanyBody } from '../../seed/src/company/index.ts'
import { outOfUseFromMs, SCENARIOS, type Scenario } from '../../seed/src/scenarios/index.ts'
import { incidentAtMs, incidentTests } from '../../seed/src/write/incidents.ts'
import { redoxRecords } from '../bench/faults/redox.ts'
import { hoursOf } from '../support/hours.ts'
import { DAY } from './support.ts'

/** What is written down of a body in its days, and what its controller reports. */
interface Written {
  samples: LatestSample[]
  hours: HourRecord[]
  readings: TestReading[]
  levels: DrumReading[]
  work: PlantWork[]
}

function recordOf(body: CompanyBody, fromMs: number, nowMs: number): Written {
  const { plant, seed, faults, tests, visits } = body
  const record: Written = { samples: [], hours: [], readings: incidentTests(body, nowMs), levels: [], work: [] }
  const heard = (SCENARIOS[body.scenario] as Scenario).loaded !== false
  for (const stretch of simulate(plant, { seed, fromMs, toMs: nowMs, faults, tests, visits })) {
    record.readings.push(...stretch.readings)
    record.levels.push(...stretch.drumLevels)
    record.work.push(...stretch.work)
    for (let at = 0; heard && at < stretch.count; at++) {
      const row = { atMs: stretch.atMs[at] as number } as { [key: string]: number | boolean | null }
      for (const quantity of QUANTITIES) {
        const value = known(stretch.columns[quantity][at] as number)
        row[quantity] = quantity === 'flowOn' && value !== null ? value === 1 : value
      }
      record.samples.push(row as unknown as LatestSample)
    }
  }
  record.readings.sort((a, b) => a.atMs - b.atMs)
  record.hours = hoursOf(record.samples.filter(({ atMs }) => atMs > nowMs - REDOX_DAYS * DAY))
  return record
}
const REDOX_DAYS = 36
const PAST_DAYS = 21

/** What the API would know of a body at the end of its days, without a database. */
export function snapshotOf(body: CompanyBody, fromMs: number, nowMs: number, profile: CodeProfile): Snapshot {
  const record = recordOf(body, fromMs, nowMs)
  const snapshot = plainSnapshot(body, record, nowMs)
  const aim = setPointAimFor(snapshot, profile)
  if (!aim || !snapshot.controller) return snapshot
  const redox = redoxRecords({ life: body, ...record })(nowMs)
  return { ...snapshot, redox: redoxJudgement(assessRedox(redox, aim, nowMs)) }
}

function plainSnapshot(body: CompanyBody, { samples, hours, readings, levels }: Written, nowMs: number): Snapshot {
  const { plant } = body
  const latest = samples.at(-1) ?? null
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
      channels: body.channels.map(({ quantity }) => quantity),
      lastHeardAtMs: latest?.atMs ?? null,
      latest,
      hours: hours.filter(({ hourMs }) => hourMs > nowMs - PAST_DAYS * DAY),
      recent: samples.filter(({ atMs }) => atMs > nowMs - DAY / 8),
    },
    feeders: body.feeders.map(({ id, name, role, drum }) => {
      const feeder = plant.feeders.find((one) => one.role === role)
      return {
        id,
        name,
        role,
        kind: feeder?.kind ?? 'pump',
        rateLH: feeder?.rateLH || null,
        drum: drum && {
          id: drum.id,
          name: drum.name,
          content: drum.content,
          capacityL: drum.capacityL,
          levels: levels
            .filter((level) => level.role === role && level.atMs > nowMs - 30 * DAY)
            .map(({ atMs, levelL, deliveredL }) => ({ atMs, levelL, deliveredL })),
        },
      }
    }),
    incidents: incidentsOf(body, readings, nowMs),
    outOfUse: outOfUseOf(body, nowMs),
    pastTests: readings
      .filter(({ atMs }) => atMs > nowMs - PAST_DAYS * DAY)
      .map(({ atMs, values }) => ({
        atMs,
        sanitizerMgL: values.freeChlorineMgL ?? values.bromineMgL ?? null,
        ph: values.ph ?? null,
        saltMgL: values.saltMgL ?? null,
      })),
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

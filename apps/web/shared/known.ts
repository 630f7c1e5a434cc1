import {
  type Assessment,
  assessWater,
  type CodeProfile,
  type ControllerRecord,
  type Finding,
  PARAMETERS,
  type Parameter,
  type Snapshot,
  type Water,
} from '@sightglass/chemistry'
import type { Reading, SnapshotsAnswer, TestValues } from '@sightglass/contract'

/** What the server knows of a body, so that it can be judged and reckoned with here. */
export interface Known {
  snapshot: Snapshot
  profile: CodeProfile
  /** What is found of feeders, flow, drums and probes: no test of the water changes it at once. */
  equipment: readonly Finding[]
}

/** Null for a retired body, and where its code profile is not there any more. */
export function knownOf(answer: SnapshotsAnswer, bodyId: string): Known | null {
  const body = answer.bodies.find((one) => one.bodyId === bodyId)
  const profile = answer.profiles.find(({ key }) => key === body?.profileKey)
  return body?.snapshot && profile
    ? { snapshot: body.snapshot, profile: profile as CodeProfile, equipment: body.equipment }
    : null
}

/** The body judged with another snapshot: what is found of its equipment stays. */
export const assessed = (snapshot: Snapshot, { profile, equipment }: Known, nowMs: number): Assessment =>
  assessWater(snapshot, profile, nowMs, equipment)

/** The body as it would be known with this test stored too. Values older than what is known change nothing. */
export function withTest(snapshot: Snapshot, values: TestValues, atMs: number): Snapshot {
  const tests = { ...snapshot.tests }
  for (const parameter of PARAMETERS) {
    const value = values[parameter]
    if (value !== undefined && atMs >= (tests[parameter]?.atMs ?? -Infinity)) tests[parameter] = { value, atMs }
  }
  return { ...withTests(snapshot, tests), incidents: withReading(snapshot, values, atMs) }
}

/** An open incident with this test among those that may count for its contact time. */
function withReading({ incidents }: Snapshot, { freeChlorineMgL, ph, tempC }: TestValues, atMs: number) {
  if (freeChlorineMgL === undefined) return incidents
  const reading = { atMs, freeChlorineMgL, ph: ph ?? null, tempC: tempC ?? null }
  return incidents.map((incident) =>
    atMs < incident.atMs
      ? incident
      : { ...incident, readings: [...incident.readings, reading].sort((a, b) => a.atMs - b.atMs) },
  )
}

/** The body as it would be known without a test that is being corrected; `others` are its other tests, newest first. */
export function withoutTest(snapshot: Snapshot, replaced: Reading, others: readonly Reading[]): Snapshot {
  const atMs = Date.parse(replaced.at)
  const tests = { ...snapshot.tests }
  for (const parameter of PARAMETERS) {
    if (replaced.values[parameter] === undefined || tests[parameter]?.atMs !== atMs) continue
    delete tests[parameter]
    const before = others.find(({ id, values }) => id !== replaced.id && values[parameter] !== undefined)
    const value = before?.values[parameter]
    if (before && value !== undefined) tests[parameter] = { value, atMs: Date.parse(before.at) }
  }
  const incidents = snapshot.incidents.map((incident) => ({
    ...incident,
    readings: incident.readings.filter((reading) => reading.atMs !== atMs),
  }))
  return { ...withTests(snapshot, tests), incidents }
}

/** The water of a body as tested; what was not tested is assumed. */
export interface KnownWater {
  water: Water
  untested: readonly (keyof Water)[]
}

const TESTED = [
  'freeChlorineMgL',
  'bromineMgL',
  'ph',
  'totalAlkalinityMgL',
  'calciumHardnessMgL',
  'cyanuricAcidMgL',
  'tempC',
  'tdsMgL',
] as const satisfies readonly (Parameter & keyof Water)[]

/** The body as it would be known if a test of now showed this water; what is only assumed stays untested. */
export function withWater({ snapshot }: Known, { water, untested }: KnownWater, nowMs: number): Snapshot {
  const values: TestValues = Object.fromEntries(
    TESTED.filter((thing) => !untested.includes(thing)).map((thing) => [thing, water[thing]]),
  )
  if (!untested.includes('freeChlorineMgL') && !untested.includes('combinedChlorineMgL'))
    values.totalChlorineMgL = water.freeChlorineMgL + water.combinedChlorineMgL
  const { controller } = snapshot
  return withTest({ ...snapshot, controller: controller && withoutPresentWater(controller, nowMs) }, values, nowMs)
}

const HOUR_MS = 3_600_000

/** What a controller shows of the present water says nothing of another one; what it says of feed and flow stays. */
function withoutPresentWater(controller: ControllerRecord, nowMs: number): ControllerRecord {
  const { latest, hours } = controller
  return {
    ...controller,
    latest: latest && { ...latest, ph: null, freeChlorineMgL: null, tempC: null },
    hours: hours.filter(({ hourMs }) => hourMs + HOUR_MS <= nowMs),
  }
}

function withTests(snapshot: Snapshot, tests: Snapshot['tests']): Snapshot {
  const times = Object.values(tests).map(({ atMs }) => atMs)
  return { ...snapshot, tests, lastTestAtMs: times.length ? Math.max(...times) : null }
}

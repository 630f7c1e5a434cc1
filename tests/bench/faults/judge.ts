// One plant, judged hour by hour as the product would, or sample by sample where a hazard is looked for.
import {
  assess,
  assessRedox,
  type Cause,
  type FindingKind,
  type LikelyCause,
  profileByKey,
  type RedoxJudgement,
  redoxJudgement,
  setPointAimFor,
} from '@sightglass/chemistry'
import { createRandom } from '@sightglass/chemistry/plant'
import { FAULT_CASES, type FaultCase, type FaultName } from '../../../seed/src/faults/catalogue.ts'
import { lifeOf, type PlantKind } from '../../../seed/src/faults/plants.ts'
import { type Observed, observe, snapshotAt } from './observe.ts'
import { redoxRecords } from './redox.ts'

const MINUTE = 60_000
const HOUR = 60 * MINUTE
const DAY = 24 * HOUR

/** Days of a healthy life before the fault, days in which it is looked for. */
const BEFORE_DAYS = 20
const WATCH_DAYS = 6
const HEALTHY_DAYS = 60
const HEALTHY_FROM_DAY = 16

/** What is said of feed, flow and probes; that one test and the display part is told of the test until it is repeated. */
const KINDS: readonly FindingKind[] = [
  'phNotHeld',
  'orpNotHeld',
  'feederWeak',
  'feederAtLimit',
  'backupCarries',
  'overfeed',
  'feedHunting',
  'flowFalling',
  'feedWithoutFlow',
  'acidWithHypochlorite',
  'noFlow',
  'flowSwitchStuck',
  'orpDrifted',
  'setPointOff',
  'orpProbeFaulty',
  'orpNotTied',
  'phProbeDrifted',
  'phProbeFaulty',
  'controllerSilent',
]
const profile = profileByKey('cdc-mahc')

export interface Seen {
  kind: FindingKind
  causes: readonly LikelyCause[]
}

/** What is said of a plant, hour by hour. */
function judgeOf(observed: Observed): (nowMs: number) => Seen[] {
  const recordAt = redoxRecords(observed)
  let redox: RedoxJudgement | undefined
  return (nowMs) => {
    if (!profile) throw new Error('there is no profile cdc-mahc')
    const snapshot = snapshotAt(observed, nowMs)
    const aim = setPointAimFor(snapshot, profile)
    // what probes mean is worked out when a test comes and now and then in between: every third hour here
    const tested = snapshot.lastTestAtMs !== null && snapshot.lastTestAtMs > (redox?.atMs ?? 0)
    if (aim && (tested || (nowMs / HOUR) % 3 === 0)) redox = redoxJudgement(assessRedox(recordAt(nowMs), aim, nowMs))
    const { findings } = assess({ ...snapshot, redox }, profile, nowMs)
    return findings
      .filter(({ kind, subject }) => KINDS.includes(kind) && !(kind === 'controllerSilent' && subject !== ''))
      .map(({ kind, causes }) => ({ kind, causes: causes ?? [] }))
  }
}

export interface CaseResult {
  name: FaultName
  kind: PlantKind
  seed: string
  /** Hours from when it counts to when it was said; null: not within the days watched. */
  delayHours: number | null
  /** The first cause told once it has been on for a day; null where none is told. */
  cause: Cause | null
  /** The cause is none of the right ones. */
  wrongCause: boolean
  /** What else was said that has nothing to do with it. */
  others: FindingKind[]
  /** Said before anything was wrong. */
  early: FindingKind[]
}

/** @param everyHours how often it is asked; the product asks every hour, and at every sample of a hazard */
export function judgeCase(name: FaultName, kind: PlantKind, seed: string, everyHours = 1): CaseResult {
  const given: FaultCase = FAULT_CASES[name]
  const random = createRandom(`${seed}/${name}/onset`)
  const fromMs = Date.UTC(2026, Math.floor(random.next() * 12), 3)
  const onsetMs = fromMs + BEFORE_DAYS * DAY + Math.floor(random.next() * 3 * 24 * 12) * 5 * MINUTE
  const days = Math.ceil((onsetMs - fromMs) / DAY + (given.countsAfterHours ?? 0) / 24 + WATCH_DAYS)
  const made = lifeOf(kind, `${seed}/${name}/${kind}`, fromMs, days)
  const life = { ...made, plant: given.plant?.(made.plant, kind) ?? made.plant }
  const faults = given.faults({ life, atMs: onsetMs, random })
  const observed = observe(life, faults)
  const beganMs = Math.min(onsetMs, ...faults.map((fault) => fault.fromMs))
  const countsMs = countsFrom(given, observed, onsetMs, faults[0]?.fromMs)
  return watch(given, observed, { name, kind, seed }, { beganMs, countsMs, everyMs: everyHours * HOUR })
}

/** From when on it is there to be seen, by what the samples hold: a hazard from its first sample on. */
function countsFrom(given: FaultCase, { samples, truth }: Observed, onsetMs: number, firstMs = onsetMs): number {
  const dryMs = truth.feeders.find(({ role }) => role === given.dry)?.drySinceMs
  if (given.dry) return dryMs ?? onsetMs
  const { shows, countsAfterHours = 0 } = given
  const fromMs = Math.max(onsetMs, firstMs)
  if (shows) return samples.find((sample) => sample.atMs >= fromMs && shows(sample))?.atMs ?? fromMs
  return fromMs + countsAfterHours * HOUR
}

type Named = Pick<CaseResult, 'name' | 'kind' | 'seed'>

interface Times {
  beganMs: number
  countsMs: number
  everyMs: number
}

function watch(given: FaultCase, observed: Observed, named: Named, times: Times): CaseResult {
  const { beganMs, countsMs, everyMs } = times
  const result: CaseResult = { ...named, delayHours: null, cause: null, wrongCause: false, others: [], early: [] }
  const hazard = given.group === 'hazard'
  const standing = given.plant !== undefined && given.faults.length === 0
  const untilMs = Math.min(observed.life.toMs, countsMs + WATCH_DAYS * DAY)
  const judge = judgeOf(observed)
  let seenMs: number | null = null
  let causeMs: number | null = null
  /** What was said without reason when it began, and still is: that finds nothing. */
  let stood = new Set<FindingKind>()
  for (
    let nowMs = Math.ceil((beganMs - 2 * DAY) / HOUR) * HOUR;
    nowMs <= untilMs;
    nowMs += hazard && nowMs >= countsMs - everyMs && nowMs < countsMs + 2 * HOUR ? 5 * MINUTE : everyMs
  ) {
    const seen = judge(nowMs)
    if (nowMs < beganMs && !standing) {
      stood = new Set(seen.map(({ kind }) => kind))
      for (const kind of stood) if (!result.early.includes(kind)) result.early.push(kind)
      continue
    }
    stood = new Set(seen.flatMap(({ kind }) => (stood.has(kind) ? [kind] : [])))
    const right = seen.find(({ kind }) => given.expect.includes(kind) && !stood.has(kind))
    if (right && seenMs === null) seenMs = nowMs
    if (right && seenMs !== null && (causeMs === null || nowMs <= seenMs + DAY)) {
      causeMs = nowMs
      result.cause = right.causes[0]?.cause ?? null
    }
    for (const { kind } of seen) {
      if (
        !related(given, kind) &&
        kind !== 'controllerSilent' &&
        !result.early.includes(kind) &&
        !result.others.includes(kind)
      )
        result.others.push(kind)
    }
    if (seenMs !== null && nowMs > Math.max(seenMs, countsMs) + DAY) break
  }
  if (seenMs !== null) result.delayHours = Math.max(0, (seenMs - countsMs) / HOUR)
  if (given.causes && result.cause !== null) result.wrongCause = !given.causes.includes(result.cause)
  return result
}

const related = (given: FaultCase, kind: FindingKind) =>
  given.expect.includes(kind) || (given.also ?? []).includes(kind)

export interface HealthyResult {
  kind: PlantKind
  seed: string
  months: number
  /** What came up although nothing was wrong, as often as it did. */
  alarms: { kind: FindingKind; atMs: number; text: string }[]
}

export function judgeHealthy(kind: PlantKind, seed: string, everyHours = 1): HealthyResult {
  const random = createRandom(`${seed}/${kind}/healthy`)
  const fromMs = Date.UTC(2026, Math.floor(random.next() * 12), 3)
  const observed = observe(lifeOf(kind, `${seed}/healthy/${kind}`, fromMs, HEALTHY_DAYS), [])
  const result: HealthyResult = { kind, seed, months: (HEALTHY_DAYS - HEALTHY_FROM_DAY) / 30.4, alarms: [] }
  const judge = judgeOf(observed)
  let before = new Set<FindingKind>()
  for (let nowMs = fromMs + HEALTHY_FROM_DAY * DAY; nowMs <= observed.life.toMs; nowMs += everyHours * HOUR) {
    const seen = judge(nowMs)
    for (const { kind, causes } of seen) {
      if (!before.has(kind)) result.alarms.push({ kind, atMs: nowMs, text: causes[0]?.cause ?? '' })
    }
    before = new Set(seen.map(({ kind }) => kind))
  }
  return result
}

import {
  assess,
  type BodyFacts,
  type CodeProfile,
  type ControllerRecord,
  type DrumFacts,
  type DrumLevel,
  type FeederFacts,
  type Finding,
  type FindingKind,
  type HourRecord,
  type LatestSample,
  type Measured,
  type Parameter,
  profileByKey,
  type Snapshot,
} from '@sightglass/chemistry'

export const MINUTE = 60_000
export const HOUR = 60 * MINUTE
export const DAY = 24 * HOUR
/** A July afternoon; nothing depends on which. */
export const NOW = Date.UTC(2026, 6, 15, 13)

export const profile = (key = 'cdc-mahc'): CodeProfile => {
  const found = profileByKey(key)
  if (!found) throw new Error(`no profile ${key}`)
  return found
}

export const POOL: BodyFacts = {
  useClass: 'pool',
  setting: 'outdoor',
  sanitizerSystem: 'hypochlorite',
  cyanuricAcidUsed: false,
  volumeL: 300_000,
  flowLMin: 900,
}

/** Values with which nothing is wrong. */
export const GOOD: Partial<Record<Parameter, number>> = {
  freeChlorineMgL: 2.5,
  totalChlorineMgL: 2.7,
  ph: 7.4,
  tempC: 27,
  totalAlkalinityMgL: 100,
  calciumHardnessMgL: 250,
  tdsMgL: 1000,
}

/** Tests made that many hours ago; a value of undefined was not measured. */
export function tested(values: Partial<Record<Parameter, number | undefined>>, hoursAgo = 2): Snapshot['tests'] {
  const tests: Partial<Record<Parameter, Measured>> = {}
  for (const [parameter, value] of Object.entries(values)) {
    if (value !== undefined) tests[parameter as Parameter] = { value, atMs: NOW - hoursAgo * HOUR }
  }
  return tests
}

/** A body tested two hours ago with nothing wrong and no controller; parts can be replaced. */
export function snapshot(given: Partial<Omit<Snapshot, 'body'>> & { body?: Partial<BodyFacts> } = {}): Snapshot {
  const tests = given.tests ?? tested(GOOD)
  const times = Object.values(tests).map(({ atMs }) => atMs)
  return {
    controller: null,
    feeders: [],
    incidents: [],
    outOfUse: null,
    lastTestAtMs: times.length > 0 ? Math.max(...times) : null,
    ...given,
    tests,
    body: { ...POOL, ...given.body },
  }
}

export const withValues = (values: Partial<Record<Parameter, number | undefined>>, body: Partial<BodyFacts> = {}) =>
  snapshot({ tests: tested({ ...GOOD, ...values }), body })

export const sample = (values: Partial<LatestSample> = {}): LatestSample => ({
  atMs: NOW - 4 * MINUTE,
  ph: 7.4,
  orpMv: 740,
  freeChlorineMgL: null,
  tempC: 27,
  flowLMin: 900,
  flowOn: true,
  sanitizerFeedPct: 20,
  backupFeedPct: null,
  phFeedPct: 5,
  phSetPoint: 7.4,
  orpSetPointMv: 740,
  ...values,
})

export const still = (mean: number, wide = 0.02) => ({ min: mean - wide, mean, max: mean + wide })

/** One hour with nothing wrong, that many hours before now. */
export const hour = (hoursAgo: number, values: Partial<HourRecord> = {}): HourRecord => ({
  hourMs: NOW - hoursAgo * HOUR,
  samples: 12,
  coveredMin: 60,
  ph: still(7.4),
  orpMv: still(740, 5),
  freeChlorineMgL: null,
  tempC: still(27, 0.2),
  flowLMin: still(900, 5),
  phSetPoint: 7.4,
  orpSetPointMv: 740,
  sanitizerFeedMin: 12,
  backupFeedMin: null,
  phFeedMin: 3,
  noFlowMin: 0,
  feedWithoutFlowMin: 0,
  bothFeedsMin: 0,
  ...values,
})

/** The last `count` hours, oldest first, each with the same values. */
export const hours = (count: number, values: Partial<HourRecord> = {}): HourRecord[] =>
  Array.from({ length: count }, (_, index) => hour(count - index, values))

/** A controller heard four minutes ago that reports a quiet day. */
export function controller(
  latest: Partial<LatestSample> = {},
  day: HourRecord[] = hours(24),
  lastHeardAtMs?: number | null,
): ControllerRecord {
  const newest = sample(latest)
  return {
    channels: ['ph', 'orpMv'],
    lastHeardAtMs: lastHeardAtMs === undefined ? newest.atMs : lastHeardAtMs,
    latest: newest,
    hours: day,
  }
}

export const drum = (content: DrumFacts['content'], levels: DrumLevel[] = []): DrumFacts => ({
  id: `drum of ${content}`,
  name: `Drum of ${content}`,
  content,
  capacityL: 200,
  levels,
})

export const feeder = (given: Partial<FeederFacts> & Pick<FeederFacts, 'role'>): FeederFacts => ({
  id: given.role,
  name: given.role,
  kind: 'pump',
  drum: null,
  ...given,
})
export const HYPOCHLORITE_PUMP = feeder({ role: 'primary', drum: drum('sodiumHypochlorite') })
export const ACID_PUMP = feeder({ role: 'ph', drum: drum('hydrochloricAcid') })

export const judge = (given: Snapshot, key?: string, nowMs = NOW) => assess(given, profile(key), nowMs)

export const find = (given: Snapshot, kind: FindingKind, key?: string, nowMs?: number): Finding | undefined =>
  judge(given, key, nowMs).findings.find((finding) => finding.kind === kind)

export const kinds = (given: Snapshot, key?: string, nowMs?: number): FindingKind[] =>
  judge(given, key, nowMs).findings.map(({ kind }) => kind)

/** The severity of a kind of finding, or 'none'. */
export const severityOf = (given: Snapshot, kind: FindingKind, key?: string, nowMs?: number) =>
  find(given, kind, key, nowMs)?.severity ?? 'none'

/** Tested before that day, so that nothing speaks for or against the probe. */
export const BEFORE = tested(GOOD, 30)

/** A quiet day whose last `count` hours are so; nothing was tested in it. */
export const lately = (count: number, values: object, latest: object = {}, feeders = [HYPOCHLORITE_PUMP, ACID_PUMP]) =>
  snapshot({
    tests: BEFORE,
    feeders,
    controller: controller(latest, [...hours(24).slice(0, 24 - count), ...hours(count, values)]),
  })

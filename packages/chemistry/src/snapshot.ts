import type { HourRecord, Measured } from './measured.ts'
import type { RedoxJudgement } from './redox/judgement.types.ts'
import type {
  DrumContent,
  FeederKind,
  FeederRole,
  FeedWorkKind,
  IncidentKind,
  Parameter,
  Quantity,
  SanitizerSystem,
  Setting,
  UseClass,
} from './vocabulary.ts'

export type * from './measured.ts'

/** All that is known of one body of water when it is judged. Times are milliseconds since 1970 UTC. */
export interface Snapshot {
  body: BodyFacts
  /** The newest value of each parameter, each with its own time: a test need not measure everything. */
  tests: Partial<Record<Parameter, Measured>>
  /** Combined chlorine of the last three days' tests that measured free and total in one vial, oldest first, mg/L. */
  combinedChlorine?: Measured[]
  /** When the last manual test of any parameter was made; null when there has never been one. */
  lastTestAtMs: number | null
  controller: ControllerRecord | null
  feeders: FeederFacts[]
  /** Taken out of use, now or from then on; null in use. */
  outOfUse: OutOfUse | null
  /** What got into the water and is not closed yet: bathers stay out. */
  incidents: IncidentFacts[]
  /** Manual tests of the last weeks, oldest first: whether the water changed or what is shown of it. Absent: not asked for. */
  pastTests?: readonly PastTest[]
  /** Work at feeders and flow in the last weeks, oldest first. */
  feedWork?: readonly FeedWork[]
  /** What its ORP and pH mean, worked out by `assessRedox` when something new came in. Absent: not asked for, or not known. */
  redox?: RedoxJudgement
}

/** One manual test; null is what was not measured. */
export interface PastTest {
  atMs: number
  sanitizerMgL: number | null
  ph: number | null
  saltMgL: number | null
}

export interface FeedWork {
  kind: FeedWorkKind
  atMs: number
  /** '' where it concerns no single feeder. */
  feederId: string
}

/** A body that nobody bathes in and nobody treats for a while: shut for the winter, drained, rebuilt. */
export interface OutOfUse {
  fromMs: number
  /** null: until somebody puts it into use again. */
  toMs: number | null
  reason: string
}

export interface BodyFacts {
  useClass: UseClass
  setting: Setting
  sanitizerSystem: SanitizerSystem
  /** True when the water is meant to hold cyanuric acid (stabilized products are used). */
  cyanuricAcidUsed: boolean
  volumeL: number | null
  flowLMin: number | null
}

/** What the controller has reported of this body. */
export interface ControllerRecord {
  /** What its channels in use carry; empty when samples came although no channel was entered. */
  channels: readonly Quantity[]
  /** Newest sample of any channel; null when a channel is fitted but nothing has ever arrived. */
  lastHeardAtMs: number | null
  latest: LatestSample | null
  /**
   * One entry for each hour that holds samples, oldest first; hours without samples are absent. The last 24 hours at
   * least; what is judged against a body's own past (weak feeders, hunting, falling flow) needs about three weeks.
   */
  hours: HourRecord[]
  /** Samples one by one up to the newest, oldest first, as far back as they were asked for: hazards show in them at once. */
  recent?: readonly LatestSample[]
}

/** The newest sample; null where the controller has no such channel. */
export interface LatestSample {
  atMs: number
  ph: number | null
  orpMv: number | null
  freeChlorineMgL: number | null
  tempC: number | null
  flowLMin: number | null
  flowOn: boolean | null
  sanitizerFeedPct: number | null
  backupFeedPct: number | null
  phFeedPct: number | null
  phSetPoint: number | null
  orpSetPointMv: number | null
}

export interface FeederFacts {
  id: string
  name: string
  role: FeederRole
  kind: FeederKind
  drum: DrumFacts | null
  /** Litres of drum content per hour when it runs all the time; absent or null: not known. */
  rateLH?: number | null
  /** How its controller is set; absent or null: not known. */
  settings?: FeedSettings | null
}

/** How a controller is set for one feeder. */
export interface FeedSettings {
  onTimeMin: number
  waitMin: number
  /** Distance from the set point at which it feeds all of the on-time: mV, or pH. */
  band: number
}

export interface DrumFacts {
  id: string
  name: string
  content: DrumContent
  capacityL: number
  /** Trade per cent of hypochlorite, per cent by weight of the rest; absent or null: the usual. */
  strengthPct?: number | null
  /** Level readings of about the last 30 days, oldest first. */
  levels: DrumLevel[]
  /** Feeders of other bodies draw on it, too: no run time of this body tells its fall. Absent: not so. */
  sharedElsewhere?: boolean
}

export interface DrumLevel {
  atMs: number
  levelL: number
  /** Litres filled in just before this level was read; 0 when nothing was delivered. */
  deliveredL: number
}

export interface IncidentFacts {
  id: string
  kind: IncidentKind
  atMs: number
  instruction: Instruction | null
  /** Manual tests of free chlorine since then, oldest first. */
  readings: IncidentReading[]
}

/** What an authority asked for in place of the published level and time. */
export interface Instruction {
  freeChlorineMgL: number
  holdMin: number
  /** null: as published. */
  phMax: number | null
  /** Who asked for it. */
  by: string
}

/** null: not measured in that test. */
export interface IncidentReading {
  atMs: number
  freeChlorineMgL: number
  ph: number | null
  tempC: number | null
}

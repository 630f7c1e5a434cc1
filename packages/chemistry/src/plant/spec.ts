import type {
  DrumContent,
  FeederKind,
  FeederRole,
  Parameter,
  Quantity,
  SanitizerSystem,
  Setting,
  UseClass,
} from '../vocabulary.ts'
import type { Fault } from './faults.ts'

/** What a technician did that the probes feel. */
export interface PlantWork {
  atMs: number
  kind: 'orpProbeCleaned' | 'phProbeCleaned' | 'phCalibrated' | 'waterReplaced' | 'stabilizerAdded'
}

/** One body of water with everything that acts on it. Plain data: a plant can be printed, changed and run again. */
export interface PlantSpec {
  useClass: UseClass
  setting: Setting
  sanitizerSystem: SanitizerSystem
  volumeL: number
  surfaceM2: number
  /** Recirculation; the turnover is volumeL / flowLMin minutes. */
  flowLMin: number
  timeZone: string
  latitudeDeg: number
  /** What the heater holds; null follows the weather. */
  heatedToC: number | null
  bathers: BatherSpec
  start: WaterStart
  fill: FillWater
  /** Part of the water replaced each day by backwash and splash-out. */
  freshPerDay: number
  /** How fast carbon dioxide leaves, per hour; jets and sprays drive it out. */
  aerationPerHour: number
  target: Target
  feeders: FeederSpec[]
  controller: ControllerSpec | null
  /** How the filter loads up and is washed; without it the flow stays what it is. */
  filter?: FilterSpec
}

export interface BatherSpec {
  /** In the water at the busiest hour of a working day. */
  peak: number
  /** Local hours. */
  opensAt: number
  closesAt: number
  weekendFactor: number
}

export interface FilterSpec {
  /** The first backwash, and how often; the recirculation stands meanwhile. */
  firstAtMs: number
  everyDays: number
  minutes: number
  /** Part of the flow that is lost by the time of the next. */
  loses: number
}

export interface WaterStart {
  /** mg/L as Cl2, or as Br2 in a bromine body. */
  sanitizerMgL: number
  ph: number
  totalAlkalinityMgL: number
  calciumHardnessMgL: number
  cyanuricAcidMgL: number
  /** Dissolved solids, the salt of a generator pool included. */
  tdsMgL: number
  saltMgL: number
}

export interface FillWater {
  totalAlkalinityMgL: number
  calciumHardnessMgL: number
  ph: number
  tdsMgL: number
}

/** What the technicians keep the water at. */
export interface Target {
  sanitizerMgL: number
  ph: number
  totalAlkalinityMgL: number
  calciumHardnessMgL: number
  cyanuricAcidMgL: number
}

export interface FeederSpec {
  role: FeederRole
  kind: FeederKind
  /** Litres of drum content per hour at 100 %; 0 for a generator. */
  rateLH: number
  /** Grams of chlorine per hour that a generator makes at 100 %; 0 for the rest. */
  outputGH: number
  drum: DrumSpec | null
}

export interface DrumSpec {
  content: DrumContent
  capacityL: number
  startLevelL: number
}

export interface ControllerSpec {
  phSetPoint: number
  orpSetPointMv: number
  /** Distance from the set point at which it feeds all it can. */
  phBand: number
  orpBandMv: number
  /** A multiple of 10: the sanitizer has its turn in the first half, pH in the second, so that they never meet. */
  cycleMin: number
  /** At most this much of its half; the rest is the wait for the water to answer. */
  onShare: number
  /** How far below the set point the backup sanitizer feeder takes over; null without one. */
  backupBelowMv: number | null
  orpProbe: ProbeSpec
  phProbe: ProbeSpec
  /** What it reports. */
  channels: readonly Quantity[]
}

export interface ProbeSpec {
  /** mV or pH. */
  offset: number
  offsetPerDay: number
  /** Standard deviation of one sample. */
  noise: number
  lagMin: number
  /** 1 answers as theory says; ORP probes in pools answer more steeply. */
  sensitivity: number
}

export interface SimulateOptions {
  /** The same seed, plant and options give the same water. */
  seed: string
  fromMs: number
  toMs: number
  faults?: readonly Fault[]
  /** When somebody tests the water by hand, in order. */
  tests?: readonly PlannedTest[]
  /** When a technician comes (tests, refills, doses, cleans), in order. */
  visits?: readonly number[]
  /** How much of what happens gets lost or goes wrong on the way to the record; absent: nothing. */
  record?: RecordSpec
  /** Where a technician puts the ORP set point; absent: moved by the last difference, a little at a time. */
  setPoint?: (visit: SetPointVisit) => number
}

/** Drawn apart from the water's chances, so that the same plant has the same days with a better or worse record. */
export interface RecordSpec {
  /** Gaps in the samples: how many a day, and how long on average. */
  gapsPerDay: number
  gapMin: number
  /** Part of the manual tests that are plainly wrong, and of those that are left out. */
  wrongTests: number
  missedTests: number
  /** A drum's level is read with this deviation, as a part of its capacity. */
  levelError: number
}

export interface SetPointVisit {
  atMs: number
  orpSetPointMv: number
  reading: TestReading
  /** What else was done at this visit, before the set point. */
  work: readonly PlantWork[]
}

/** A manual test as it was written down, with what the display showed. */
export interface TestReading {
  atMs: number
  by: 'staff' | 'technician'
  values: Partial<Record<Parameter, number>>
  displayPh: number | null
  displayOrpMv: number | null
}

export interface PlannedTest {
  atMs: number
  by: 'staff' | 'technician'
}

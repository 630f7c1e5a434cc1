import type { EvidenceLine, Phrase } from '../finding.ts'
import type { HourRecord, Measured, Spread } from '../measured.ts'

/** What keeps the water disinfected. Theory is for chlorine; the others have only what their own pairs show. */
export const OXIDANTS = ['chlorine', 'bromine', 'chlorineDioxide'] as const
export type Oxidant = (typeof OXIDANTS)[number]

/** All that tells what the ORP and pH of one body mean. Times are ms since 1970 UTC, lists are oldest first. */
export interface RedoxRecord {
  oxidant: Oxidant
  /** The water is meant to hold cyanuric acid: without a test of it nobody knows how much chlorine is really free. */
  cyanuricAcidUsed: boolean
  /** Every manual test of the last months, with what the controller showed then. */
  pairs: readonly RedoxPair[]
  work: readonly ProbeWork[]
  /** The ORP set point from each time on. */
  setPoints: readonly SetPointChange[]
  /** Hourly roll-up, as long back as it is at hand (90 days); hours without samples are absent. */
  hours: readonly HourRecord[]
}

/** One manual test, and what the controller showed at that time. */
export interface RedoxPair {
  atMs: number
  test: RedoxTest
  /** mV; null when nothing was shown while there was flow. */
  orp: Shown | null
  ph: Shown | null
}

/** Of the display as the technician typed it, or of the samples around the test while there was flow. */
export interface Shown {
  from: 'display' | 'samples'
  /** The display's value, or the median of the samples. */
  value: number
  /** Least and most of the samples; null for a display. */
  spread: Pick<Spread, 'min' | 'max'> | null
}

/** What the test kit said. A value that was not measured then is carried from the last test that did, with that test's time. */
export interface RedoxTest {
  /** Free chlorine as Cl2, bromine as Br2 or chlorine dioxide, mg/L, of this very test. */
  sanitizerMgL: number | null
  /** Standard deviation of that reading where it is known; else that of a usual test kit. */
  sanitizerSdMgL?: number | null
  /** Of this very test. */
  combinedChlorineMgL: number | null
  ph: Measured | null
  cyanuricAcidMgL: Measured | null
  tempC: Measured | null
  /** Dissolved solids, mg/L. */
  tdsMgL: Measured | null
}

export const PROBE_WORK_KINDS = [
  'orpProbeReplaced',
  'orpProbeCleaned',
  'controllerSwapped',
  'flowCellServiced',
  'waterReplaced',
  'stabilizerAdded',
  'phProbeReplaced',
  'phProbeCleaned',
  'phCalibrated',
] as const
export type ProbeWorkKind = (typeof PROBE_WORK_KINDS)[number]

/** Work after which a probe may show something else in the same water: a break point. */
export interface ProbeWork {
  kind: ProbeWorkKind
  atMs: number
  /** What a calibration reported of the pH probe's slope, per cent of theory. */
  slopePct?: number | null
}

export interface SetPointChange {
  atMs: number
  orpMv: number
}

/** A value with its 90 % interval. */
export interface Interval {
  value: number
  low: number
  high: number
}

/** Water as the relation sees it. */
export interface RedoxWater {
  sanitizerMgL: number
  ph: number
  cyanuricAcidMgL: number
  tempC: number
  tdsMgL: number
}

/**
 * `usable`: this body's own pairs show that ORP follows the sanitizer. `assumed`: too few pairs, or too much alike, to
 * show it; theory carries it. `none`: enough pairs, and they show that it does not follow.
 */
export type Correlation = 'usable' | 'assumed' | 'none'

/** The relation between ORP and the sanitizer really free, as it stands now. Plain data. */
export interface RedoxModel {
  oxidant: Oxidant
  /** A controller holds the ORP, so that the sanitizer is what answers; else the ORP answers the sanitizer. */
  held: boolean
  /** The time for which it was fitted. */
  atMs: number
  correlation: Correlation
  pairsUsed: number
  /** The water of now as all tests together tell it; null when nothing was ever tested. */
  water: RedoxWater | null
  /** mV for ten times the hypochlorous acid (for bromine and chlorine dioxide: ten times the reading). */
  slopeMv: Interval
  /** mV for one pH more with the same acid; for bromine and chlorine dioxide with the same reading. */
  phMv: Interval
  /** mV for each °C more with the same acid. */
  tempMv: Interval
  /** mV for ten times the dissolved solids. */
  solidsMv: Interval
  /** Standard deviation of one good pair around the relation. */
  noiseMv: number
  /** How far the offset wanders in a day, standard deviation; with the square root of the time. */
  wanderMv: number
  points: readonly PairFit[]
  /** Steps of the offset that the pairs show. */
  steps: readonly OffsetStep[]
  /** How the offset goes on since the last step, or since the probe or the controller was replaced; null when too little tells. */
  trend: { fromMs: number; mvPerWeek: Interval } | null
  /** Of offset, slope, pH, temperature and solids at `atMs`, in the form it was fitted in; for `expectedOrp`. */
  posterior: { mean: readonly number[]; covariance: readonly (readonly number[])[] }
}

/** One pair beside the relation. */
export interface PairFit {
  atMs: number
  orpMv: number
  /** With the sanitizer of this very test; the rest as all tests together tell it. */
  water: RedoxWater
  /** log10 of the hypochlorous acid in mg/L; of the reading for bromine and chlorine dioxide. */
  logAcid: number
  /** What the relation expects of this pair from all other pairs. */
  expectedMv: number
  /** How far one good pair may part from that, standard deviation. */
  expectedSd: number
  /** 0–1: how much it counts. A test far from all others counts little. */
  weight: number
  /** The offset at that time, and its standard deviation. */
  offsetMv: number
  offsetSd: number
}

/** A sudden change of what the ORP means. */
export interface OffsetStep {
  /** The first pair after it; it happened after `afterMs`. */
  atMs: number
  afterMs: number
  mv: Interval
  /** Logged work within it, when there was any. */
  work: ProbeWorkKind | null
}

/** What the set point is to hold. */
export interface SetPointAim {
  /** mg/L of free chlorine, bromine or chlorine dioxide. */
  targetMgL: number
  /** mV that the code allows; null without such a limit. */
  orpMinMv: number | null
  orpMaxMv: number | null
  /** Where pH should stand; null when not known. */
  phSetPoint: number | null
  /** What today's work makes of the water where that is known: stabilizer added, water replaced. It has not been tested yet. */
  after?: Partial<Omit<RedoxWater, 'sanitizerMgL'>>
}

/** `keep`: right as far as anyone can tell. `testFirst`, `mendFirst`: not to be moved before that. `cannotTell`: nothing to judge by. */
export type AdviceAction = 'move' | 'keep' | 'testFirst' | 'mendFirst' | 'cannotTell'

export interface SetPointAdvice {
  action: AdviceAction
  nowMv: number | null
  /** The set point that would hold the target in this water. */
  holdsTargetMv: Interval | null
  /** What to set today: a limited step; null unless `action` is move. */
  todayMv: number | null
  /** What the set point of now would hold, mg/L. */
  nowMeansMgL: Interval | null
  /** What moved the right set point since the test last stood at its target; null when it never did. */
  changed: Attribution | null
  /** Why, the weightiest first. */
  reasons: readonly Phrase[]
  evidence: readonly EvidenceLine[]
}

export const DRIFT_FACTORS = ['stabilizer', 'ph', 'temperature', 'dissolvedSolids', 'unexplained'] as const
/** `unexplained`: what no test explains: a foul or ageing probe, or work on it that nobody wrote down. */
export type DriftFactor = (typeof DRIFT_FACTORS)[number]

/** How the ORP that holds one sanitizer reading changed between two times, factor by factor; the parts add up to the whole. */
export interface Attribution {
  fromMs: number
  toMs: number
  totalMv: Interval
  parts: readonly { factor: DriftFactor; mv: Interval; from: number | null; to: number | null }[]
  /** The part that explains most, when it is beyond doubt and worth a word; null when none is. */
  main: DriftFactor | null
}

/** `slope`: it goes on, as with ageing and fouling. `step`: it happened once, as with service. */
export type DriftShape = 'none' | 'slope' | 'step' | 'unknown'

export interface RedoxDrift {
  shape: DriftShape
  /** Beyond doubt, and far enough to be worth a visit. */
  alarm: boolean
  /** ORP seen less ORP expected by the relation as it stood at `sinceMs`, in the newest pairs. */
  residualMv: Interval | null
  sinceMs: number | null
  /** mV a week since the last break. */
  trendMvPerWeek: Interval | null
  attribution: Attribution | null
  steps: readonly OffsetStep[]
  effort: FeedEffort | null
  probe: ProbeCondition
  reasons: readonly Phrase[]
  evidence: readonly EvidenceLine[]
}

/** Minutes of sanitizer feed a day that hold the same ORP. */
export interface FeedEffort {
  beforeMinPerDay: number
  nowMinPerDay: number
  /** now/before at the same ORP. */
  ratio: Interval
  shape: Exclude<DriftShape, 'unknown'>
  /** Where a step happened, or from where on it was compared. */
  sinceMs: number
}

/** `impossible`: a value that no water gives. `flat`: no longer answers the feed. `slow`: answers late. */
export type ProbeState = 'well' | 'slow' | 'flat' | 'stuck' | 'noisy' | 'impossible' | 'unknown'

export interface ProbeCondition {
  state: ProbeState
  sinceMs: number | null
  reasons: readonly Phrase[]
  evidence: readonly EvidenceLine[]
}

/** `retest`: one test alone says so. */
export type PhAgreementState = 'agrees' | 'retest' | 'calibrate' | 'slopeGone' | 'unknown'

/** What shows that a pH probe’s slope is gone: a calibration said so, none lasts, the display stands still or hardly follows. */
export type SlopeSign = 'calibration' | 'never lasts' | 'stands still' | 'hardly follows'

/** A test of pH beside what was shown then: of all that was shown, what came nearest to it. */
export interface NewestPh {
  testedPh: number
  testedAtMs: number
  shownPh: number
  /** Without a sign. */
  apart: number
}

export interface PhProbeAgreement {
  state: PhAgreementState
  /** Null unless `state` is slopeGone. */
  slopeSign: SlopeSign | null
  /** The newest test since the last calibration; null without one. */
  newest: NewestPh | null
  /** Shown less tested, now, since the last calibration. */
  offsetPh: Interval | null
  /** pH in 30 days. */
  trendPhPerMonth: Interval | null
  /** When the offset will pass what is tolerated, if it goes on; null when it does not go there. */
  calibrateByMs: number | null
  pairsUsed: number
  reasons: readonly Phrase[]
  evidence: readonly EvidenceLine[]
}

/** Everything about one body's probes. */
export interface RedoxAssessment {
  model: RedoxModel
  advice: SetPointAdvice
  drift: RedoxDrift
  phProbe: PhProbeAgreement
}

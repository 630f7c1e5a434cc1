import type { FeederRole } from '../vocabulary.ts'

/** As in the controller's description. */
export interface ControllerSettings {
  phBand?: number
  orpBandMv?: number
  cycleMin?: number
  onShare?: number
}

/** What can go wrong. `amount` 1 is the whole of it; `rampMin` is how long it takes to build up. */
export interface Fault {
  kind: FaultKind
  fromMs: number
  /** Default: never mended. */
  toMs?: number
  amount?: number
  rampMin?: number
  /** Which feeder, for the kinds that concern one. */
  role?: FeederRole
  /** What somebody set the controller to, for `settingsChanged`. */
  settings?: ControllerSettings
}

export type FaultKind =
  /** The feeder runs and delivers `amount` less (lost prime, worn tube, blocked injector, scaled cell). */
  | 'feederWeak'
  /** The feeder delivers `amount` times its rate more (a larger pump, a stroke turned up). */
  | 'feederStrong'
  /** Nobody refills the drum. */
  | 'drumForgotten'
  /** Somebody takes from the drum for another pool: what stays lasts `amount` hours of full feed. */
  | 'drumTakenFrom'
  /** The feeder delivers `amount` of its rate whatever the controller says (a valve or relay stuck); not shown as feed. */
  | 'feederStuckOn'
  /** As `feederStuckOn`, and the controller's own output: it is reported as feed. */
  | 'outputStuckOn'
  /** The controller's output is switched off or locked out: nothing is fed, nothing reported. */
  | 'outputOff'
  /** What is in the drum, and what is brought, has lost `amount` of its strength. */
  | 'productWeak'
  /** `amount` mg/L of salt leave each day with the water, and nobody adds any. */
  | 'saltLost'
  /** The heater holds no more than `amount` °C. */
  | 'heaterWeak'
  /** Somebody changes the controller's settings. */
  | 'settingsChanged'
  /** Feeds are not kept apart. */
  | 'turnsNotKept'
  /** The recirculation stops (1) or weakens. */
  | 'recirculationDown'
  /** The flow cell's strainer blocks: flow switch off, probes in standing water. */
  | 'strainerClogged'
  /** The flow cell's strainer fills up: the switch flickers ever more, and the probes answer late. */
  | 'strainerFilling'
  /** The controller feeds although the flow switch is off. */
  | 'flowIgnored'
  /** The flow switch says flow whatever happens. */
  | 'flowSwitchStuckOn'
  /** The flow switch says no flow whatever happens. */
  | 'flowSwitchStuckOff'
  /** The ORP probe is coated: reads up to 120 mV low and slow. */
  | 'orpProbeFouled'
  /** The ORP probe has lost `amount` of its slope towards 650 mV, and is slow. */
  | 'orpProbeAged'
  /** The ORP probe is off by `amount` mV (another probe, a bad joint, a ground current). */
  | 'orpProbeOff'
  /** The ORP probe jumps by `amount` mV (standard deviation). */
  | 'orpProbeNoisy'
  /** The ORP display stands still. */
  | 'orpProbeStuck'
  /** The pH probe is off by `amount` pH units. */
  | 'phProbeOff'
  /** The pH probe has lost `amount` of its slope. */
  | 'phProbeFlat'
  /** The pH display stands still. */
  | 'phProbeStuck'
  /** No samples leave the controller. */
  | 'controllerSilent'
  /** Nobody tests by hand. */
  | 'testsSkipped'
  /** Technicians leave the balance (alkalinity, hardness, stabilizer, set points, calibration) alone. */
  | 'balanceForgotten'
  /** Technicians never let water out. */
  | 'waterNeverReplaced'
  /** `amount` mg/L of combined chlorine a day beyond what bathers leave (ammonia in the fill water, bad air). */
  | 'combinedGathers'
  /** Somebody adds `amount` mg/L of cyanuric acid a day (stabilized tablets thrown in). */
  | 'stabilizerAdded'
  /** `amount` times the usual bathers on top of the usual. */
  | 'batherCrowd'
  /** `amount` mg/L of sanitizer thrown in by hand, each day at noon. */
  | 'shockDosed'

/** The faults of one moment, added up; kept as one flat record because the step reads it 300 times a simulated day. */
export interface Trouble {
  weak: Record<FeederRole, number>
  stuckOn: Record<FeederRole, number>
  forgottenDrum: Record<FeederRole, boolean>
  /** Hours of full feed that the drum holds at most; null: nobody touches it. */
  drumHoursLeft: Record<FeederRole, number | null>
  outputStuckOn: Record<FeederRole, number>
  outputOff: Record<FeederRole, boolean>
  productWeak: Record<FeederRole, number>
  saltLostMgLDay: number
  heaterC: number | null
  settings: ControllerSettings | null
  turnsNotKept: boolean
  flowLost: number
  strainer: number
  strainerFilling: number
  flowIgnored: boolean
  flowSwitchStuckOn: boolean
  flowSwitchStuckOff: boolean
  orpFouling: number
  orpAged: number
  orpOffMv: number
  orpNoiseMv: number
  orpStuck: boolean
  phOff: number
  phFlat: number
  phStuck: boolean
  silent: boolean
  testsSkipped: boolean
  balanceForgotten: boolean
  neverReplaced: boolean
  combinedMgLDay: number
  stabilizerMgLDay: number
  crowd: number
  shockMgLDay: number
}

const none = (): Trouble => ({
  weak: { primary: 0, backup: 0, ph: 0 },
  stuckOn: { primary: 0, backup: 0, ph: 0 },
  forgottenDrum: { primary: false, backup: false, ph: false },
  drumHoursLeft: { primary: null, backup: null, ph: null },
  outputStuckOn: { primary: 0, backup: 0, ph: 0 },
  outputOff: { primary: false, backup: false, ph: false },
  productWeak: { primary: 0, backup: 0, ph: 0 },
  saltLostMgLDay: 0,
  heaterC: null,
  settings: null,
  turnsNotKept: false,
  flowLost: 0,
  strainer: 0,
  strainerFilling: 0,
  flowIgnored: false,
  flowSwitchStuckOn: false,
  flowSwitchStuckOff: false,
  orpFouling: 0,
  orpAged: 0,
  orpOffMv: 0,
  orpNoiseMv: 0,
  orpStuck: false,
  phOff: 0,
  phFlat: 0,
  phStuck: false,
  silent: false,
  testsSkipped: false,
  balanceForgotten: false,
  neverReplaced: false,
  combinedMgLDay: 0,
  stabilizerMgLDay: 0,
  crowd: 0,
  shockMgLDay: 0,
})

export const NO_TROUBLE: Readonly<Trouble> = none()

/** What is wrong at this moment. */
export function troubleAt(faults: readonly Fault[], atMs: number): Readonly<Trouble> {
  let trouble: Trouble | null = null
  for (const fault of faults) {
    if (atMs < fault.fromMs || atMs >= (fault.toMs ?? Number.POSITIVE_INFINITY)) continue
    trouble ??= none()
    const built = fault.rampMin ? Math.min(1, (atMs - fault.fromMs) / (fault.rampMin * 60_000)) : 1
    APPLY[fault.kind](trouble, (fault.amount ?? 1) * built, fault.role ?? 'primary', fault)
  }
  return trouble ?? NO_TROUBLE
}

const APPLY: Record<FaultKind, (trouble: Trouble, amount: number, role: FeederRole, fault: Fault) => void> = {
  feederWeak: (trouble, amount, role) => {
    trouble.weak[role] = Math.min(1, trouble.weak[role] + amount)
  },
  feederStrong: (trouble, amount, role) => {
    trouble.weak[role] -= amount
  },
  drumForgotten: (trouble, _amount, role) => {
    trouble.forgottenDrum[role] = true
  },
  drumTakenFrom: (trouble, amount, role) => {
    trouble.drumHoursLeft[role] = amount
  },
  feederStuckOn: (trouble, amount, role) => {
    trouble.stuckOn[role] = amount
  },
  outputStuckOn: (trouble, amount, role) => {
    trouble.outputStuckOn[role] = amount
  },
  outputOff: (trouble, _amount, role) => {
    trouble.outputOff[role] = true
  },
  productWeak: (trouble, amount, role) => {
    trouble.productWeak[role] = Math.min(1, amount)
  },
  saltLost: (trouble, amount) => {
    trouble.saltLostMgLDay += amount
  },
  heaterWeak: (trouble, _amount, _role, { amount }) => {
    trouble.heaterC = amount ?? null
  },
  settingsChanged: (trouble, _amount, _role, { settings }) => {
    trouble.settings = settings ?? null
  },
  turnsNotKept: (trouble) => {
    trouble.turnsNotKept = true
  },
  recirculationDown: (trouble, amount) => {
    trouble.flowLost = Math.min(1, trouble.flowLost + amount)
  },
  strainerClogged: (trouble, amount) => {
    trouble.strainer = Math.min(1, trouble.strainer + amount)
  },
  strainerFilling: (trouble, amount) => {
    trouble.strainerFilling = Math.min(1, trouble.strainerFilling + amount)
  },
  flowIgnored: (trouble) => {
    trouble.flowIgnored = true
  },
  flowSwitchStuckOn: (trouble) => {
    trouble.flowSwitchStuckOn = true
  },
  flowSwitchStuckOff: (trouble) => {
    trouble.flowSwitchStuckOff = true
  },
  orpProbeFouled: (trouble, amount) => {
    trouble.orpFouling = amount
  },
  orpProbeAged: (trouble, amount) => {
    trouble.orpAged = Math.min(1, amount)
  },
  orpProbeOff: (trouble, amount) => {
    trouble.orpOffMv += amount
  },
  orpProbeNoisy: (trouble, amount) => {
    trouble.orpNoiseMv = amount
  },
  orpProbeStuck: (trouble) => {
    trouble.orpStuck = true
  },
  phProbeOff: (trouble, amount) => {
    trouble.phOff += amount
  },
  phProbeFlat: (trouble, amount) => {
    trouble.phFlat = Math.min(1, amount)
  },
  phProbeStuck: (trouble) => {
    trouble.phStuck = true
  },
  controllerSilent: (trouble) => {
    trouble.silent = true
  },
  testsSkipped: (trouble) => {
    trouble.testsSkipped = true
  },
  balanceForgotten: (trouble) => {
    trouble.balanceForgotten = true
  },
  waterNeverReplaced: (trouble) => {
    trouble.neverReplaced = true
  },
  combinedGathers: (trouble, amount) => {
    trouble.combinedMgLDay += amount
  },
  stabilizerAdded: (trouble, amount) => {
    trouble.stabilizerMgLDay += amount
  },
  batherCrowd: (trouble, amount) => {
    trouble.crowd += amount
  },
  shockDosed: (trouble, amount) => {
    trouble.shockMgLDay += amount
  },
}

import type { FeederRole } from '../vocabulary.ts'

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
}

export type FaultKind =
  /** The feeder runs and delivers `amount` less (lost prime, worn tube, blocked injector, scaled cell). */
  | 'feederWeak'
  /** Nobody refills the drum. */
  | 'drumForgotten'
  /** Somebody takes from the drum for another pool: what stays lasts `amount` hours of full feed. */
  | 'drumTakenFrom'
  /** The feeder delivers `amount` of its rate whatever the controller says (a valve or relay stuck); not shown as feed. */
  | 'feederStuckOn'
  /** Feeds are not kept apart. */
  | 'turnsNotKept'
  /** The recirculation stops (1) or weakens. */
  | 'recirculationDown'
  /** The flow cell's strainer blocks: flow switch off, probes in standing water. */
  | 'strainerClogged'
  /** The controller feeds although the flow switch is off. */
  | 'flowIgnored'
  /** The flow switch says flow whatever happens. */
  | 'flowSwitchStuckOn'
  /** The ORP probe is coated: reads up to 120 mV low and slow. */
  | 'orpProbeFouled'
  /** The pH probe is off by `amount` pH units. */
  | 'phProbeOff'
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
  turnsNotKept: boolean
  flowLost: number
  strainer: number
  flowIgnored: boolean
  flowSwitchStuckOn: boolean
  orpFouling: number
  phOff: number
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
  turnsNotKept: false,
  flowLost: 0,
  strainer: 0,
  flowIgnored: false,
  flowSwitchStuckOn: false,
  orpFouling: 0,
  phOff: 0,
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
    APPLY[fault.kind](trouble, (fault.amount ?? 1) * built, fault.role ?? 'primary')
  }
  return trouble ?? NO_TROUBLE
}

const APPLY: Record<FaultKind, (trouble: Trouble, amount: number, role: FeederRole) => void> = {
  feederWeak: (trouble, amount, role) => {
    trouble.weak[role] = Math.min(1, trouble.weak[role] + amount)
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
  turnsNotKept: (trouble) => {
    trouble.turnsNotKept = true
  },
  recirculationDown: (trouble, amount) => {
    trouble.flowLost = Math.min(1, trouble.flowLost + amount)
  },
  strainerClogged: (trouble, amount) => {
    trouble.strainer = Math.min(1, trouble.strainer + amount)
  },
  flowIgnored: (trouble) => {
    trouble.flowIgnored = true
  },
  flowSwitchStuckOn: (trouble) => {
    trouble.flowSwitchStuckOn = true
  },
  orpProbeFouled: (trouble, amount) => {
    trouble.orpFouling = amount
  },
  phProbeOff: (trouble, amount) => {
    trouble.phOff += amount
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

import type { Cause, FindingKind, LatestSample } from '@sightglass/chemistry'
import { type Fault, type PlantSpec, type Random, simulate } from '@sightglass/chemistry/plant'
import { TEMPLATES } from '../company/templates.ts'
import { PLANT_KINDS, type PlantKind, type PlantLife } from './plants.ts'

const HOUR = 3_600_000
const DAY = 24 * HOUR

/** `feed` and `flow` faults are to be seen within a day, a `hazard` within two samples, the rest within days. */
export type FaultGroup = 'feed' | 'flow' | 'hazard' | 'probe' | 'water' | 'decoy'

export interface FaultCase {
  story: string
  group: FaultGroup
  /** The plants that it can befall. */
  on: readonly PlantKind[]
  /** A plant that has it from the start. */
  plant?: (plant: PlantSpec, kind: PlantKind) => PlantSpec
  faults: (onset: Onset) => Fault[]
  /** It is a fault from when this feeder’s drum has run dry. */
  dry?: 'primary' | 'ph'
  /** It is a fault from the first sample after the onset that shows it; a hazard is none before. */
  shows?: (sample: LatestSample) => boolean
  /** Hours after the onset from which it is to be seen: where it comes slowly, it is no fault before. */
  countsAfterHours?: number
  /** Findings of which one must come. */
  expect: readonly FindingKind[]
  /** What else may be said of it, because it follows. */
  also?: readonly FindingKind[]
  /** Of which one must be named first; absent where no cause is told. */
  causes?: readonly Cause[]
}

export interface Onset {
  life: PlantLife
  atMs: number
  random: Random
}

const ALL = Object.keys(PLANT_KINDS) as PlantKind[]
const only = (fits: (kind: (typeof PLANT_KINDS)[PlantKind]) => boolean) => ALL.filter((kind) => fits(PLANT_KINDS[kind]))

const PUMPED = only(({ system }) => system === 'hypochlorite')
const SALT = only(({ system }) => system === 'saltGenerator')
const TABLETS = only(({ system }) => system === 'erosion' || system === 'bromine')
/** Trichlor pools sink by themselves and hardly feed acid. */
const ACID_PUMPED = only(({ acid, content }) => acid !== 'carbonDioxide' && content !== 'trichlor')
const ON_GAS = only(({ acid }) => acid === 'carbonDioxide')
const NO_BACKUP = only(({ system }) => system !== 'saltGenerator')
const BOTH_IN_TURNS = only(
  ({ system, acid }) => (system === 'hypochlorite' || system === 'erosion') && acid !== 'carbonDioxide',
)
const QUICK = only(({ template }) => TEMPLATES[template].cycleMin === 10 && TEMPLATES[template].volumeM3[1] < 45)
const CHLORINE = only(({ system }) => system !== 'bromine')
const STABILIZED = only(({ template, system }) => TEMPLATES[template].cyanuricAcidMgL > 0 && system !== 'bromine')

const PUMP: readonly Cause[] = ['lostPrime', 'injectorBlocked', 'tubeWorn']

/** Nobody brings any more, and half-way somebody carries most of it to another pool: it runs out about the onset. */
const forgotten = (role: 'primary' | 'ph', onset: Onset): Fault[] => [
  { kind: 'drumForgotten', role, fromMs: onset.atMs - 9 * DAY },
  {
    kind: 'drumTakenFrom',
    role,
    fromMs: onset.atMs - 6 * DAY,
    toMs: onset.atMs - 6 * DAY + HOUR,
    amount: 5 * dailyHours(onset, role),
  },
]

/** Hours of full feed that a usual day takes. */
function dailyHours({ life }: Onset, role: 'primary' | 'ph'): number {
  const template = TEMPLATES[PLANT_KINDS[life.kind].template]
  // of carbon dioxide a third of the acid's equivalents
  const gas = PLANT_KINDS[life.kind].acid === 'carbonDioxide' ? 0.3 : 1
  return role === 'ph' ? (gas * template.dailyMeqL) / template.acidMeqLH : template.dailyMgL / template.sanitizerMgLH
}

/** How much of its rate a stuck feeder must give for so many times the usual demand. */
const stuckShare = (onset: Onset, role: 'primary' | 'ph', low: number, high: number) =>
  Math.min(1, (onset.random.between(low, high) * dailyHours(onset, role)) / 24)

const feeds = ({ sanitizerFeedPct, backupFeedPct }: LatestSample) =>
  Math.max(sanitizerFeedPct ?? 0, backupFeedPct ?? 0) > 0

const fault = (given: FaultCase) => given

/** The faults that diagnosis is tried on, each with severity and onset by chance. */
export const FAULT_CASES = {
  sanitizerDrumEmpty: fault({
    story: 'The hypochlorite drum is empty: the pump runs on air.',
    group: 'feed',
    on: PUMPED,
    faults: (onset) => forgotten('primary', onset),
    dry: 'primary',
    expect: ['feederWeak', 'orpNotHeld'],
    also: ['drumLow'],
    causes: ['drumEmpty'],
  }),
  acidDrumEmpty: fault({
    story: 'The acid drum is empty: pH climbs although acid is asked for.',
    group: 'feed',
    on: ACID_PUMPED,
    faults: (onset) => forgotten('ph', onset),
    dry: 'ph',
    expect: ['feederWeak', 'phNotHeld'],
    also: ['drumLow', 'orpNotHeld'],
    causes: ['drumEmpty'],
  }),
  tabletsUsedUp: fault({
    story: 'The erosion feeder has run out of tablets.',
    group: 'feed',
    on: TABLETS,
    faults: (onset) => forgotten('primary', onset),
    dry: 'primary',
    expect: ['feederWeak', 'orpNotHeld'],
    also: ['drumLow', 'phNotHeld'],
    causes: ['tabletsUsedUp'],
  }),
  cylinderEmpty: fault({
    story: 'The carbon dioxide cylinder is empty.',
    group: 'feed',
    on: ON_GAS,
    faults: (onset) => forgotten('ph', onset),
    dry: 'ph',
    expect: ['feederWeak', 'phNotHeld'],
    also: ['drumLow', 'orpNotHeld'],
    causes: ['cylinderEmpty', 'gasBlocked'],
  }),
  sanitizerPrimeLost: fault({
    story: 'The hypochlorite pump has lost its prime.',
    group: 'feed',
    on: PUMPED,
    faults: ({ atMs }) => [{ kind: 'feederWeak', role: 'primary', fromMs: atMs }],
    shows: feeds,
    expect: ['feederWeak', 'orpNotHeld'],
    causes: PUMP,
  }),
  acidPrimeLost: fault({
    story: 'The acid pump has lost its prime.',
    group: 'feed',
    on: ACID_PUMPED,
    faults: ({ atMs }) => [{ kind: 'feederWeak', role: 'ph', fromMs: atMs }],
    shows: ({ phFeedPct }) => (phFeedPct ?? 0) > 0,
    expect: ['feederWeak', 'phNotHeld'],
    also: ['orpNotHeld'],
    causes: PUMP,
  }),
  injectorBlocked: fault({
    story: 'The hypochlorite injector is blocked: a tenth or a third still gets through.',
    group: 'feed',
    on: PUMPED,
    faults: ({ atMs, random }) => [
      { kind: 'feederWeak', role: 'primary', fromMs: atMs, amount: random.between(0.65, 0.92) },
    ],
    shows: feeds,
    expect: ['feederWeak', 'orpNotHeld'],
    causes: PUMP,
  }),
  sanitizerTubeWorn: fault({
    story: 'The hypochlorite pump’s tube wears out over a week.',
    group: 'feed',
    on: PUMPED,
    faults: ({ atMs, random }) => [
      { kind: 'feederWeak', role: 'primary', fromMs: atMs, amount: random.between(0.85, 0.97), rampMin: 7 * 1440 },
    ],
    countsAfterHours: 5 * 24,
    expect: ['feederWeak', 'orpNotHeld'],
    causes: PUMP,
  }),
  acidTubeWorn: fault({
    story: 'The acid pump’s tube wears out over a week.',
    group: 'feed',
    on: ACID_PUMPED,
    faults: ({ atMs, random }) => [
      { kind: 'feederWeak', role: 'ph', fromMs: atMs, amount: random.between(0.9, 0.98), rampMin: 7 * 1440 },
    ],
    countsAfterHours: 6 * 24,
    expect: ['feederWeak', 'phNotHeld'],
    also: ['orpNotHeld'],
    causes: PUMP,
  }),
  productWeak: fault({
    story: 'Old or diluted hypochlorite was delivered.',
    group: 'feed',
    on: PUMPED,
    faults: ({ atMs, random, life }) => {
      const visit = life.visits.find((visitMs) => visitMs >= atMs) ?? atMs
      const feeder = life.plant.feeders.find(({ role }) => role === 'primary')
      const third = (0.35 * (feeder?.drum?.capacityL ?? 0)) / (feeder?.rateLH ?? 1)
      return [
        { kind: 'productWeak', role: 'primary', fromMs: visit, amount: random.between(0.55, 0.75) },
        // little enough was left that the technician filled it up
        { kind: 'drumTakenFrom', role: 'primary', fromMs: visit - 2 * HOUR, toMs: visit - HOUR, amount: third },
      ]
    },
    shows: feeds,
    expect: ['feederWeak', 'orpNotHeld'],
    causes: ['productWeak', 'demandUp'],
  }),
  tabletsBridged: fault({
    story: 'The tablets have bridged: little dissolves.',
    group: 'feed',
    on: TABLETS,
    faults: ({ atMs, random }) => [
      { kind: 'feederWeak', role: 'primary', fromMs: atMs, amount: random.between(0.7, 0.95) },
    ],
    shows: feeds,
    expect: ['feederWeak', 'orpNotHeld'],
    also: ['phNotHeld'],
    causes: ['tabletsBridged', 'tabletsUsedUp'],
  }),
  sanitizerTooSmall: fault({
    story: 'The sanitizer pump is too small for its busy hours.',
    group: 'feed',
    on: PUMPED,
    plant: (plant) => withSmallPump(plant, 1.05),
    faults: () => [],
    expect: ['feederAtLimit', 'orpNotHeld'],
    also: ['feederWeak'],
    causes: ['feederTooSmall'],
  }),
  cellScaled: fault({
    story: 'The generator’s cell scales up over ten days.',
    group: 'feed',
    on: SALT,
    faults: ({ atMs, random }) => [
      { kind: 'feederWeak', role: 'primary', fromMs: atMs, amount: random.between(0.9, 1), rampMin: 10 * 1440 },
    ],
    countsAfterHours: 6.5 * 24,
    expect: ['feederWeak', 'backupCarries', 'orpNotHeld'],
    also: ['drumLow'],
    causes: ['cellScaled'],
  }),
  cellStopped: fault({
    story: 'The generator has stopped making chlorine; the backup pump carries the load.',
    group: 'feed',
    on: SALT,
    faults: ({ atMs }) => [{ kind: 'feederWeak', role: 'primary', fromMs: atMs }],
    shows: feeds,
    expect: ['feederWeak', 'backupCarries', 'orpNotHeld'],
    also: ['drumLow'],
    causes: ['cellScaled'],
  }),
  generatorCold: fault({
    story: 'The heater has failed: the generator makes little in cold water.',
    group: 'feed',
    on: SALT,
    faults: ({ atMs, random }) => [{ kind: 'heaterWeak', fromMs: atMs, amount: random.between(15.3, 16.2) }],
    shows: ({ tempC }) => (tempC ?? 20) < 17.2,
    expect: ['feederWeak', 'backupCarries', 'orpNotHeld'],
    causes: ['waterCold'],
  }),
  saltLow: fault({
    story: 'Salt is lost with the water and nobody adds any.',
    group: 'feed',
    on: SALT,
    faults: ({ atMs, random }) => [
      { kind: 'saltLost', fromMs: atMs, toMs: atMs + 6 * DAY, amount: random.between(230, 270) },
      { kind: 'saltLost', fromMs: atMs + 6 * DAY, amount: 1 },
    ],
    countsAfterHours: 5.5 * 24,
    expect: ['feederWeak', 'backupCarries', 'orpNotHeld'],
    causes: ['saltLow', 'cellScaled'],
  }),
  sanitizerSiphons: fault({
    story: 'The hypochlorite line siphons: it runs in without the pump.',
    group: 'feed',
    on: PUMPED,
    faults: (onset) => [
      { kind: 'feederStuckOn', role: 'primary', fromMs: onset.atMs, amount: stuckShare(onset, 'primary', 2.5, 6) },
    ],
    expect: ['overfeed'],
    causes: ['siphoning', 'outputStuck'],
  }),
  sanitizerRelayStuck: fault({
    story: 'The relay of the hypochlorite pump is stuck: it is fed far above the set point.',
    group: 'feed',
    on: NO_BACKUP,
    faults: ({ atMs, random }) => [
      { kind: 'outputStuckOn', role: 'primary', fromMs: atMs, amount: random.between(0.3, 1) },
    ],
    expect: ['overfeed'],
    also: ['acidWithHypochlorite', 'feedHunting'],
    causes: ['outputStuck'],
  }),
  acidSiphons: fault({
    story: 'The acid line siphons.',
    group: 'feed',
    on: ACID_PUMPED,
    faults: (onset) => [
      { kind: 'feederStuckOn', role: 'ph', fromMs: onset.atMs, amount: stuckShare(onset, 'ph', 3, 8) },
    ],
    expect: ['overfeed'],
    also: ['orpNotHeld'],
    causes: ['siphoning', 'outputStuck'],
  }),
  acidRelayStuck: fault({
    story: 'The relay of the acid pump is stuck.',
    group: 'feed',
    on: ACID_PUMPED,
    faults: ({ atMs, random }) => [{ kind: 'outputStuckOn', role: 'ph', fromMs: atMs, amount: random.between(0.2, 1) }],
    expect: ['overfeed'],
    also: ['acidWithHypochlorite', 'orpNotHeld', 'feedHunting'],
    causes: ['outputStuck'],
  }),
  sanitizerHunts: fault({
    story: 'A larger pump and sharp settings: each dose overshoots in a small body.',
    group: 'feed',
    on: QUICK,
    faults: ({ atMs, random }) => [
      { kind: 'feederStrong', role: 'primary', fromMs: atMs, amount: random.between(2, 5) },
      {
        kind: 'settingsChanged',
        fromMs: atMs,
        settings: { orpBandMv: random.between(2, 5), onShare: 1, cycleMin: random.pick([30, 60]) },
      },
    ],
    shows: ({ orpMv, orpSetPointMv }) => (orpMv ?? 0) > (orpSetPointMv ?? 0) + 20,
    expect: ['feedHunting', 'overfeed'],
    also: ['phNotHeld'],
    causes: ['settingsTooSharp', 'feederTooLarge'],
  }),
  acidHunts: fault({
    story: 'A larger acid pump and a long on-time: pH is thrown far below its set point again and again.',
    group: 'feed',
    on: ACID_PUMPED,
    faults: ({ atMs, random }) => [
      { kind: 'feederStrong', role: 'ph', fromMs: atMs, amount: random.between(4, 9) },
      {
        kind: 'settingsChanged',
        fromMs: atMs,
        settings: { phBand: random.between(0.02, 0.05), onShare: 1, cycleMin: 60 },
      },
    ],
    shows: ({ ph, phSetPoint }) => (ph ?? 7) < (phSetPoint ?? 0) - 0.1,
    expect: ['feedHunting', 'overfeed'],
    also: ['orpNotHeld'],
    causes: ['settingsTooSharp', 'feederTooLarge'],
  }),
  sanitizerSwitchedOff: fault({
    story: 'Somebody left the sanitizer feed switched off.',
    group: 'feed',
    on: NO_BACKUP,
    faults: ({ atMs }) => [{ kind: 'outputOff', role: 'primary', fromMs: atMs }],
    shows: ({ orpMv, orpSetPointMv }) => (orpMv ?? 0) < (orpSetPointMv ?? 0) - 8,
    expect: ['orpNotHeld'],
    also: ['phNotHeld'],
    causes: ['outputOff'],
  }),
  acidSwitchedOff: fault({
    story: 'Somebody left the acid feed switched off.',
    group: 'feed',
    on: ACID_PUMPED,
    faults: ({ atMs }) => [{ kind: 'outputOff', role: 'ph', fromMs: atMs }],
    shows: ({ ph, phSetPoint }) => (ph ?? 7) > (phSetPoint ?? 0) + 0.05,
    expect: ['phNotHeld'],
    also: ['orpNotHeld'],
    causes: ['outputOff'],
  }),
  fedWithoutFlow: fault({
    story: 'The flow cell’s strainer blocks and the interlock is bridged: chemical is fed into standing water.',
    group: 'hazard',
    on: ALL,
    faults: ({ atMs }) => [
      { kind: 'strainerClogged', fromMs: atMs },
      { kind: 'flowIgnored', fromMs: atMs - DAY },
    ],
    shows: (sample) => sample.flowOn === false && (feeds(sample) || (sample.phFeedPct ?? 0) > 0),
    expect: ['feedWithoutFlow'],
    also: ['noFlow', 'orpNotHeld', 'phNotHeld', 'feederWeak', 'backupCarries', 'flowFalling'],
  }),
  bothFeeds: fault({
    story: 'After a repair acid and chlorine are fed at the same time.',
    group: 'hazard',
    on: BOTH_IN_TURNS,
    faults: ({ atMs }) => [{ kind: 'turnsNotKept', fromMs: atMs }],
    shows: (sample) => feeds(sample) && (sample.phFeedPct ?? 0) > 0,
    expect: ['acidWithHypochlorite'],
    causes: ['turnsNotKept'],
  }),
  switchStuckOnMetered: fault({
    story: 'The recirculation stops, the flow switch goes on showing flow, and a meter shows none.',
    group: 'hazard',
    on: ALL,
    plant: (plant) => withMeter(plant, true),
    faults: ({ atMs }) => [
      { kind: 'flowSwitchStuckOn', fromMs: atMs - 4 * DAY },
      { kind: 'recirculationDown', fromMs: atMs },
    ],
    shows: ({ flowLMin }) => flowLMin === 0,
    expect: ['flowSwitchStuck'],
    also: ['orpNotHeld', 'phNotHeld', 'feederWeak', 'backupCarries', 'flowFalling'],
    causes: ['switchStuckOn'],
  }),
  switchStuckOnAlone: fault({
    story: 'The recirculation stops, the flow switch goes on showing flow, and there is no meter.',
    group: 'flow',
    on: NO_BACKUP,
    plant: (plant) => withMeter(plant, false),
    faults: ({ atMs }) => [
      { kind: 'flowSwitchStuckOn', fromMs: atMs - 4 * DAY },
      { kind: 'recirculationDown', fromMs: atMs },
    ],
    expect: ['flowSwitchStuck', 'orpNotHeld', 'feederWeak'],
    also: ['phNotHeld'],
    // far from the meter only the probes tell that the cell stands: nothing that arrives is the next best word for it
    causes: ['switchStuckOn', 'lostPrime', 'injectorBlocked', 'tabletsBridged'],
  }),
  switchStuckOff: fault({
    story: 'The flow switch is stuck off: the interlock holds all feeds.',
    group: 'flow',
    on: ALL,
    faults: ({ atMs }) => [{ kind: 'flowSwitchStuckOff', fromMs: atMs }],
    expect: ['noFlow'],
  }),
  pumpTripped: fault({
    story: 'The recirculation pump has tripped.',
    group: 'flow',
    on: ALL,
    faults: ({ atMs }) => [{ kind: 'recirculationDown', fromMs: atMs }],
    expect: ['noFlow'],
  }),
  strainerFills: fault({
    story: 'The pump’s strainer fills over a week: the flow sinks.',
    group: 'flow',
    on: ALL,
    plant: (plant) => withMeter(plant, true),
    faults: ({ atMs, random }) => [
      { kind: 'recirculationDown', fromMs: atMs, amount: random.between(0.4, 0.65), rampMin: 8 * 1440 },
    ],
    countsAfterHours: 5 * 24,
    expect: ['flowFalling'],
    causes: ['strainerClogged', 'filterLoaded'],
  }),
  cellStrainerFills: fault({
    story: 'The flow cell’s strainer fills over some days: the switch drops ever more often.',
    group: 'flow',
    on: ALL,
    faults: ({ atMs, random }) => [
      { kind: 'strainerFilling', fromMs: atMs, amount: random.between(0.7, 1), rampMin: 6 * 1440 },
    ],
    countsAfterHours: 5 * 24,
    expect: ['flowFalling'],
    also: ['noFlow', 'orpProbeFaulty'],
    causes: ['strainerClogged'],
  }),
  orpProbeFouls: fault({
    story: 'The ORP probe is coated more and more: it reads low and late, and chlorine climbs.',
    group: 'probe',
    on: CHLORINE,
    faults: ({ atMs, random }) => [
      { kind: 'orpProbeFouled', fromMs: atMs, amount: random.between(0.35, 0.7), rampMin: 6 * 1440 },
      { kind: 'balanceForgotten', fromMs: atMs },
    ],
    countsAfterHours: 4 * 24,
    expect: ['orpDrifted', 'orpProbeFaulty'],
    also: ['backupCarries', 'orpNotHeld', 'orpNotTied', 'setPointOff'],
    causes: ['probeReadsLow'],
  }),
  orpProbeAges: fault({
    story: 'The ORP probe has lost its slope and answers late.',
    group: 'probe',
    on: CHLORINE,
    faults: ({ atMs, random }) => [
      { kind: 'orpProbeAged', fromMs: atMs, amount: random.between(0.5, 0.8), rampMin: 6 * 1440 },
      { kind: 'balanceForgotten', fromMs: atMs },
    ],
    countsAfterHours: 4 * 24,
    expect: ['orpDrifted', 'orpProbeFaulty'],
    also: ['backupCarries', 'orpNotHeld', 'feedHunting', 'overfeed', 'orpNotTied', 'setPointOff'],
  }),
  orpProbeSteps: fault({
    story: 'The ORP shows something else from one hour to the next.',
    group: 'probe',
    on: CHLORINE,
    faults: ({ atMs, random }) => [
      { kind: 'orpProbeOff', fromMs: atMs, amount: random.pick([-1, 1]) * random.between(35, 60) },
      { kind: 'balanceForgotten', fromMs: atMs },
    ],
    expect: ['orpDrifted', 'orpProbeFaulty'],
    also: ['backupCarries', 'orpNotHeld', 'feedHunting', 'orpNotTied', 'setPointOff'],
    causes: ['probeReadsLow'],
  }),
  orpProbeSticks: fault({
    story: 'The ORP stands still.',
    group: 'probe',
    on: ALL,
    faults: ({ atMs }) => [{ kind: 'orpProbeStuck', fromMs: atMs }],
    expect: ['orpProbeFaulty', 'orpDrifted'],
    also: ['orpNotTied', 'setPointOff'],
  }),
  orpProbeNoisy: fault({
    story: 'The ORP jumps about: a bad cable or a ground current.',
    group: 'probe',
    on: ALL,
    faults: ({ atMs, random }) => [{ kind: 'orpProbeNoisy', fromMs: atMs, amount: random.between(15, 40) }],
    expect: ['orpProbeFaulty'],
    also: ['backupCarries', 'orpDrifted', 'feedHunting', 'overfeed', 'orpNotTied', 'setPointOff'],
  }),
  phProbeShifts: fault({
    story: 'The pH probe has shifted and nobody calibrates it.',
    group: 'probe',
    on: ALL,
    faults: ({ atMs, random }) => [
      { kind: 'phProbeOff', fromMs: atMs, amount: random.pick([-1, 1]) * random.between(0.3, 0.5), rampMin: 1440 },
      { kind: 'balanceForgotten', fromMs: atMs },
    ],
    countsAfterHours: 24,
    expect: ['phProbeDrifted', 'phProbeFaulty'],
    also: ['phNotHeld', 'orpNotHeld', 'overfeed', 'orpDrifted'],
  }),
  phProbeFlat: fault({
    story: 'The pH probe’s slope is gone: it shows the same whatever the water is.',
    group: 'probe',
    on: ACID_PUMPED,
    faults: ({ atMs, random }) => [
      { kind: 'phProbeFlat', fromMs: atMs, amount: random.between(0.6, 0.9) },
      { kind: 'balanceForgotten', fromMs: atMs },
    ],
    countsAfterHours: 24,
    expect: ['phProbeDrifted', 'phProbeFaulty'],
    also: ['orpDrifted', 'orpNotHeld', 'overfeed'],
  }),
  phProbeSticks: fault({
    story: 'The pH stands still.',
    group: 'probe',
    on: ALL,
    faults: ({ atMs }) => [
      { kind: 'phProbeStuck', fromMs: atMs },
      { kind: 'balanceForgotten', fromMs: atMs },
    ],
    expect: ['phProbeDrifted', 'phProbeFaulty'],
    also: ['orpDrifted', 'orpNotHeld', 'overfeed'],
  }),
  stabilizerRises: fault({
    story: 'Somebody adds stabilized chlorine by hand: cyanuric acid climbs, and the same ORP needs more chlorine.',
    group: 'water',
    on: STABILIZED,
    faults: ({ atMs, random }) => [
      { kind: 'stabilizerAdded', fromMs: atMs, amount: random.between(3, 5) },
      { kind: 'waterNeverReplaced', fromMs: atMs },
      { kind: 'balanceForgotten', fromMs: atMs },
    ],
    countsAfterHours: 9 * 24,
    expect: ['orpDrifted', 'setPointOff'],
    also: ['orpNotTied'],
  }),
  controllerSilent: fault({
    story: 'Nothing is heard from the controller any more.',
    group: 'flow',
    on: ALL,
    faults: ({ atMs }) => [{ kind: 'controllerSilent', fromMs: atMs }],
    expect: ['controllerSilent'],
  }),
  crowds: fault({
    story: 'A week of crowds: nothing is wrong with the plant, the water is asked for more.',
    group: 'decoy',
    on: ALL,
    faults: ({ atMs, random }) => [{ kind: 'batherCrowd', fromMs: atMs, amount: random.between(0.8, 1.5) }],
    expect: [],
    also: ['orpNotHeld', 'feederAtLimit'],
    causes: ['demandUp'],
  }),
} as const satisfies Record<string, FaultCase>
export type FaultName = keyof typeof FAULT_CASES

function withMeter(plant: PlantSpec, fitted: boolean): PlantSpec {
  const { controller } = plant
  if (!controller) return plant
  const others = controller.channels.filter((channel) => channel !== 'flowLMin')
  return { ...plant, controller: { ...controller, channels: fitted ? [...others, 'flowLMin'] : others } }
}

/** A sanitizer pump that can give so many times of what a mean day takes when it runs all that it is let. */
function withSmallPump(plant: PlantSpec, times: number): PlantSpec {
  const days = 10
  const running = simulate(plant, { seed: 'usage', fromMs: 0, toMs: days * DAY })
  let step = running.next()
  while (!step.done) step = running.next()
  const dailyL = (step.value.feeders.find(({ role }) => role === 'primary')?.drawnL ?? 0) / days
  const letRun = 24 * 0.5 * (plant.controller?.onShare ?? 1)
  const rateLH = Number(((times * dailyL) / letRun).toPrecision(2))
  return {
    ...plant,
    feeders: plant.feeders.map((feeder) => (feeder.role === 'primary' ? { ...feeder, rateLH } : feeder)),
  }
}

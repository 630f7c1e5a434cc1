import type { FindingKind, IncidentKind } from '@sightglass/chemistry'
import type { Fault, PlantSpec } from '@sightglass/chemistry/plant'

/** A named situation: what happens to a plant before `now`, and what should be seen of it. */
export interface Scenario {
  /** What went on, for the README and for whoever shows the demo. */
  story: string
  /** Changes the plant before it starts. */
  plant?: (plant: PlantSpec) => PlantSpec
  faults?: (nowMs: number) => Fault[]
  /** Findings of which at least one must come up; empty for a healthy plant. */
  expect: readonly FindingKind[]
  /** A technician came that long before now, besides the usual visits. */
  lastVisitHoursAgo?: number
  /** No controller is fitted, or nobody ever tested. */
  automated?: false
  tested?: false
  /** The controller's samples are not in the demo: the example files hold some. */
  loaded?: false
  incident?: DemoIncident
  /** Nobody bathes in it and nobody treats it since then. */
  outOfUse?: { daysAgo: number; reason: string }
}

/** What got into the water, and what was done about it. */
export interface DemoIncident {
  kind: IncidentKind
  minutesAgo: number
  note: string
  /** Tests made meanwhile: minutes after it, free chlorine in mg/L, pH, °C. The first finds no cyanuric acid. */
  tests: readonly (readonly [minutes: number, freeChlorineMgL: number, ph: number, tempC: number])[]
  /** Minutes after it. */
  closed?: { minutes: number; note: string }
}

const HOUR = 3_600_000
const DAY = 24 * HOUR

const scenario = (given: Scenario) => given

/** Since when nobody uses the body of a scenario; null in use. */
export const outOfUseFromMs = ({ outOfUse }: Scenario, nowMs: number): number | null =>
  outOfUse ? nowMs - outOfUse.daysAgo * DAY : null

const RELINING_DAYS = 24

const withWater = (plant: PlantSpec, water: Partial<PlantSpec['start']>): PlantSpec => ({
  ...plant,
  start: { ...plant.start, ...water },
  target: {
    ...plant.target,
    totalAlkalinityMgL: water.totalAlkalinityMgL ?? plant.target.totalAlkalinityMgL,
    calciumHardnessMgL: water.calciumHardnessMgL ?? plant.target.calciumHardnessMgL,
  },
  fill: {
    ...plant.fill,
    totalAlkalinityMgL: water.totalAlkalinityMgL ?? plant.fill.totalAlkalinityMgL,
    calciumHardnessMgL: water.calciumHardnessMgL ?? plant.fill.calciumHardnessMgL,
  },
})

export const SCENARIOS = {
  healthy: scenario({ story: 'Nothing is wrong.', expect: [] }),

  acidDrumDry: scenario({
    story: 'The acid drum was not refilled and ran dry: the controller asks for acid, none comes, the pH climbs.',
    faults: (now) => [
      { kind: 'drumForgotten', role: 'ph', fromMs: now - 9 * DAY },
      { kind: 'drumTakenFrom', role: 'ph', fromMs: now - 4.5 * DAY, toMs: now - 4.4 * DAY, amount: 0 },
    ],
    expect: ['feederWeak', 'phNotHeld', 'phHigh'],
  }),
  acidPumpWorn: scenario({
    story: 'The acid pump’s tube is worn out: it runs nearly all the time, the pH stands above its set point.',
    faults: (now) => [{ kind: 'feederWeak', role: 'ph', fromMs: now - 9 * DAY, rampMin: 4 * 1440, amount: 0.99 }],
    expect: ['feederWeak', 'phNotHeld', 'phHigh'],
  }),
  pumpLostPrime: scenario({
    story: 'The hypochlorite pump lost its prime in the night: it runs and delivers nothing, chlorine is nearly gone.',
    faults: (now) => [{ kind: 'feederWeak', role: 'primary', fromMs: now - 48 * HOUR }],
    expect: ['feederWeak', 'orpNotHeld', 'freeChlorineLow'],
  }),
  pumpWorn: scenario({
    story: 'The hypochlorite pump delivers less by the day: it runs longer and longer, ORP stands below its set point.',
    faults: (now) => [{ kind: 'feederWeak', role: 'primary', fromMs: now - 9 * DAY, rampMin: 8 * 1440, amount: 0.978 }],
    expect: ['feederWeak', 'orpNotHeld', 'freeChlorineLow'],
  }),
  orpProbeFouled: scenario({
    story:
      'The ORP probe is coated, worse since this morning: it reads low, the controller feeds and feeds, and the test kit ' +
      'finds plenty of chlorine.',
    faults: (now) => [
      { kind: 'orpProbeFouled', fromMs: now - 9 * DAY, rampMin: 9 * 1440, amount: 0.25 },
      { kind: 'orpProbeFouled', fromMs: now - 9 * HOUR, rampMin: 30, amount: 0.7 },
      { kind: 'balanceForgotten', fromMs: now - 10 * DAY },
    ],
    expect: ['orpNotHeld'],
  }),
  orpProbeAges: scenario({
    story:
      'The ORP probe has been fouling for four weeks and nobody cleans it or moves its set point: chlorine climbs while ' +
      'ORP stands where it should.',
    faults: (now) => [
      { kind: 'orpProbeFouled', fromMs: now - 28 * DAY, rampMin: 28 * 1440, amount: 0.3 },
      { kind: 'balanceForgotten', fromMs: now - 29 * DAY },
    ],
    expect: ['orpDrifted'],
  }),
  orpProbeStuck: scenario({
    story: 'The controller has held its ORP reading since yesterday morning: it stands still while chlorine is fed.',
    faults: (now) => [{ kind: 'orpProbeStuck', fromMs: now - 30 * HOUR }],
    expect: ['orpProbeFaulty'],
  }),
  setPointLeft: scenario({
    story:
      'Stabilized chlorine was added by hand for three weeks and the ORP set point was left where it was: it holds far ' +
      'more chlorine than it did.',
    faults: (now) => [
      { kind: 'stabilizerAdded', fromMs: now - 24 * DAY, toMs: now - 3 * DAY, amount: 1.5 },
      { kind: 'waterNeverReplaced', fromMs: now - 30 * DAY },
      { kind: 'balanceForgotten', fromMs: now - 24 * DAY },
    ],
    expect: ['setPointOff'],
  }),
  feedWithoutFlow: scenario({
    story:
      'The flow cell’s strainer is clogged and the interlock is bridged: the controller feeds while the flow switch is off.',
    faults: (now) => [
      { kind: 'strainerClogged', fromMs: now - 5 * HOUR },
      { kind: 'flowIgnored', fromMs: now - 20 * DAY },
    ],
    expect: ['feedWithoutFlow'],
  }),
  noFlow: scenario({
    story: 'The recirculation pump tripped: nothing flows, the interlock holds the feeds.',
    faults: (now) => [{ kind: 'recirculationDown', fromMs: now - 3 * HOUR }],
    expect: ['noFlow'],
  }),
  bothFeeds: scenario({
    story: 'After a repair both pumps deliver little, run long, and run at the same time: acid and hypochlorite meet.',
    faults: (now) => [
      { kind: 'turnsNotKept', fromMs: now - 3 * DAY },
      { kind: 'feederWeak', role: 'ph', fromMs: now - 3 * DAY, amount: 0.98 },
      { kind: 'feederWeak', role: 'primary', fromMs: now - 3 * DAY, amount: 0.9 },
    ],
    expect: ['acidWithHypochlorite'],
  }),
  relined: scenario({
    story: 'Drained and relined: the pump stands, the controller is off, nobody tests. Out of use, and no alarm.',
    faults: (now) => [
      { kind: 'recirculationDown', fromMs: now - RELINING_DAYS * DAY },
      { kind: 'controllerSilent', fromMs: now - RELINING_DAYS * DAY },
    ],
    outOfUse: { daysAgo: RELINING_DAYS, reason: 'Drained, the shell is being relined' },
    expect: [],
  }),
  controllerSilent: scenario({
    story: 'The controller has not been heard for two days.',
    faults: (now) => [{ kind: 'controllerSilent', fromMs: now - 50 * HOUR }],
    expect: ['controllerSilent'],
  }),
  exportsWait: scenario({
    story: 'A controller without a line to the office: its exports lie in a folder until somebody imports them.',
    loaded: false,
    expect: ['controllerSilent'],
  }),
  allSilent: scenario({
    story: 'The controller fell silent and nobody has tested since: nothing recent enough to judge.',
    faults: (now) => [
      { kind: 'controllerSilent', fromMs: now - 6 * DAY },
      { kind: 'testsSkipped', fromMs: now - 6 * DAY },
    ],
    expect: ['controllerSilent', 'testOverdue'],
  }),
  testOverdue: scenario({
    story: 'Nobody has tested by hand for four days.',
    faults: (now) => [{ kind: 'testsSkipped', fromMs: now - 4 * DAY }],
    expect: ['testOverdue'],
  }),
  neverTested: scenario({
    story: 'A body that was taken over without any record and without a controller.',
    automated: false,
    tested: false,
    expect: ['neverTested'],
  }),
  stabilizerClimbed: scenario({
    story: 'The pool runs on trichlor and nobody lets water out: cyanuric acid has climbed for weeks.',
    faults: (now) => [
      { kind: 'waterNeverReplaced', fromMs: now - 80 * DAY },
      { kind: 'stabilizerAdded', fromMs: now - 80 * DAY, amount: 0.4 },
    ],
    expect: ['cyanuricAcidHigh', 'disinfectionSlow'],
  }),
  stabilizerIndoors: scenario({
    story: 'An indoor pool was dosed with stabilized chlorine while its pump was away for repair.',
    faults: (now) => [
      { kind: 'stabilizerAdded', fromMs: now - 40 * DAY, toMs: now - 35 * DAY, amount: 3 },
      { kind: 'waterNeverReplaced', fromMs: now - 40 * DAY },
    ],
    expect: ['cyanuricAcidNotAllowed'],
  }),
  cellFailing: scenario({
    story: 'The salt cell is scaled up and fails; the backup hypochlorite pump carries the load.',
    faults: (now) => [{ kind: 'feederWeak', role: 'primary', fromMs: now - 30 * DAY, rampMin: 25 * 1440 }],
    expect: ['backupCarries'],
  }),
  spaOverdosed: scenario({
    story: 'The spa’s hypochlorite valve leaks: chlorine is far above what bathers may be in.',
    faults: (now) => [{ kind: 'feederStuckOn', role: 'primary', fromMs: now - 36 * HOUR, amount: 0.05 }],
    expect: ['freeChlorineHigh'],
  }),
  acidOverfed: scenario({
    story: 'The acid injector siphons: the pH has sunk although the controller does not feed.',
    faults: (now) => [{ kind: 'feederStuckOn', role: 'ph', fromMs: now - 20 * HOUR, amount: 0.2 }],
    expect: ['phLow'],
  }),
  corrosiveWater: scenario({
    story: 'Soft fill water and no balancing: the water dissolves plaster and metal.',
    plant: (plant) => withWater(plant, { totalAlkalinityMgL: 45, calciumHardnessMgL: 70 }),
    expect: ['waterCorrosive', 'alkalinityLow'],
  }),
  scalingWater: scenario({
    story: 'Hard fill water that evaporates: hardness and alkalinity are high, scale grows on heater and cell.',
    plant: (plant) => withWater(plant, { totalAlkalinityMgL: 210, calciumHardnessMgL: 700 }),
    expect: ['waterScaling', 'alkalinityHigh'],
  }),
  drumLow: scenario({
    story: 'Half of the hypochlorite drum was carried to another pool and nothing brought: it lasts a day or two more.',
    faults: (now) => [
      { kind: 'drumForgotten', role: 'primary', fromMs: now - 4 * DAY },
      { kind: 'drumTakenFrom', role: 'primary', fromMs: now - 2 * DAY, toMs: now - 1.9 * DAY, amount: 6 },
    ],
    lastVisitHoursAgo: 20,
    expect: ['drumLow'],
  }),
  acidDrumLow: scenario({
    story: 'The acid drum was carried to another pool and a nearly empty one put in its place: a day or two more.',
    faults: (now) => [
      { kind: 'drumForgotten', role: 'ph', fromMs: now - 4 * DAY },
      { kind: 'drumTakenFrom', role: 'ph', fromMs: now - 2 * DAY, toMs: now - 1.9 * DAY, amount: 1.7 },
    ],
    lastVisitHoursAgo: 20,
    expect: ['drumLow'],
  }),
  batherCrowd: scenario({
    story: 'A tournament: many times the usual bathers for two days in bad air, combined chlorine is up.',
    faults: (now) => [
      { kind: 'batherCrowd', fromMs: now - 2.5 * DAY, amount: 2 },
      { kind: 'combinedGathers', fromMs: now - 2.5 * DAY, amount: 1.2 },
    ],
    expect: ['combinedChlorineHigh', 'orpNotHeld'],
  }),
  phProbeOff: scenario({
    story: 'The pH probe has shifted and nobody has calibrated it: display and test kit disagree.',
    faults: (now) => [
      { kind: 'phProbeOff', fromMs: now - 2.5 * DAY, amount: 0.37, rampMin: 1440 },
      { kind: 'balanceForgotten', fromMs: now - 8 * DAY },
    ],
    expect: ['phProbeDrifted'],
  }),
  phProbeStuck: scenario({
    story: 'The pH display has stood still since yesterday: nobody knows what the acid pump does to the water.',
    faults: (now) => [{ kind: 'phProbeStuck', fromMs: now - 30 * HOUR }],
    expect: ['phProbeFaulty'],
  }),
  bromineLow: scenario({
    story: 'The bromine feeder’s tablets have bridged: little dissolves, bromine has sunk.',
    faults: (now) => [{ kind: 'feederWeak', role: 'primary', fromMs: now - 2.2 * DAY }],
    expect: ['bromineLow', 'feederWeak', 'orpNotHeld'],
  }),
  diarrheaTreated: scenario({
    story:
      'Diarrhea in the warm-water pool eight hours ago: the level is held, and tests prove part of the contact time.',
    faults: (now) => [{ kind: 'testsSkipped', fromMs: now - 8 * HOUR }],
    incident: {
      kind: 'diarrhea',
      minutesAgo: 8 * 60,
      note: 'Shallow end, during a group. Warden and health department told.',
      tests: [
        [20, 4.1, 7.4, 33.4],
        [55, 23.5, 7.4, 33.2],
        [120, 22.8, 7.4, 33.2],
        [180, 22, 7.5, 33.1],
        [245, 21.5, 7.5, 33.1],
        [300, 21, 7.6, 33],
        [330, 23, 7.4, 33],
        [395, 22.5, 7.4, 33.1],
        [455, 22, 7.5, 33.1],
      ],
    },
    expect: ['incidentOpen'],
  }),
  formedStoolClosed: scenario({
    story: 'Formed stool yesterday: taken out, the level held for its time, closed after the checks.',
    faults: (now) => [{ kind: 'testsSkipped', fromMs: now - 26 * HOUR, toMs: now - 24.5 * HOUR }],
    incident: {
      kind: 'formedStool',
      minutesAgo: 26 * 60,
      note: 'By the steps, taken out whole.',
      tests: [
        [8, 2.6, 7.4, 28.4],
        [25, 2.5, 7.4, 28.4],
        [45, 2.4, 7.4, 28.4],
      ],
      closed: { minutes: 60, note: 'Filter backwashed, guests let back in.' },
    },
    expect: [],
  }),
  tooHot: scenario({
    story: 'The spa’s heater holds too high.',
    plant: (plant) => ({ ...plant, heatedToC: 41.3 }),
    expect: ['temperatureHigh'],
  }),
} as const satisfies Record<string, Scenario>
export type ScenarioName = keyof typeof SCENARIOS

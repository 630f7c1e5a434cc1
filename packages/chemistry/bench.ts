// What one core assesses, speciates and plans in a second: node --import tsx packages/chemistry/bench.ts
import {
  afterAddition,
  assess,
  carbonateSystem,
  PROFILES,
  planFor,
  type Snapshot,
  type Water,
  waterState,
} from './src/index.ts'

const HOUR = 3_600_000
const NOW = Date.UTC(2026, 6, 15, 13)
const SNAPSHOTS = 2000
const SECONDS = 3

/** A small generator with a seed, so that every run measures the same bodies. */
function seeded(seed: number) {
  let state = seed
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0
    return state / 2 ** 32
  }
}

function body(index: number): Snapshot {
  const next = seeded(index + 1)
  const between = (low: number, high: number) => low + next() * (high - low)
  const spa = index % 5 === 0
  const stabilized = !spa && index % 3 === 0
  const trouble = index % 4 === 0
  const testedAt = NOW - between(1, 20) * HOUR
  const measured = (value: number) => ({ value, atMs: testedAt })
  const phHeld = trouble ? between(7.6, 8.1) : between(7.3, 7.5)
  const spread = (mean: number, wide: number) => ({ min: mean - wide, mean, max: mean + wide })
  const hours = Array.from({ length: 24 }, (_, hour) => ({
    hourMs: NOW - (24 - hour) * HOUR,
    samples: 12,
    coveredMin: 60,
    ph: spread(phHeld + between(-0.05, 0.05), 0.05),
    orpMv: spread(trouble ? between(640, 700) : between(720, 760), 8),
    freeChlorineMgL: null,
    tempC: spread(spa ? 38 : 28, 0.3),
    flowLMin: spread(900, 10),
    phSetPoint: 7.4,
    orpSetPointMv: 740,
    sanitizerFeedMin: between(5, 30),
    backupFeedMin: null,
    phFeedMin: between(0, 15),
    noFlowMin: 0,
    feedWithoutFlowMin: 0,
    bothFeedsMin: 0,
  }))
  const levels = (perDay: number) =>
    Array.from({ length: 8 }, (_, visit) => ({
      atMs: NOW - (28 - visit * 4) * 24 * HOUR,
      levelL: visit % 2 ? 200 - 4 * perDay : 200,
      deliveredL: visit % 2 || visit === 0 ? 0 : 8 * perDay - 4 * perDay,
    }))
  return {
    body: {
      useClass: spa ? 'spa' : 'pool',
      setting: spa ? 'indoor' : 'outdoor',
      sanitizerSystem: 'hypochlorite',
      cyanuricAcidUsed: stabilized,
      volumeL: 300_000,
      flowLMin: 900,
    },
    tests: {
      freeChlorineMgL: measured(between(0.5, 5)),
      totalChlorineMgL: measured(between(5, 5.5)),
      ph: measured(phHeld),
      tempC: measured(spa ? 38 : 28),
      totalAlkalinityMgL: measured(between(50, 140)),
      calciumHardnessMgL: measured(between(120, 400)),
      ...(stabilized ? { cyanuricAcidMgL: measured(between(20, 120)) } : {}),
      tdsMgL: measured(1200),
    },
    lastTestAtMs: testedAt,
    controller: {
      channels: ['ph', 'orpMv'],
      lastHeardAtMs: NOW - 4 * 60_000,
      latest: {
        atMs: NOW - 4 * 60_000,
        ph: phHeld,
        orpMv: trouble ? 660 : 735,
        freeChlorineMgL: null,
        tempC: spa ? 38 : 28,
        flowLMin: 900,
        flowOn: true,
        sanitizerFeedPct: 30,
        backupFeedPct: null,
        phFeedPct: 10,
        phSetPoint: 7.4,
        orpSetPointMv: 740,
      },
      hours,
    },
    feeders: [
      {
        id: 'primary',
        name: 'Hypochlorite pump',
        role: 'primary',
        kind: 'pump',
        drum: { id: 'a', name: 'Hypochlorite drum', content: 'sodiumHypochlorite', capacityL: 200, levels: levels(20) },
      },
      {
        id: 'ph',
        name: 'Acid pump',
        role: 'ph',
        kind: 'pump',
        drum: { id: 'b', name: 'Acid drum', content: 'hydrochloricAcid', capacityL: 200, levels: levels(4) },
      },
    ],
    incidents: [],
    outOfUse: null,
  }
}

/** Processor seconds of this process: what else the machine does must not count. */
function coreSeconds(): number {
  const { user, system } = process.cpuUsage()
  return (user + system) / 1e6
}

/** Rounds over all bodies until the time is up, after one to warm up: how many in a second of one core. */
function perSecond(round: () => void, each: number): number {
  round()
  let done = 0
  const started = coreSeconds()
  while (coreSeconds() - started < SECONDS) {
    round()
    done += each
  }
  return done / (coreSeconds() - started)
}

/** The figures of this package, on one core. */
export async function benchChemistry() {
  const bodies = Array.from({ length: SNAPSHOTS }, (_, index) => body(index))
  let findings = 0
  let assessed = 0
  const assessments = perSecond(() => {
    bodies.forEach((snapshot, index) => {
      findings += assess(snapshot, PROFILES[index % PROFILES.length] as (typeof PROFILES)[number], NOW).findings.length
    })
    assessed += SNAPSHOTS
  }, SNAPSHOTS)

  const next = seeded(7)
  const waters: Water[] = bodies.map(() => ({
    tempC: 20 + 18 * next(),
    ph: 7 + next(),
    freeChlorineMgL: 1 + 5 * next(),
    cyanuricAcidMgL: 100 * next(),
    calciumHardnessMgL: 150 + 300 * next(),
    totalAlkalinityMgL: 70 + 80 * next(),
    tdsMgL: 800 + 3000 * next(),
    boronMgL: 0,
    combinedChlorineMgL: 0.2,
    bromineMgL: 0,
    sulfateMgL: 0,
  }))
  let sum = 0
  const speciations = perSecond(() => {
    for (const water of waters) {
      const { hypochlorousMgL, saturationIndex } = waterState(water)
      sum += (hypochlorousMgL ?? Number.NaN) + (saturationIndex ?? Number.NaN)
      sum += carbonateSystem(water).inorganicCarbonMmolL
    }
  }, waters.length)
  const additions = perSecond(() => {
    for (const water of waters) sum += afterAddition(water, { alkalinityMeqL: -0.2 }).ph
  }, waters.length)
  if (!Number.isFinite(sum)) throw new Error('an equilibrium gave no number')
  const plans = benchPlans(bodies)

  return [
    {
      what: 'assessing bodies of water on one core',
      target: '20,000 per second',
      reached: assessments >= 20_000,
      'per second': assessments,
      'findings each': findings / assessed,
    },
    {
      what: 'full speciation of one water with cyanurate and saturation, on one core',
      target: '100,000 per second',
      reached: speciations >= 100_000,
      'per second': speciations,
    },
    {
      what: 'pH after an addition to one water with chlorine and cyanurate, on one core',
      target: '100,000 per second, 200 in 2 ms',
      reached: additions >= 100_000,
      'per second': additions,
    },
    {
      what: 'a dose plan for a body as tested, on one core',
      target: '< 2 ms',
      reached: plans.meanMs < 2 && plans.slowestMs < 2,
      'per second': 1000 / plans.meanMs,
      'ms each': plans.meanMs,
      'ms of the slowest': plans.slowestMs,
      'steps each': plans.steps,
    },
  ]
}

const REPEATS = 5

/** Each body's plan several times: the quickest of them is what it takes, the rest is what else the machine did. */
function benchPlans(bodies: readonly Snapshot[]) {
  const planOf = (snapshot: Snapshot, index: number) =>
    planFor(snapshot, PROFILES[index % PROFILES.length] as (typeof PROFILES)[number], NOW).plan
  const some = bodies.slice(0, 400)
  some.forEach(planOf)
  let steps = 0
  const times = some.flatMap((snapshot, index) => {
    const plan = planOf(snapshot, index)
    if (!plan) return []
    steps += plan.steps.length
    const tries = Array.from({ length: REPEATS }, () => {
      const started = coreSeconds()
      planOf(snapshot, index)
      return (coreSeconds() - started) * 1000
    })
    return [Math.min(...tries)]
  })
  if (times.length < some.length / 2) throw new Error('fewer than half of the bodies could be planned for')
  return {
    meanMs: times.reduce((total, ms) => total + ms, 0) / times.length,
    slowestMs: Math.max(...times),
    steps: steps / times.length,
  }
}

// run by itself it prints; the bench of everything imports it
if (process.argv[1]?.endsWith('bench.ts') && process.argv[1].includes('chemistry')) {
  for (const { what, 'per second': speed } of await benchChemistry()) {
    console.log(`${what}: ${Math.round(speed).toLocaleString('en')} per second`)
  }
}

import type { DrumContent, SanitizerSystem } from '@sightglass/chemistry'
import {
  createRandom,
  type Fault,
  type PlannedTest,
  type PlantSpec,
  type Random,
  type RecordSpec,
} from '@sightglass/chemistry/plant'
import { makePlant, TEMPLATES, type TemplateName } from '../company/templates.ts'

const DAY = 86_400_000
const HOUR = 3_600_000

/** The kinds of plant that faults are tried on. */
export const PLANT_KINDS = {
  outdoorPool: kind('outdoorPool', 'hypochlorite', 'sodiumHypochlorite', 'hydrochloricAcid'),
  indoorPool: kind('indoorPool', 'hypochlorite', 'sodiumHypochlorite', 'sulfuricAcid'),
  indoorPoolOnGas: kind('lapPool', 'hypochlorite', 'sodiumHypochlorite', 'carbonDioxide'),
  outdoorLapPool: kind('outdoorLapPool', 'hypochlorite', 'sodiumHypochlorite', 'hydrochloricAcid'),
  leisurePool: kind('leisurePool', 'hypochlorite', 'sodiumHypochlorite', 'carbonDioxide'),
  therapyPool: kind('therapy', 'hypochlorite', 'sodiumHypochlorite', 'sodiumBisulfate'),
  spa: kind('spa', 'hypochlorite', 'sodiumHypochlorite', 'hydrochloricAcid'),
  outdoorSpa: kind('outdoorSpa', 'hypochlorite', 'sodiumHypochlorite', 'hydrochloricAcid'),
  wading: kind('wading', 'hypochlorite', 'sodiumHypochlorite', 'hydrochloricAcid'),
  splash: kind('splash', 'hypochlorite', 'sodiumHypochlorite', 'hydrochloricAcid'),
  calciumErosion: kind('outdoorPool', 'erosion', 'calciumHypochlorite', 'hydrochloricAcid'),
  trichlor: kind('outdoorPool', 'erosion', 'trichlor', 'hydrochloricAcid'),
  saltOutdoors: kind('outdoorPool', 'saltGenerator', 'sodiumHypochlorite', 'hydrochloricAcid'),
  saltIndoors: kind('indoorPool', 'saltGenerator', 'sodiumHypochlorite', 'sulfuricAcid'),
  bromineSpa: kind('spa', 'bromine', 'bromineTablets', 'sodiumBisulfate'),
  bromineIndoors: kind('indoorPool', 'bromine', 'bromineTablets', 'hydrochloricAcid'),
} as const
export type PlantKind = keyof typeof PLANT_KINDS

function kind(template: TemplateName, system: SanitizerSystem, content: DrumContent, acid: DrumContent) {
  return { template, system, content, acid }
}

/** A plant with the life around it: who comes when, what usually happens, how well it is recorded. */
export interface PlantLife {
  kind: PlantKind
  seed: string
  plant: PlantSpec
  fromMs: number
  toMs: number
  /** What happens where nothing is wrong: busy days, a shock dose now and then. */
  everyday: Fault[]
  tests: PlannedTest[]
  visits: number[]
  record: RecordSpec
}

/** The same seed and kind give the same life. */
export function lifeOf(kind: PlantKind, seed: string, fromMs: number, days: number): PlantLife {
  const random = createRandom(seed)
  const { template, ...choice } = PLANT_KINDS[kind]
  const where = {
    automated: true,
    timeZone: random.pick(['America/Chicago', 'America/Phoenix']),
    latitudeDeg: random.between(27, 41),
  }
  const made = makePlant(TEMPLATES[template], { ...choice, ...where }, random)
  const toMs = fromMs + days * DAY
  return {
    kind,
    seed,
    plant: withHabits(made, fromMs, random),
    fromMs,
    toMs,
    everyday: everydayOf(made, fromMs, days, random),
    tests: testsOf(fromMs, days, random),
    visits: visitsOf(made, fromMs, days, random),
    record: {
      gapsPerDay: random.between(0, 0.6),
      gapMin: random.between(10, 60),
      wrongTests: random.between(0, 0.06),
      missedTests: random.between(0, 0.3),
      levelError: random.between(0.002, 0.012),
    },
  }
}

/** Settings, feeder sizes and filters differ from plant to plant. */
function withHabits(plant: PlantSpec, fromMs: number, random: Random): PlantSpec {
  const { controller } = plant
  return {
    ...plant,
    feeders: plant.feeders.map((feeder) => {
      const larger = random.between(0.9, 1.6)
      return { ...feeder, rateLH: feeder.rateLH * larger, outputGH: Math.round(feeder.outputGH * larger) }
    }),
    controller: controller && {
      ...controller,
      orpBandMv: random.pick([20, 25, 30, 40]),
      phBand: random.pick([0.2, 0.3, 0.4]),
      onShare: random.pick([0.6, 0.8, 1]),
    },
    ...(random.next() < 0.7 && {
      filter: {
        firstAtMs: fromMs + Math.round(random.between(0.2, 4) * 24) * HOUR,
        everyDays: random.pick([3, 4, 7]),
        minutes: random.pick([5, 10]),
        loses: random.between(0.02, 0.14),
      },
    }),
  }
}

function everydayOf(plant: PlantSpec, fromMs: number, days: number, random: Random): Fault[] {
  const everyday: Fault[] = []
  const shocks = plant.setting === 'outdoor' && plant.useClass === 'pool' && random.next() < 0.3
  for (let day = 0; day < days; day++) {
    const dayMs = fromMs + day * DAY
    everyday.push({ kind: 'batherCrowd', fromMs: dayMs, toMs: dayMs + DAY, amount: random.between(-0.4, 0.4) })
    // a school class, a tournament, a party
    if (random.next() < 0.04)
      everyday.push({
        kind: 'batherCrowd',
        fromMs: dayMs + 10 * HOUR,
        toMs: dayMs + 14 * HOUR,
        amount: random.between(0.5, 1.2),
      })
    if (shocks && day % 14 === 5)
      everyday.push({ kind: 'shockDosed', fromMs: dayMs, toMs: dayMs + DAY, amount: random.between(2, 5) })
  }
  return everyday
}

/** Staff test two to four times a day, not by the minute. */
function testsOf(fromMs: number, days: number, random: Random): PlannedTest[] {
  const times = random.pick([2, 3, 4])
  const tests: PlannedTest[] = []
  for (let day = 0; day < days; day++) {
    for (let turn = 0; turn < times; turn++) {
      const hour = 12 + (turn + 0.5) * (14 / times) + random.between(-0.7, 0.7)
      tests.push({ atMs: Math.round(fromMs + day * DAY + hour * HOUR), by: 'staff' })
    }
  }
  return tests
}

/** Once a week, twice where quick water stands; sometimes a day late. */
function visitsOf(plant: PlantSpec, fromMs: number, days: number, random: Random): number[] {
  const quick = plant.volumeL < 60_000
  const every = quick ? 3.5 : 7
  const first = random.between(1, 4)
  const visits: number[] = []
  for (let day = first; day < days; day += every) {
    const late = random.next() < 0.15 ? 1 : 0
    const hour = 14 + random.between(0, 7)
    visits.push(Math.round(fromMs + (Math.floor(day) + late) * DAY + hour * HOUR))
  }
  return visits
}

import { createRandom, type Random } from './random.ts'
import type { DrumReading } from './servicing.ts'
import type { PlantSpec, RecordSpec, SimulateOptions, TestReading } from './spec.ts'

/** What stands between the plant and its record: gaps in the samples, careless hands, levels read by eye. */
export interface Recording {
  /** Whether the sample of this moment is lost. */
  gap(atMs: number): boolean
  /** The test as it was written down; null when nobody made it. A technician's is always made. */
  test(reading: TestReading, always?: boolean): TestReading | null
  level(level: DrumReading, plant: PlantSpec): DrumReading
}

const FAITHFUL: Recording = { gap: () => false, test: (reading) => reading, level: (level) => level }

export function createRecord({ record, seed }: SimulateOptions): Recording {
  if (!record) return FAITHFUL
  const [gaps, tests, levels] = ['gaps', 'tests', 'levels'].map((what) => createRandom(`${seed}/${what}`)) as [
    Random,
    Random,
    Random,
  ]
  let lostUntilMs = Number.NEGATIVE_INFINITY
  return {
    gap(atMs) {
      if (atMs < lostUntilMs) return true
      if (gaps.next() >= record.gapsPerDay / 288) return false
      // most are short, a few last for hours
      lostUntilMs = atMs - Math.log(1 - gaps.next()) * record.gapMin * 60_000
      return true
    },
    test: (reading, always = false) =>
      !always && tests.next() < record.missedTests
        ? null
        : tests.next() < record.wrongTests
          ? spoilt(reading, tests)
          : reading,
    level: (level, plant) => ({ ...level, levelL: misread(level, plant, record, levels) }),
  }
}

/** One value of a test that is plainly wrong: old reagent, too few drops, a digit. */
function spoilt(reading: TestReading, random: Random): TestReading {
  const values = { ...reading.values }
  const sanitizer = values.bromineMgL === undefined ? 'freeChlorineMgL' : 'bromineMgL'
  if (random.next() < 0.5) values.ph = clean((values.ph ?? 7.4) + random.pick([-0.4, -0.3, 0.3, 0.4]))
  else {
    const wrong = clean((values[sanitizer] ?? 0) * random.pick([0.4, 0.6, 1.5, 1.9]))
    values[sanitizer] = wrong
    if (values.totalChlorineMgL !== undefined) values.totalChlorineMgL = Math.max(values.totalChlorineMgL, wrong)
  }
  return { ...reading, values }
}

const clean = (value: number) => Number(value.toFixed(2))

function misread({ role, levelL }: DrumReading, plant: PlantSpec, { levelError }: RecordSpec, random: Random): number {
  const capacityL = plant.feeders.find((feeder) => feeder.role === role)?.drum?.capacityL ?? 0
  const read = levelL + levelError * capacityL * random.normal()
  return Math.round(Math.min(capacityL, Math.max(0, read)) * 10) / 10
}

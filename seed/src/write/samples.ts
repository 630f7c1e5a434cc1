import { type Deps, ingestSamples } from '@sightglass/api'
import { type DrumReading, type PlantWork, simulate, type TestReading } from '@sightglass/chemistry/plant'
import type { Company, CompanyBody, CompanyFacility } from '../company/index.ts'
import { SCENARIOS, type Scenario } from '../scenarios/index.ts'
import { inTurns } from './door.ts'

export interface Place {
  facility: CompanyFacility
  body: CompanyBody
}

/** What a body's people wrote down, and how many samples its controller left. */
export interface Ran extends Place {
  samples: number
  readings: TestReading[]
  drumLevels: DrumReading[]
  work: PlantWork[]
}

/** Bodies whose samples go in by one transaction. */
const BODIES_AT_ONCE = 10

/**
 * Lets every body run through its days and stores its samples as they come. Two sets are under way at a time: while the
 * database rolls one up, the other is simulated.
 */
export async function runAndStore(
  deps: Deps,
  company: Company,
  places: readonly Place[],
  onRan: (ran: Ran) => void,
): Promise<void> {
  const sets = Array.from({ length: Math.ceil(places.length / BODIES_AT_ONCE) }, (_, set) =>
    places.slice(set * BODIES_AT_ONCE, (set + 1) * BODIES_AT_ONCE),
  )
  await inTurns(sets, 2, async (set) => {
    await ingestSamples(
      deps,
      set.map(({ body }) => body.id),
      runAll(company, set, onRan),
    )
  })
}

function* runAll(company: Company, places: readonly Place[], onRan: (ran: Ran) => void) {
  for (const place of places) {
    const { body } = place
    const scenario: Scenario = SCENARIOS[body.scenario]
    const ran: Ran = { ...place, samples: 0, readings: [], drumLevels: [], work: [] }
    const { seed, faults, tests, visits } = body
    const span = { fromMs: company.fromMs, toMs: company.nowMs }
    for (const stretch of simulate(body.plant, { seed, ...span, faults, tests, visits })) {
      ran.readings.push(...stretch.readings)
      ran.drumLevels.push(...stretch.drumLevels)
      ran.work.push(...stretch.work)
      if (scenario.loaded === false || stretch.count === 0) continue
      ran.samples += stretch.count
      yield { bodyId: body.id, count: stretch.count, atMs: stretch.atMs, columns: stretch.columns }
    }
    onRan(ran)
  }
}

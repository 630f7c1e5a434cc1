// Some bodies of the demo company with the days before now, written as the demo itself is.
import { assessBodies } from '../../apps/api/src/index.ts'
import { type CompanyBody, type CompanyFacility, makeCompany } from '../../seed/src/company/index.ts'
import type { ScenarioName } from '../../seed/src/scenarios/index.ts'
import { writeFacility } from '../../seed/src/write/plant.ts'
import { readingOf, writeLevel, writeReadings } from '../../seed/src/write/readings.ts'
import { runAndStore } from '../../seed/src/write/samples.ts'
import { workOf, writeWork } from '../../seed/src/write/work.ts'
import type { Sightglass } from './sightglass.ts'

const DAYS = 60
const LEVELS_MS = 30 * 86_400_000

/** The first body of each of these scenarios, with its facility. */
export async function writeDemoBodies({ app, deps }: Sightglass, scenarios: readonly ScenarioName[]) {
  const company = makeCompany({ nowMs: Date.now(), days: DAYS })
  const places = scenarios.map((scenario) => {
    const found = company.facilities
      .flatMap((facility) => facility.bodies.map((body) => ({ facility, body })))
      .find(({ body }) => body.scenario === scenario)
    if (!found) throw new Error(`no body of the demo has the scenario ${scenario}`)
    return found
  })
  for (const [facility, bodies] of byFacility(places)) await writeFacility(app, { ...facility, bodies })
  const writing: Promise<void>[] = []
  await runAndStore(
    { ...deps, judgeLater: true },
    company,
    places,
    ({ facility, body, readings, drumLevels, work }) => {
      const levels = drumLevels.filter(({ atMs }) => atMs > company.nowMs - LEVELS_MS)
      writing.push(
        (async () => {
          await writeReadings(
            app,
            readings.map((test) => readingOf(facility, body, test)),
          )
          await writeWork(
            app,
            work.map((one) => workOf(facility, body, one)),
          )
          for (const level of levels) await writeLevel(app, facility, body, level)
        })(),
      )
    },
  )
  await Promise.all(writing)
  await assessBodies(
    deps,
    places.map(({ body }) => body.id),
  )
  return places
}

function byFacility(places: readonly { facility: CompanyFacility; body: CompanyBody }[]) {
  const groups = new Map<CompanyFacility, CompanyBody[]>()
  for (const { facility, body } of places) groups.set(facility, [...(groups.get(facility) ?? []), body])
  return groups
}

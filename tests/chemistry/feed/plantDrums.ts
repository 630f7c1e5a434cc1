import { type DrumFacts, type DrumLevel, drumForecast, type RunTime, supplyPlan } from '@sightglass/chemistry'
import { type PlantState, simulate } from '@sightglass/chemistry/plant'
import { lifeOf, type PlantKind } from '../../../seed/src/faults/plants.ts'
import { DAY, drum } from '../support.ts'

const FROM = Date.UTC(2026, 5, 1, 6)
/** From here on nobody refills, and everything else goes on: visits, tests, weather, bathers. */
const FORGOTTEN_MS = FROM + 24 * DAY
const TO = FROM + 80 * DAY
const KINDS: readonly PlantKind[] = ['outdoorPool', 'indoorPoolOnGas', 'spa', 'wading', 'trichlor', 'bromineSpa']
const COLUMNS = { primary: 'sanitizerFeedPct', backup: 'backupFeedPct', ph: 'phFeedPct' } as const
type Role = keyof typeof COLUMNS

/** What was said of a drum of the plant model at some time, and how long it lasted. */
export interface Told {
  byRun: boolean
  content: DrumFacts['content']
  low: number
  typical: number
  high: number
  truth: number
  lasts: ReturnType<typeof supplyPlan>['lasts']
  /** Days from then until it must be filled at the latest. */
  latest: number
}

/** Plants that run until their drums are empty, asked every other day for how long they last. */
export const toldOfPlants = (): Told[] => KINDS.flatMap((kind) => toldOf(kind))

function toldOf(kind: PlantKind): Told[] {
  const life = lifeOf(kind, `drums/${kind}`, FROM, (TO - FROM) / DAY)
  const roles = Object.keys(COLUMNS) as Role[]
  const levels = { primary: [], backup: [], ph: [] } as Record<Role, DrumLevel[]>
  const minutes = { primary: [], backup: [], ph: [] } as Record<Role, { atMs: number; ran: number }[]>
  const forgotten = roles.map((role) => ({
    kind: 'drumForgotten' as const,
    role,
    fromMs: FORGOTTEN_MS,
    toMs: TO,
    amount: 1,
  }))
  const run = simulate(life.plant, {
    seed: life.seed,
    fromMs: FROM,
    toMs: TO,
    faults: [...life.everyday, ...forgotten],
    tests: life.tests,
    visits: life.visits,
    record: life.record,
  })
  let step = run.next()
  for (; !step.done; step = run.next()) {
    const { drumLevels, count, atMs, columns } = step.value
    for (const { role, ...level } of drumLevels) levels[role].push(level)
    for (const role of roles) {
      for (let at = 0; at < count; at++) {
        const pct = columns[COLUMNS[role]][at] as number
        if (!Number.isNaN(pct)) minutes[role].push({ atMs: atMs[at] as number, ran: (pct * 5) / 100 })
      }
    }
  }
  return (step.value as PlantState).feeders.flatMap(({ spec, role, drySinceMs }) =>
    spec.drum && drySinceMs !== null
      ? askedOf(
          { ...drum(spec.drum.content, levels[role]), capacityL: spec.drum.capacityL },
          runOf(minutes[role]),
          drySinceMs,
        )
      : [],
  )
}

function askedOf(whole: DrumFacts, run: RunTime, dryMs: number): Told[] {
  const told: Told[] = []
  for (let nowMs = FORGOTTEN_MS + 2 * DAY; nowMs < dryMs; nowMs += 2 * DAY) {
    const known = { ...whole, levels: whole.levels.filter(({ atMs }) => atMs <= nowMs && atMs > nowMs - 30 * DAY) }
    for (const byRun of [false, true]) {
      const forecast = drumForecast(known, nowMs, byRun ? run : null)
      if (!forecast || forecast.daysLeft.typical === null) continue
      const { low, typical, high } = forecast.daysLeft
      const { lasts, latestMs } = supplyPlan(known, forecast, nowMs, nowMs + 7 * DAY)
      const latest = ((latestMs ?? nowMs) - nowMs) / DAY
      const truth = (dryMs - nowMs) / DAY
      told.push({ byRun, content: whole.content, low: low ?? 0, typical, high: high ?? truth, truth, lasts, latest })
    }
  }
  return told
}

/** As the roll-up has it: minutes where eight tenths were heard. */
function runOf(samples: readonly { atMs: number; ran: number }[]): RunTime {
  return (fromMs, toMs) => {
    let [sum, heard] = [0, 0]
    for (const { atMs, ran } of samples) {
      if (atMs <= fromMs || atMs > toMs) continue
      sum += ran
      heard++
    }
    const due = (toMs - fromMs) / 300_000
    return due > 0 && heard >= 0.8 * due ? (sum * due) / heard : null
  }
}

/** How often it comes true. */
export function plantFigures(told: readonly Told[]) {
  const ratios = told.map(({ typical, truth }) => typical / truth).sort((a, b) => a - b)
  const at = (share: number) => ratios[Math.floor(share * ratios.length)] as number
  const sure = told.filter(({ lasts }) => lasts === 'sure')
  const due = told.filter(({ latest }) => latest > 0 && latest < 7)
  return {
    count: told.length,
    inside: told.filter(({ low, high, truth }) => truth >= low && truth <= high).length / told.length,
    middle: at(0.5),
    ends: [at(0.05), at(0.95)] as const,
    sureHeld: sure.filter(({ truth }) => truth >= 7).length / sure.length,
    tooLate: due.filter(({ latest, truth }) => latest > truth).length / due.length,
  }
}

const percent = (share: number) => `${Math.round(100 * share)} %`

/** As the page on feed has it. */
export const plantDrumRows = (told: readonly Told[]): string[] =>
  [true, false].flatMap((byRun) =>
    [true, false].map((fades) => {
      const of = told.filter((one) => one.byRun === byRun && (one.content === 'sodiumHypochlorite') === fades)
      const { count, inside, middle, ends, sureHeld, tooLate } = plantFigures(of)
      const cells = [
        `${byRun ? 'run time' : 'levels alone'}, ${fades ? 'hypochlorite' : 'the rest'}`,
        count,
        percent(inside),
        `${middle.toFixed(2)} (${ends.map((end) => end.toFixed(2)).join(' to ')})`,
        percent(sureHeld),
        percent(tooLate),
      ]
      return `| ${cells.join(' | ')} |`
    }),
  )

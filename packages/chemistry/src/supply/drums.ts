import { type History, historyOf } from '../feed/history.ts'
import type { DrumFacts, FeederFacts, Snapshot } from '../snapshot.ts'
import { type DrumForecast, drumForecast } from './forecast.ts'
import { type SupplyPlan, supplyPlan } from './plan.ts'
import { type DrawnStretch, drawnStretches, type PumpWear, pumpWear, type RunTime, runTimeOf } from './use.ts'

/** A drum of a body with all that is known of its use. */
export interface DrumSupply {
  drum: DrumFacts
  /** Those that draw on it. */
  feeders: FeederFacts[]
  /** null where nothing tells a use. */
  forecast: DrumForecast | null
  plan: SupplyPlan | null
  /** What it fell beside the run of its feeder; empty where that was not heard, or several feeders share the drum. */
  stretches: DrawnStretch[]
  wear: PumpWear | null
}

/** Each drum of a body once. A generator has none; a drum that feeders share, here or on another body, is forecast by its levels alone. */
export function suppliesOf(snapshot: Snapshot, nowMs: number, nextRoundMs = nowMs, leadDays = 0): DrumSupply[] {
  const run = runTimesOf(snapshot, nowMs)
  return drumsOf(snapshot).map(({ drum, feeders }) => {
    const only = feeders.length === 1 && !drum.sharedElsewhere ? feeders[0] : undefined
    const ran = only ? run(only) : null
    const stretches = ran ? drawnStretches(drum, ran) : []
    const forecast = drumForecast(drum, nowMs, ran)
    return {
      drum,
      feeders,
      forecast,
      plan: forecast && supplyPlan(drum, forecast, nowMs, nextRoundMs, leadDays),
      stretches,
      wear: only?.kind === 'pump' ? pumpWear(stretches, servedMs(snapshot, only)) : null,
    }
  })
}

/** The drums of a body, each with the feeders that draw on it. */
export function drumsOf({ feeders }: Pick<Snapshot, 'feeders'>): Pick<DrumSupply, 'drum' | 'feeders'>[] {
  const drums = new Map<string, Pick<DrumSupply, 'drum' | 'feeders'>>()
  for (const feeder of feeders) {
    const { drum } = feeder
    if (!drum) continue
    const known = drums.get(drum.id)
    if (known) known.feeders.push(feeder)
    else drums.set(drum.id, { drum, feeders: [feeder] })
  }
  return [...drums.values()]
}

/** The hours are laid out once, and only for a body that has a drum. */
function runTimesOf({ controller, body }: Snapshot, nowMs: number): (feeder: FeederFacts) => RunTime {
  let history: History | null = null
  return ({ role }) => {
    history ??= historyOf(
      (controller?.hours ?? []).filter(({ hourMs }) => hourMs <= nowMs),
      body,
    )
    return runTimeOf(history, role)
  }
}

/** When a feeder was last taken care of; −∞ where that is not known. */
export function servedMs({ feedWork }: Pick<Snapshot, 'feedWork'>, feeder: FeederFacts): number {
  const served = (feedWork ?? []).filter(
    ({ kind, feederId }) => kind === 'feederServiced' && (feederId === feeder.id || feederId === ''),
  )
  return served[served.length - 1]?.atMs ?? Number.NEGATIVE_INFINITY
}

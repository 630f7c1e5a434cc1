import { loadedKgPerL } from '../feed/product.ts'
import type { DrumFacts } from '../snapshot.ts'
import { DAY_MS } from '../time.ts'
import type { DrumContent } from '../vocabulary.ts'
import type { DrumForecast } from './forecast.ts'
import { timesOf, type UseRange } from './spread.ts'

/** What to bring for a drum, and by when. */
export interface SupplyPlan {
  content: DrumContent
  /** Litres that fill it up at the next round: least, likely, most. */
  fillL: UseRange
  /** The same in kilograms, for what is loaded by weight; null for what is poured. */
  fillKg: UseRange | null
  /** `sure`: even with its fastest use it lasts to the next round; `unsure`: with its usual use only; `no`: not. */
  lasts: 'sure' | 'unsure' | 'no' | 'unknown'
  /** When it must be there at the latest: a day of its fastest use is left then; null when nothing is used. */
  latestMs: number | null
  /** When it must be ordered at the latest, `leadDays` before that; may have passed. */
  orderMs: number | null
}

/** Left in the drum when the next filling comes. Common practice, no source. */
const RESERVE_DAYS = 1

/**
 * @param nextRoundMs when the next technician comes, ms
 * @param leadDays from the order until the chemical lies on the truck
 */
export function supplyPlan(
  drum: DrumFacts,
  forecast: DrumForecast,
  nowMs: number,
  nextRoundMs: number,
  leadDays = 0,
): SupplyPlan {
  const days = Math.max(0, nextRoundMs - nowMs) / DAY_MS
  const { useLPerDay, daysLeft, levelL } = forecast
  const fill = (lPerDay: number) => Math.max(0, drum.capacityL - Math.max(0, levelL - lPerDay * days))
  const fillL = { low: fill(useLPerDay.low), typical: fill(useLPerDay.typical), high: fill(useLPerDay.high) }
  const kgPerL = loadedKgPerL(drum)
  const latestMs =
    daysLeft.low === null ? null : Math.max(nowMs, Math.round(nowMs + (daysLeft.low - RESERVE_DAYS) * DAY_MS))
  return {
    content: drum.content,
    fillL,
    fillKg: kgPerL === null ? null : timesOf(fillL, kgPerL),
    lasts: lastsTo(daysLeft, days),
    latestMs,
    orderMs: latestMs === null ? null : latestMs - leadDays * DAY_MS,
  }
}

function lastsTo({ low, typical }: DrumForecast['daysLeft'], days: number): SupplyPlan['lasts'] {
  if (typical === null) return 'unknown'
  if ((low ?? 0) >= days) return 'sure'
  return typical >= days ? 'unsure' : 'no'
}

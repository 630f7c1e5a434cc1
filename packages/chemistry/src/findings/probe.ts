import { isPhApart, phApart } from '../redox/phProbe.ts'
import type { Spread } from '../snapshot.ts'
import { DAY_MS, HOUR_MS, MINUTE_MS } from '../time.ts'
import type { Facts } from './facts.ts'

const SAME_TIME_MS = 30 * MINUTE_MS

/** The pH probe against the test kit. */
export interface ProbeGap {
  testedPh: number
  testedAtMs: number
  shownPh: number
  apart: number
}

/** How far the pH probe stood from the last manual test when that was made; null when they agree or cannot be compared. */
export function probeGap(facts: Facts): ProbeGap | null {
  const tested = facts.snapshot.tests.ph
  if (!tested) return null
  const spread = spreadAt(facts, tested.atMs)
  if (!spread) return null
  const { shownPh, apart } = phApart(tested.value, { from: 'samples', value: spread.mean, spread })
  if (!isPhApart(apart)) return null
  return { testedPh: tested.value, testedAtMs: tested.atMs, shownPh, apart }
}

function spreadAt(facts: Facts, atMs: number): Spread | null {
  const { latest, hours, flow } = facts
  const hour = hours.find(({ hourMs }) => atMs >= hourMs && atMs < hourMs + HOUR_MS)
  if (hour) {
    facts.changesAt(hour.hourMs + DAY_MS)
    return (hour.noFlowMin ?? 0) > 0 ? null : hour.ph
  }
  if (!latest || latest.ph === null || flow === 'off' || Math.abs(latest.atMs - atMs) > SAME_TIME_MS) return null
  return { min: latest.ph, mean: latest.ph, max: latest.ph }
}

import type { RedoxJudgement } from '../redox/judgement.types.ts'
import { isPhApart, phApart } from '../redox/phProbe.ts'
import type { NewestPh, PhProbeAgreement } from '../redox/types.ts'
import type { Spread } from '../snapshot.ts'
import { DAY_MS, HOUR_MS, MINUTE_MS } from '../time.ts'
import { type Facts, isRecent } from './facts.ts'

const SAME_TIME_MS = 30 * MINUTE_MS
/** What ORP and pH mean is worked out several times a day; what is older than this says nothing of today. Judgement. */
const REDOX_KEEPS_MS = 3 * DAY_MS

/** What was worked out of the probes, while it tells of today. */
export function redoxOf(facts: Facts): RedoxJudgement | null {
  const { redox } = facts.snapshot
  return redox && isRecent(facts, redox.atMs, REDOX_KEEPS_MS) ? redox : null
}

/** The pH probe against all tests together; null while a newer test than those has come, or none was ever worked out. */
export function phProbeOf(facts: Facts): PhProbeAgreement | null {
  const redox = redoxOf(facts)
  const tested = facts.snapshot.tests.ph
  return redox && tested && tested.atMs <= redox.atMs ? redox.phProbe : null
}

/**
 * By how much the pH probe is known to part from the test kit: by all tests together where they were worked out, else by the
 * newest alone; null when they agree or cannot be compared.
 */
export function probeGap(facts: Facts): NewestPh | null {
  const known = phProbeOf(facts)
  if (!known) return newestGap(facts)
  const { state, newest, offsetPh } = known
  if (!newest || state === 'agrees' || state === 'unknown') return null
  if (isPhApart(newest.apart)) return newest
  if (state === 'retest' || !offsetPh) return null
  const { value } = offsetPh
  return { ...newest, shownPh: newest.testedPh + value, apart: Math.abs(value) }
}

/** Whether what the pH probe shows may be believed beside a test. */
export const isPhTrusted = (facts: Facts): boolean =>
  probeGap(facts) === null && phProbeOf(facts)?.state !== 'slopeGone'

/** How far the pH probe stood from the last manual test when that was made. */
function newestGap(facts: Facts): NewestPh | null {
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

import { saturationNow } from './findings/balance.ts'
import { factsOf } from './findings/facts.ts'
import { combinedNow } from './findings/sanitizer.ts'
import type { CodeProfile, LimitedThing } from './profile.ts'
import type { Measured, Snapshot } from './snapshot.ts'

/**
 * What follows from the tests and has limits of its own, by the same rules as the findings: combined chlorine (mg/L, from
 * one vial) and the saturation index. What cannot be told is left out.
 * @param nowMs ms since 1970 UTC
 */
export function derivedValues(
  snapshot: Snapshot,
  profile: CodeProfile,
  nowMs: number,
): ({ thing: LimitedThing } & Measured)[] {
  const facts = factsOf(snapshot, profile, nowMs)
  const combined = combinedNow(facts)?.value
  const index = saturationNow(facts)?.value
  return [
    ...(combined ? [{ thing: 'combinedChlorineMgL' as const, value: combined.value, atMs: combined.atMs }] : []),
    ...(index ? [{ thing: 'saturationIndex' as const, value: index.value, atMs: index.atMs }] : []),
  ]
}

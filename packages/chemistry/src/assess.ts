import { assessmentFrom, assessmentOutOfUse, waterFindings } from './assessWater.ts'
import type { Assessment } from './finding.ts'
import { factsOf } from './findings/facts.ts'
import { feedFindings } from './findings/feed.ts'
import { feedingFindings, hazardFindings } from './findings/hazard.ts'
import { orpFindings } from './findings/orp.ts'
import { phProbeFindings } from './findings/phProbe.ts'
import { supplyFindings } from './findings/supply.ts'
import { outOfUseNow } from './outOfUse.ts'
import type { CodeProfile } from './profile.ts'
import type { Snapshot } from './snapshot.ts'

/**
 * What is wrong with a body, judged by a code profile at a time: findings worst first, standing, and when time alone can
 * change that. Pure: the same call runs on a server, in a browser without signal and in a test. It never throws for a
 * snapshot with finite numbers: what lies outside an equation's range is left out of that equation only.
 * @param snapshot all that is known of the body; times in ms since 1970 UTC
 * @param nowMs the time to judge at, ms since 1970 UTC
 */
export function assess(snapshot: Snapshot, profile: CodeProfile, nowMs: number): Assessment {
  const facts = factsOf(snapshot, profile, nowMs)
  if (outOfUseNow(snapshot, nowMs, facts.changesAt)) return assessmentOutOfUse(facts, feedingFindings(facts))
  const others = [
    ...hazardFindings(facts),
    ...feedFindings(facts),
    ...phProbeFindings(facts),
    ...supplyFindings(facts),
    ...waterFindings(facts),
  ]
  return assessmentFrom(facts, [...others, ...orpFindings(facts, others)])
}

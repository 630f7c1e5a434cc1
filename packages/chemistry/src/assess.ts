import type { Assessment, Standing } from './finding.ts'
import { balanceFindings } from './findings/balance.ts'
import { evidenceFindings } from './findings/evidence.ts'
import { type Facts, factsOf } from './findings/facts.ts'
import { feedFindings } from './findings/feed.ts'
import { feedingFindings, hazardFindings } from './findings/hazard.ts'
import { incidentFindings, raisedOnPurpose } from './findings/incident.ts'
import { sanitizerFindings } from './findings/sanitizer.ts'
import { supplyFindings } from './findings/supply.ts'
import { outOfUseNow } from './outOfUse.ts'
import type { CodeProfile } from './profile.ts'
import { standingOf } from './scoring.ts'
import { compareFindings } from './severity.ts'
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
  if (outOfUseNow(snapshot, nowMs, facts.changesAt)) return outOfUse(facts)
  const onPurpose = raisedOnPurpose(facts)
  const findings = [
    ...incidentFindings(facts),
    ...hazardFindings(facts),
    ...sanitizerFindings(facts),
    ...balanceFindings(facts),
    ...feedFindings(facts),
    ...supplyFindings(facts),
    ...evidenceFindings(facts),
  ]
    .filter((found) => !onPurpose(found))
    .sort(compareFindings)
  return { findings, standing: standingOf(findings), dueAtMs: facts.dueAtMs }
}

/** Water that nobody treats is not judged; what is fed into it all the same can hurt whoever works there. */
function outOfUse(facts: Facts): Assessment {
  const findings = feedingFindings(facts).sort(compareFindings)
  const standing: Standing =
    findings.length > 0 ? standingOf(findings) : { severity: 'outOfUse', score: null, parts: [] }
  return { findings, standing, dueAtMs: facts.dueAtMs }
}

import type { Assessment, Finding } from './finding.ts'
import { balanceFindings } from './findings/balance.ts'
import { evidenceFindings } from './findings/evidence.ts'
import { type Facts, factsOf } from './findings/facts.ts'
import { incidentFindings, raisedOnPurpose } from './findings/incident.ts'
import { sanitizerFindings } from './findings/sanitizer.ts'
import { outOfUseNow } from './outOfUse.ts'
import type { CodeProfile } from './profile.ts'
import { standingOf } from './scoring.ts'
import { compareFindings } from './severity.ts'
import type { Snapshot } from './snapshot.ts'
import { FINDING_KINDS, type FindingFamily, type FindingKind } from './vocabulary.ts'

const OF_WATER: readonly FindingFamily[] = ['sanitizer', 'balance', 'evidence']

/** Whether a finding rests on what equipment did over days, which one more test of the water does not change at once. */
export const isOfEquipment = (kind: FindingKind): boolean =>
  kind !== 'incidentOpen' && !OF_WATER.includes(FINDING_KINDS[kind])

/**
 * As `assess`, with the equipment's findings taken as they are: what a browser reckons while a test is being typed.
 * @param equipment what was found of feeders, flow, drums and probes before
 */
export function assessWater(
  snapshot: Snapshot,
  profile: CodeProfile,
  nowMs: number,
  equipment: readonly Finding[],
): Assessment {
  const facts = factsOf(snapshot, profile, nowMs)
  return outOfUseNow(snapshot, nowMs, facts.changesAt)
    ? assessmentOutOfUse(facts, equipment)
    : assessmentFrom(facts, [...equipment, ...waterFindings(facts)])
}

/** What all tests say of the pH probe says more than the newest alone. */
const isOfPhProbe = ({ kind }: Finding) => kind === 'phProbeDrifted' || kind === 'phProbeFaulty'

/** What is found of the water and of what is known of it. */
export const waterFindings = (facts: Facts): Finding[] => [
  ...incidentFindings(facts),
  ...sanitizerFindings(facts),
  ...balanceFindings(facts),
  ...evidenceFindings(facts),
]

/** All that was found, worst first, and the standing that follows. */
export function assessmentFrom(facts: Facts, found: readonly Finding[]): Assessment {
  const onPurpose = raisedOnPurpose(facts)
  const ofPhProbe = found.some(isOfPhProbe)
  const findings = found
    .filter((one) => !onPurpose(one) && !(ofPhProbe && one.kind === 'phProbeDisagrees'))
    .sort(compareFindings)
  return { findings, standing: standingOf(findings), dueAtMs: facts.dueAtMs }
}

/** Water that nobody treats is not judged; what is fed into it all the same can hurt whoever works there. */
export function assessmentOutOfUse(facts: Facts, fed: readonly Finding[]): Assessment {
  const findings = [...fed].sort(compareFindings)
  return {
    findings,
    standing: findings.length > 0 ? standingOf(findings) : { severity: 'outOfUse', score: null, parts: [] },
    dueAtMs: facts.dueAtMs,
  }
}

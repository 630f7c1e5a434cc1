import { redoxDrift } from './drift.ts'
import { fitRedox } from './fit.ts'
import type { RedoxJudgement } from './judgement.types.ts'
import { phProbeAgreement } from './phProbe.ts'
import { setPointAdvice } from './setPoint.ts'
import type { RedoxAssessment, RedoxRecord, SetPointAim } from './types.ts'

export { attribute } from './attribution.ts'
export { probeCondition } from './condition.ts'
export { redoxDrift } from './drift.ts'
export { feedEffort } from './effort.ts'
export { expectedOrp, fitRedox } from './fit.ts'
export { heldBack } from './heldBack.ts'
export { chlorineAt } from './inverse.ts'
export { type PhGap, phProbeAgreement } from './phProbe.ts'
export { setPointAdvice } from './setPoint.ts'
export { convertReference, nernstSlopeMv, REFERENCE_ELECTRODES_MV, type ReferenceElectrode } from './theory.ts'
export * from './types.ts'
export * from './view.ts'

/**
 * What one body's probes mean, from plain records: the relation, the set point that would hold the target and how far to move
 * today, drift with what explains it, and the pH probe against the test kit. Pure, about a millisecond for 200 pairs.
 * @param nowMs ms since 1970 UTC; nothing later counts
 */
export function assessRedox(record: RedoxRecord, aim: SetPointAim, nowMs: number): RedoxAssessment {
  const model = fitRedox(record, nowMs)
  const drift = redoxDrift(record, model, nowMs)
  const phProbe = phProbeAgreement(record, nowMs)
  return {
    model,
    drift,
    advice: setPointAdvice(record, model, aim, drift.probe, nowMs, phProbe),
    phProbe,
  }
}

/** What of it is kept beside every judgement. */
export function redoxJudgement({ model, ...rest }: RedoxAssessment): RedoxJudgement {
  const { atMs, correlation, pairsUsed, slopeMv, points } = model
  return { ...rest, atMs, correlation, pairsUsed, pairedAtMs: points.at(-1)?.atMs ?? null, slopeMv }
}

import type { Interval, RedoxAssessment, RedoxModel } from './types.ts'

/** What was worked out of one body's probes, without the relation's points: small enough to keep beside every judgement. */
export interface RedoxJudgement extends Omit<RedoxAssessment, 'model'> {
  /** The time for which it was worked out. */
  atMs: number
  correlation: RedoxModel['correlation']
  pairsUsed: number
  /** The newest test that was made while ORP was shown, of those looked at; null without one. */
  pairedAtMs: number | null
  slopeMv: Interval
}

import type { Interval, RedoxAssessment, RedoxModel } from './types.ts'

/** What was worked out of one body's probes, without the relation's points: small enough to keep beside every judgement. */
export interface RedoxJudgement extends Omit<RedoxAssessment, 'model'> {
  /** The time for which it was worked out. */
  atMs: number
  correlation: RedoxModel['correlation']
  pairsUsed: number
  slopeMv: Interval
}

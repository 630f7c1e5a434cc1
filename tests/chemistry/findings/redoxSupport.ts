import type { Interval, PhProbeAgreement, RedoxDrift, RedoxJudgement, SetPointAdvice } from '@sightglass/chemistry'
import { DAY, HOUR, NOW } from '../support.ts'

export const interval = (value: number, wide = 0): Interval => ({ value, low: value - wide, high: value + wide })
export const say = (text: string) => ({ text, quantities: [] })

/** A body whose ORP and pH mean what they should; parts can be replaced. */
export function redox(
  given: {
    drift?: Partial<RedoxDrift>
    advice?: Partial<SetPointAdvice>
    phProbe?: Partial<PhProbeAgreement>
  } & Partial<Omit<RedoxJudgement, 'drift' | 'advice' | 'phProbe'>> = {},
): RedoxJudgement {
  return {
    atMs: NOW - HOUR,
    correlation: 'usable',
    pairsUsed: 30,
    pairedAtMs: NOW - 2 * HOUR,
    slopeMv: interval(100, 10),
    ...given,
    drift: {
      shape: 'none',
      alarm: false,
      residualMv: interval(1, 5),
      sinceMs: NOW - 35 * DAY,
      trendMvPerWeek: null,
      attribution: null,
      steps: [],
      effort: null,
      probe: { state: 'well', sinceMs: null, reasons: [], evidence: [] },
      reasons: [],
      evidence: [],
      ...given.drift,
    },
    advice: {
      action: 'keep',
      nowMv: 740,
      holdsTargetMv: interval(741, 5),
      todayMv: null,
      nowMeansMgL: interval(2, 0.2),
      changed: null,
      reasons: [say('Leave it.'), say('Never adjust the ORP probe to agree with the test kit: move its set point.')],
      evidence: [],
      ...given.advice,
    },
    phProbe: {
      state: 'agrees',
      slopeSign: null,
      newest: { testedPh: 7.4, testedAtMs: NOW - 2 * HOUR, shownPh: 7.4, apart: 0 },
      offsetPh: interval(0.02, 0.05),
      trendPhPerMonth: null,
      calibrateByMs: null,
      pairsUsed: 12,
      reasons: [say('Display and test kit agree.'), say('Leave the pH set point alone.')],
      evidence: [],
      ...given.phProbe,
    },
  }
}

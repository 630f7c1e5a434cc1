import { flowSwitchStuck, noFlow } from '../feed/flow.ts'
import { acidWithHypochlorite } from '../feed/together.ts'
import { feedWithoutFlow } from '../feed/withoutFlow.ts'
import type { Finding } from '../finding.ts'
import type { Facts } from './facts.ts'

export const hazardFindings = (facts: Facts): Finding[] => [
  ...noFlow(facts),
  ...flowSwitchStuck(facts),
  ...feedingFindings(facts),
]

/** What is fed where or when it must not be, whether anybody bathes or not. */
export const feedingFindings = (facts: Facts): Finding[] => [...feedWithoutFlow(facts), ...acidWithHypochlorite(facts)]

import { backupCarries } from '../feed/backup.ts'
import { flowFalling } from '../feed/falling.ts'
import { orpNotHeld, phNotHeld } from '../feed/held.ts'
import { feedHunting } from '../feed/hunting.ts'
import { feederAtLimit } from '../feed/limit.ts'
import { overfeed } from '../feed/overfeed.ts'
import { feederOf } from '../feed/record.ts'
import { weakFeeders, weakFinding } from '../feed/weak.ts'
import type { Finding } from '../finding.ts'
import type { Facts } from './facts.ts'

/**
 * What the feeders do against what they should. One trouble is told once, by the rule that knows most of it: a feeder
 * known to deliver less explains a set point that is not held, a backup that carries explains its primary.
 */
export function feedFindings(facts: Facts): Finding[] {
  const overfed = overfeed(facts)
  const hunting = feedHunting(facts)
  const runsOver = (role: 'primary' | 'ph') =>
    [...overfed, ...hunting].some(({ subject }) => subject === (feederOf(facts, role)?.id ?? role))
  const weak = weakFeeders(facts).filter(({ role }) => role === 'backup' || !runsOver(role))
  const backup = backupCarries(facts)
  const limit = feederAtLimit(facts)
  const explained = (role: 'primary' | 'ph') =>
    weak.some((one) => one.role === role) || (role === 'primary' && backup.length > 0)
  const atLimit = (role: 'primary' | 'ph') =>
    limit.some(({ subject }) => subject === (feederOf(facts, role)?.id ?? role))
  return [
    ...weak.filter(({ role }) => role !== 'primary' || backup.length === 0).map((one) => weakFinding(facts, one)),
    ...backup,
    ...limit.filter(() => weak.length === 0),
    ...(explained('ph') || atLimit('ph') ? [] : phNotHeld(facts)),
    ...(explained('primary') || atLimit('primary') ? [] : orpNotHeld(facts)),
    ...overfed,
    ...hunting,
    ...flowFalling(facts),
  ]
}

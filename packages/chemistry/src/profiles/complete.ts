import type { LimitRule } from '../profile.ts'
import type { BodyFacts } from '../snapshot.ts'
import { SANITIZER_SYSTEMS, SETTINGS, USE_CLASSES } from '../vocabulary.ts'
import { limitRulesFor } from './lookup.ts'

/**
 * A code's own limits, and behind them what others say where it says nothing: rules that would count for no body at all
 * are left out, so that a profile shows what it judges by and nothing else.
 */
export function complete(own: readonly LimitRule[], ...others: readonly (readonly LimitRule[])[]): LimitRule[] {
  const limits = [...own, ...others.flat()]
  const counting = new Set(KINDS.flatMap((body) => limitRulesFor({ limits }, body).map(({ key }) => key)))
  // what depends on the water itself never stands in the way of what does not
  return limits.filter(({ key, when }) => when.over !== undefined || counting.has(key))
}

/** One body of every kind that a condition can tell apart. */
const KINDS: readonly BodyFacts[] = USE_CLASSES.flatMap((useClass) =>
  SETTINGS.flatMap((setting) =>
    SANITIZER_SYSTEMS.flatMap((sanitizerSystem) =>
      [true, false].map((cyanuricAcidUsed) => ({
        useClass,
        setting,
        sanitizerSystem,
        cyanuricAcidUsed,
        volumeL: null,
        flowLMin: null,
      })),
    ),
  ),
)

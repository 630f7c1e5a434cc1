import type { CodeProfile, Condition, LimitedThing, LimitRule, TestRule } from '../profile.ts'
import type { BodyFacts } from '../snapshot.ts'

export function conditionFits(when: Condition, body: BodyFacts): boolean {
  return (
    (when.useClass === undefined || when.useClass.includes(body.useClass)) &&
    (when.setting === undefined || when.setting === body.setting) &&
    (when.cyanuricAcidUsed === undefined || when.cyanuricAcidUsed === body.cyanuricAcidUsed) &&
    (when.sanitizerSystem === undefined || when.sanitizerSystem.includes(body.sanitizerSystem))
  )
}

/** The rules that count for a body: the first that fits, per thing, side and effect. In the profile's order. */
export function limitRulesFor(profile: CodeProfile, body: BodyFacts): readonly LimitRule[] {
  const taken = new Set<string>()
  return profile.limits.filter((rule) => {
    const place = `${rule.thing} ${rule.side} ${rule.effect}`
    if (taken.has(place) || !conditionFits(rule.when, body)) return false
    taken.add(place)
    return true
  })
}

/** The tightest limits of any effect: what a screen shows beside a value, so that what stands outside it has a finding. */
export function limitRangeFor(
  profile: CodeProfile,
  body: BodyFacts,
  thing: LimitedThing,
): { min: LimitRule | null; max: LimitRule | null } {
  let min: LimitRule | null = null
  let max: LimitRule | null = null
  for (const rule of limitRulesFor(profile, body)) {
    if (rule.thing !== thing) continue
    if (rule.side === 'min' && (!min || rule.value > min.value)) min = rule
    if (rule.side === 'max' && (!max || rule.value < max.value)) max = rule
  }
  return { min, max }
}

/** How often this body must be tested by hand: of the rules for the same parameters, the first that fits counts. */
export function testRulesFor(profile: CodeProfile, body: BodyFacts, automated: boolean): readonly TestRule[] {
  const taken = new Set<string>()
  return profile.tests.filter((rule) => {
    const parameters = rule.parameters.join(' ')
    const fits = rule.when.automated === undefined || rule.when.automated === automated
    if (taken.has(parameters) || !fits || !conditionFits(rule.when, body)) return false
    taken.add(parameters)
    return true
  })
}

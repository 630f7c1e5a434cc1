import type { CodeProfile, Condition, LimitedThing, LimitRule, TestRule, WaterNow, WaterOver } from '../profile.ts'
import type { BodyFacts } from '../snapshot.ts'

const UNKNOWN: WaterNow = { ph: null, tempC: null }

export function conditionFits(when: Condition, body: BodyFacts, water: WaterNow = UNKNOWN): boolean {
  return (
    (when.useClass === undefined || when.useClass.includes(body.useClass)) &&
    (when.setting === undefined || when.setting === body.setting) &&
    (when.cyanuricAcidUsed === undefined || when.cyanuricAcidUsed === body.cyanuricAcidUsed) &&
    (when.sanitizerSystem === undefined || when.sanitizerSystem.includes(body.sanitizerSystem)) &&
    (when.over === undefined || isOver(when.over, water))
  )
}

export function isOver({ thing, value }: WaterOver, water: WaterNow): boolean {
  const known = water[thing]
  return known !== null && known > value
}

/** The rules that count for a body: the first that fits, per thing, side and effect. In the profile's order. */
export function limitRulesFor(
  profile: Pick<CodeProfile, 'limits'>,
  body: BodyFacts,
  water?: WaterNow,
): readonly LimitRule[] {
  const taken = new Set<string>()
  return profile.limits.filter((rule) => {
    const place = placeOf(rule)
    if (taken.has(place) || !conditionFits(rule.when, body, water)) return false
    taken.add(place)
    return true
  })
}

/** Of the rules of one place one counts: a limit on one side of a thing that means one of the three effects. */
export const placeOf = ({ thing, side, effect }: Pick<LimitRule, 'thing' | 'side' | 'effect'>) =>
  `${thing} ${side} ${effect}`

/**
 * The tightest limits of any effect: what a screen shows beside a value, so that what stands outside it has a finding.
 * @param water where it is known; without it the limits that depend on pH or temperature are left out
 */
export function limitRangeFor(
  profile: CodeProfile,
  body: BodyFacts,
  thing: LimitedThing,
  water?: WaterNow,
): { min: LimitRule | null; max: LimitRule | null } {
  let min: LimitRule | null = null
  let max: LimitRule | null = null
  for (const rule of limitRulesFor(profile, body, water)) {
    // what counts only after hours is no bound of a single value
    if (rule.thing !== thing || rule.lastingHours !== undefined) continue
    if (rule.side === 'min' && (!min || rule.value > min.value)) min = rule
    if (rule.side === 'max' && (!max || rule.value < max.value)) max = rule
  }
  return { min, max }
}

/** The values of the tightest limits; null where there is none. */
export function limitValuesFor(...of: Parameters<typeof limitRangeFor>): { min: number | null; max: number | null } {
  const { min, max } = limitRangeFor(...of)
  return { min: min?.value ?? null, max: max?.value ?? null }
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

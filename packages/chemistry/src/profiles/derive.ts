import { BadRuleValue, RuleThere, UnknownRule } from '../errors.ts'
import type { Citation, Unit } from '../finding.ts'
import type { CodeProfile, Condition, LimitRule, ProfileAddition, ProfileOverride, TestRule } from '../profile.ts'
import { UNIT_OF } from './limits.ts'
import { placeOf } from './lookup.ts'

/**
 * A company's own profile: its parent with some values replaced, rules taken away (`value: null`), and limits added where
 * the parent has none.
 * @param overrides at most one for each rule key of limits (in the rule's unit), tests (hours) or `cyanuricAcidForbidden`
 * (null only). A later one for the same rule wins. What closes without a number cannot be taken away.
 * @param additions each in the thing's stored unit
 * @throws UnknownRule when the parent has no such rule; BadRuleValue when the value cannot be one of it; RuleThere when an
 * addition would stand where the parent has a limit already
 */
export function deriveProfile(
  parent: CodeProfile,
  { key, name }: { key: string; name: string },
  overrides: readonly ProfileOverride[],
  additions: readonly ProfileAddition[] = [],
): CodeProfile {
  const known = ruleKeysOf(parent)
  const own = new Map(overrides.map((override) => [override.ruleKey, override]))
  for (const ruleKey of own.keys()) if (!known.includes(ruleKey)) throw new UnknownRule(ruleKey, parent.key, known)

  const replaced = <Rule extends { key: string }>(
    rules: readonly Rule[],
    withValue: (rule: Rule, value: number) => Rule,
  ) =>
    rules.flatMap((rule) => {
      const override = own.get(rule.key)
      if (!override) return [rule]
      if (override.value === null) return []
      return [{ ...withValue(rule, override.value), citation: companyCitation(override) }]
    })

  return {
    key,
    name,
    edition: '',
    parentKey: parent.key,
    notRead: parent.notRead,
    limits: [
      ...addedLimits(parent, additions),
      ...replaced(parent.limits, (rule, value) => ({ ...rule, value: possibleLimit(rule.key, rule.unit, value) })),
    ],
    tests: replaced(parent.tests, testEvery),
    cyanuricAcidForbidden: replaced(parent.cyanuricAcidForbidden, (rule, value) => {
      throw new BadRuleValue(rule.key, value, 'it has no value, it can only be taken away')
    }),
    closures: parent.closures,
  }
}

/** The keys that an override can name. */
export const ruleKeysOf = ({ limits, tests, cyanuricAcidForbidden }: CodeProfile): string[] =>
  [...limits, ...tests, ...cyanuricAcidForbidden].map(({ key }) => key)

const companyCitation = ({ citation }: { citation: string }): Citation => ({
  authority: 'company',
  document: citation,
  edition: '',
  section: '',
})

function testEvery({ perDay, times, ...rule }: TestRule, hours: number): TestRule {
  if (!Number.isFinite(hours) || hours <= 0) throw new BadRuleValue(rule.key, hours, 'an interval is more than 0 hours')
  const everyHours = hours
  // what the text asks for in the day still holds where more is asked for, and no longer where less is
  if (hours > rule.everyHours) return { ...rule, everyHours }
  return { ...rule, everyHours, ...(perDay !== undefined && { perDay }), ...(times !== undefined && { times }) }
}

function possibleLimit(ruleKey: string, unit: Unit, value: number): number {
  if (!Number.isFinite(value)) throw new BadRuleValue(ruleKey, value, 'it must be a number')
  if (value < 0 && unit !== 'SI' && unit !== '°C' && unit !== 'mV') {
    throw new BadRuleValue(ruleKey, value, 'it cannot be negative')
  }
  if (unit === 'pH' && value > 14) throw new BadRuleValue(ruleKey, value, 'a pH is from 0 to 14')
  return value
}

/** Limits of the company's own, each with a key that says what it is. */
function addedLimits(parent: CodeProfile, additions: readonly ProfileAddition[]): LimitRule[] {
  const limits: LimitRule[] = []
  for (const { thing, side, effect, value, when, citation } of additions) {
    const there = [...parent.limits, ...limits].find(
      (rule) => placeOf(rule) === placeOf({ thing, side, effect }) && canMeet(rule.when, when),
    )
    if (there) throw new RuleThere(limits.length, there.key)
    const key = ['own', thing, side, effect, ...conditionKey(when)].join('.')
    const unit = UNIT_OF[thing]
    limits.push({
      key,
      thing,
      side,
      effect,
      value: possibleLimit(key, unit, value),
      unit,
      when,
      citation: companyCitation({ citation }),
    })
  }
  return limits
}

/** Conditions at one place never overlap, so that their words tell the rules of it apart, whatever comes and goes beside them. */
const conditionKey = ({ useClass = [], setting, cyanuricAcidUsed, sanitizerSystem = [] }: Condition): string[] => [
  ...useClass,
  ...(setting ? [setting] : []),
  ...(cyanuricAcidUsed === undefined ? [] : [cyanuricAcidUsed ? 'stabilized' : 'unstabilized']),
  ...sanitizerSystem,
]

/** Whether there can be a body that both conditions fit. */
function canMeet(one: Condition, other: Condition): boolean {
  const share = <Word>(a: readonly Word[] | undefined, b: readonly Word[] | undefined) =>
    a === undefined || b === undefined || a.some((word) => b.includes(word))
  const agree = <Word>(a: Word | undefined, b: Word | undefined) => a === undefined || b === undefined || a === b
  return (
    share(one.useClass, other.useClass) &&
    share(one.sanitizerSystem, other.sanitizerSystem) &&
    agree(one.setting, other.setting) &&
    agree(one.cyanuricAcidUsed, other.cyanuricAcidUsed)
  )
}

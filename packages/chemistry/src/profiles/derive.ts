import { BadRuleValue, UnknownRule } from '../errors.ts'
import type { Citation, Unit } from '../finding.ts'
import type { CodeProfile, ProfileOverride } from '../profile.ts'

/**
 * A company's own profile: its parent with some values replaced, or rules taken away (`value: null`).
 * @param overrides at most one for each rule key of limits (in the rule's unit), tests (hours) or `cyanuricAcidForbidden`
 * (null only). A later one for the same rule wins.
 * @throws UnknownRule when the parent has no such rule; BadRuleValue when the value cannot be one of it
 */
export function deriveProfile(
  parent: CodeProfile,
  { key, name }: { key: string; name: string },
  overrides: readonly ProfileOverride[],
): CodeProfile {
  const known = [...parent.limits, ...parent.tests, ...parent.cyanuricAcidForbidden].map((rule) => rule.key)
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
    limits: replaced(parent.limits, (rule, value) => ({ ...rule, value: possibleLimit(rule.key, rule.unit, value) })),
    tests: replaced(parent.tests, (rule, value) => ({ ...rule, everyHours: possibleHours(rule.key, value) })),
    cyanuricAcidForbidden: replaced(parent.cyanuricAcidForbidden, (rule, value) => {
      throw new BadRuleValue(rule.key, value, 'it has no value, it can only be taken away')
    }),
  }
}

const companyCitation = ({ citation }: ProfileOverride): Citation => ({
  authority: 'company',
  document: citation,
  edition: '',
  section: '',
})

function possibleLimit(ruleKey: string, unit: Unit, value: number): number {
  if (!Number.isFinite(value)) throw new BadRuleValue(ruleKey, value, 'it must be a number')
  if (value < 0 && unit !== 'SI' && unit !== '°C' && unit !== 'mV') {
    throw new BadRuleValue(ruleKey, value, 'it cannot be negative')
  }
  if (unit === 'pH' && value > 14) throw new BadRuleValue(ruleKey, value, 'a pH is from 0 to 14')
  return value
}

function possibleHours(ruleKey: string, value: number): number {
  if (!Number.isFinite(value) || value <= 0) throw new BadRuleValue(ruleKey, value, 'an interval is more than 0 hours')
  return value
}

/** One rule in which a profile differs from its parent; `value: null` when it was taken away. */
export interface RuleDifference {
  ruleKey: string
  unit: Unit | null
  parentValue: number | null
  value: number | null
  parentCitation: Citation
  citation: Citation | null
}

/** Where a profile differs from its parent, in the parent's order. */
export function profileDifference(profile: CodeProfile, parent: CodeProfile): RuleDifference[] {
  const before = allRules(parent)
  const after = new Map(allRules(profile).map((rule) => [rule.ruleKey, rule]))
  return before.flatMap(({ ruleKey, unit, value, citation }) => {
    const now = after.get(ruleKey)
    if (now && now.value === value) return []
    const own = { value: now?.value ?? null, citation: now?.citation ?? null }
    return [{ ruleKey, unit, parentValue: value, parentCitation: citation, ...own }]
  })
}

const allRules = (profile: CodeProfile) => [
  ...profile.limits.map(({ key, unit, value, citation }) => ({ ruleKey: key, unit, value, citation })),
  ...profile.tests.map(({ key, everyHours, citation }) => ({
    ruleKey: key,
    unit: 'h' as const,
    value: everyHours,
    citation,
  })),
  ...profile.cyanuricAcidForbidden.map(({ key, citation }) => ({ ruleKey: key, unit: null, value: null, citation })),
]

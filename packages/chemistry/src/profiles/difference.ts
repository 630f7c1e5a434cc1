import type { CodeProfile, ForbiddenRule, LimitRule, TestRule } from '../profile.ts'

/** Any rule that a company can set for itself. */
export type AnyRule =
  | { sort: 'limit'; rule: LimitRule }
  | { sort: 'test'; rule: TestRule }
  | { sort: 'forbidden'; rule: ForbiddenRule }

/** One rule in which two profiles differ: `after` is null when it was taken away, `before` when it was added. */
export interface RuleDifference {
  ruleKey: string
  /** The rule to name it by: as it is now, or as it was. */
  any: AnyRule
  before: AnyRule | null
  after: AnyRule | null
}

export const allRules = ({ limits, tests, cyanuricAcidForbidden }: CodeProfile): AnyRule[] => [
  ...limits.map((rule) => ({ sort: 'limit' as const, rule })),
  ...tests.map((rule) => ({ sort: 'test' as const, rule })),
  ...cyanuricAcidForbidden.map((rule) => ({ sort: 'forbidden' as const, rule })),
]

/** Its number, in the rule's unit or in hours; null where a rule has none. */
export const ruleValue = (any: AnyRule): number | null =>
  any.sort === 'limit' ? any.rule.value : any.sort === 'test' ? any.rule.everyHours : null

/** Where a profile differs from its parent: what was changed or taken away in the parent's order, then what was added. */
export function profileDifference(profile: CodeProfile, parent: CodeProfile): RuleDifference[] {
  const before = new Map(allRules(parent).map((any) => [any.rule.key, any]))
  const after = new Map(allRules(profile).map((any) => [any.rule.key, any]))
  const changed = [...before].flatMap(([ruleKey, any]): RuleDifference[] => {
    const now = after.get(ruleKey) ?? null
    if (now && ruleValue(now) === ruleValue(any)) return []
    return [{ ruleKey, any: now ?? any, before: any, after: now }]
  })
  const added = [...after].flatMap(([ruleKey, any]): RuleDifference[] =>
    before.has(ruleKey) ? [] : [{ ruleKey, any, before: null, after: any }],
  )
  return [...changed, ...added]
}

/**
 * Where a profile asks for less than the law that it takes the place of: a higher maximum, a lower minimum, rarer tests,
 * or a rule of law taken away.
 * @param root the published profile that it was derived from in the end
 */
export function laxerThanLaw(profile: CodeProfile, root: CodeProfile): { ruleKey: string; law: AnyRule }[] {
  const now = new Map(allRules(profile).map((any) => [any.rule.key, any]))
  return allRules(root).flatMap((law) => {
    if (law.rule.citation.authority !== 'law') return []
    const any = now.get(law.rule.key)
    return any && !isLaxer(any, law) ? [] : [{ ruleKey: law.rule.key, law }]
  })
}

function isLaxer(any: AnyRule, law: AnyRule): boolean {
  const value = ruleValue(any)
  const allowed = ruleValue(law)
  if (value === null || allowed === null) return false
  return law.sort === 'limit' && law.rule.side === 'min' ? value < allowed : value > allowed
}

import {
  type AnyRule,
  askedPhrase,
  BadRuleValue,
  type CodeProfile,
  deriveProfile,
  laxerThanLaw,
  type ProfileAddition,
  type ProfileOverride,
  RuleThere,
  renderPhrase,
  ruleName,
  UnknownRule,
} from '@sightglass/chemistry'
import { conflict, invalidAt, ProblemError } from '../../platform/problems.ts'
import { inUse, type KnownProfile } from '../profiles/index.ts'

export interface OwnRules {
  overrides: ProfileOverride[]
  additions: ProfileAddition[]
}

/** The profile that these rules make of their parent. @throws ProblemError `invalid` at the rule that cannot be */
export function derived(parent: CodeProfile, own: { key: string; name: string }, rules: OwnRules): CodeProfile {
  const { overrides, additions } = rules
  refuseTwice(overrides)
  try {
    return deriveProfile(parent, own, overrides, additions)
  } catch (error) {
    const path = pathOf(error, rules)
    if (!path) throw error
    throw invalidAt(path, (error as Error).message)
  }
}

/** Where in the request the rule stands that could not be; null for an error of another kind. */
function pathOf(error: unknown, { overrides, additions }: OwnRules): string | null {
  if (error instanceof RuleThere) return `body.additions.${error.index}.thing`
  if (error instanceof UnknownRule) return overridePath(overrides, error.ruleKey, 'ruleKey')
  if (!(error instanceof BadRuleValue)) return null
  if (overrides.some(({ ruleKey }) => ruleKey === error.ruleKey)) return overridePath(overrides, error.ruleKey, 'value')
  const index = additions.findIndex(({ thing, side, effect }) =>
    error.ruleKey.startsWith(`own.${thing}.${side}.${effect}`),
  )
  return `body.additions.${index}.value`
}

const overridePath = (overrides: readonly ProfileOverride[], ruleKey: string, field: string) =>
  `body.overrides.${overrides.findIndex((override) => override.ruleKey === ruleKey)}.${field}`

function refuseTwice(overrides: readonly ProfileOverride[]) {
  const index = overrides.findIndex(({ ruleKey }, i) => overrides.findIndex((other) => other.ruleKey === ruleKey) < i)
  const twice = overrides[index]
  if (twice) throw invalidAt(`body.overrides.${index}.ruleKey`, `The rule ${twice.ruleKey} is given twice.`)
}

/** Less than the law asks for is stored only when somebody said that it is meant: it can hurt people. */
export function refuseUnconfirmed(profile: CodeProfile, root: CodeProfile, overrides: readonly ProfileOverride[]) {
  const laws = new Map(laxerThanLaw(profile, root).map(({ ruleKey, law }) => [ruleKey, law]))
  const fields = overrides.flatMap(({ ruleKey, laxerConfirmed }, index) => {
    const law = laws.get(ruleKey)
    return law && !laxerConfirmed ? [{ path: `body.overrides.${index}.laxerConfirmed`, message: laxerWords(law) }] : []
  })
  if (fields.length === 0) return
  throw new ProblemError('unusual', fields.map(({ path, message }) => `${path}: ${message}`).join('; '), fields)
}

function laxerWords(law: AnyRule): string {
  const { document, section } = law.rule.citation
  const words = `${renderPhrase(ruleName(law), 'metric')}, ${renderPhrase(askedPhrase(law), 'metric')}`
  return `This is laxer than the law: “${words}” (${document}, ${section}). Local law prevails. Confirm it only if you may do so.`
}

/** A name is taken whatever its case, by a published profile too. */
export function refuseTaken(known: ReadonlyMap<string, KnownProfile>, name: string, ownKey?: string) {
  const taken = inUse(known).some(
    ({ profile }) => profile.key !== ownKey && profile.name.toLowerCase() === name.toLowerCase(),
  )
  if (taken) throw nameTaken(name)
}

export const nameTaken = (name: string) =>
  conflict(`Another code profile has the name '${name}' or one like it already.`, [
    { path: 'body.name', message: 'is taken' },
  ])

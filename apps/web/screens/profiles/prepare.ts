import {
  type AnyRule,
  allRules,
  askedPhrase,
  CLOSURE_WORDS,
  conditionPhrase,
  deriveProfile,
  EFFECT_WORDS,
  formatQuantity,
  LIMITED_THING_WORDS,
  laxerThanLaw,
  type Phrase,
  profileDifference,
  type Quantified,
  ruleName,
  type Unit,
} from '@sightglass/chemistry'
import type { Profile, ProfileDetail, ProfileVersion } from '@sightglass/contract'
import { type System, unitOf } from '../../shared/measure.ts'
import { counted } from '../../shared/numbers.ts'
import { citationWords } from '../../shared/phrase.ts'

// a limit is a number that somebody wrote: 7.75 does not read 7.8, nor 100.4 °F 100 °F
const DECIMALS: Partial<Record<Unit, number>> = { pH: 2, 'mg/L': 2, SI: 2, '°C': 1, h: 1, d: 1, ratio: 1 }

function asWritten(quantity: Quantified, system: System): string {
  const value = unitOf(quantity.unit, system).toReader(quantity.value)
  const least = String(Number(value.toFixed(DECIMALS[quantity.unit] ?? 0))).split('.')[1]?.length ?? 0
  return formatQuantity(quantity, system, { least })
}

/** A phrase of a rule in the reader's units, each number as finely as it was written. */
export const ruleText = ({ text, quantities }: Phrase, system: System): string =>
  text.replace(/\{(\d+)\}/g, (place, index) => {
    const quantity = quantities[Number(index)]
    return quantity ? asWritten(quantity, system) : place
  })

const capital = (words: string) => words.charAt(0).toUpperCase() + words.slice(1)

export interface RuleModel {
  key: string
  what: string
  asked: string
  effect: string
  when: string
  citation: string
  /** Set by the company itself. */
  own: boolean
}

/** Every rule of a profile in words: limits, tests, where cyanuric acid may not be used, and what closes without a number. */
export function prepareProfile(profile: Profile, system: System) {
  const rules = allRules(profile).map((any) => ({ sort: any.sort, ...ruleModel(any, system) }))
  return {
    limits: rules.filter(({ sort }) => sort === 'limit'),
    tests: rules.filter(({ sort }) => sort === 'test'),
    forbidden: rules.filter(({ sort }) => sort === 'forbidden'),
    closures: profile.closures.map(({ key, trigger, when, citation }) => ({
      key,
      what: CLOSURE_WORDS[trigger],
      when: whenText(when, system),
      citation: citationWords(citation),
    })),
  }
}

function ruleModel(any: AnyRule, system: System): RuleModel {
  const { key, when, citation } = any.rule
  return {
    key,
    what: whatWords(any),
    asked: ruleText(askedPhrase(any), system),
    effect: any.sort === 'limit' ? EFFECT_WORDS[any.rule.effect] : '',
    when: whenText(when, system),
    citation: citationWords(citation),
    own: citation.authority === 'company',
  }
}

function whatWords(any: AnyRule): string {
  if (any.sort === 'limit') return LIMITED_THING_WORDS[any.rule.thing]
  if (any.sort === 'test') return any.rule.parameters.map((parameter) => LIMITED_THING_WORDS[parameter]).join(', ')
  return LIMITED_THING_WORDS.cyanuricAcidMgL
}

const whenText = (when: AnyRule['rule']['when'], system: System) =>
  ruleText(conditionPhrase(when), system) || 'all water'

export interface DifferenceModel {
  key: string
  name: string
  /** What the parent asks; '' where it asks nothing. */
  before: string
  after: string
  why: string
  whose: string
  /** Less than the law asks for: which law, and who confirmed it; null where it is not. */
  laxer: string | null
}

/** Where a company's own profile differs from its parent, in the reader's words and units. */
export function prepareDifference(detail: ProfileDetail, system: System): DifferenceModel[] {
  const { profile, parent, versions } = detail
  const [newest] = versions
  if (!parent || !newest) return []
  const lax = laxWords(detail, system)
  return profileDifference(profile, parent).map(({ ruleKey, before, after, any }) => {
    const given = givenFor(newest, ruleKey, before === null ? after : null)
    return {
      key: ruleKey,
      name: ruleText(ruleName(any), system),
      before: before ? ruleText(askedPhrase(before), system) : '',
      after: after ? ruleText(askedPhrase(after), system) : 'taken away',
      why: given?.reason ?? '',
      whose: given?.citation ?? '',
      laxer: lax.get(ruleKey) ?? null,
    }
  })
}

function givenFor({ overrides, additions }: ProfileVersion, ruleKey: string, added: AnyRule | null) {
  if (added?.sort !== 'limit') return overrides.find((override) => override.ruleKey === ruleKey)
  const { thing, side, effect, value } = added.rule
  return additions.find(
    (one) => one.thing === thing && one.side === side && one.effect === effect && one.value === value,
  )
}

/** Every rule that asks for less than the law, with the law and who confirmed it. */
function laxWords({ profile, root, versions }: ProfileDetail, system: System): Map<string, string> {
  if (!root) return new Map()
  return new Map(
    laxerThanLaw(profile, root).map(({ ruleKey, law }) => {
      const by = confirmedBy(versions, ruleKey)
      return [ruleKey, `${lawWords(law, system)}${by ? ` Confirmed by ${by.person} in version ${by.version}.` : ''}`]
    }),
  )
}

/** Which law a laxer rule would take the place of. */
export function lawWords(law: AnyRule, system: System): string {
  const { document, section } = law.rule.citation
  return `Laxer than the law, which asks for: ${ruleText(askedPhrase(law), system)} (${document}, ${section}).`
}

/** The oldest version since which the rule stands confirmed as it is now. */
function confirmedBy(versions: readonly ProfileVersion[], ruleKey: string): ProfileVersion | undefined {
  const ruleOf = ({ overrides }: ProfileVersion) => overrides.find((override) => override.ruleKey === ruleKey)
  const now = versions[0] && ruleOf(versions[0])
  if (!now?.laxerConfirmed) return undefined
  const changed = versions.findIndex((version) => {
    const then = ruleOf(version)
    return !then?.laxerConfirmed || then.value !== now.value
  })
  return versions[(changed === -1 ? versions.length : changed) - 1]
}

/** What is laxer than the law through a profile in between, which this one takes over without a word. */
export function inheritedLaxer(detail: ProfileDetail, system: System): string[] {
  const { root, profile, versions } = detail
  if (!root) return []
  const own = new Set(versions[0]?.overrides.map(({ ruleKey }) => ruleKey))
  return laxerThanLaw(profile, root)
    .filter(({ ruleKey }) => !own.has(ruleKey))
    .map(({ law }) => `${ruleText(ruleName(law), system)}. ${lawWords(law, system)}`)
}

export interface VersionModel {
  version: number
  name: string
  who: string
  at: string
  why: string
  /** How many rules it sets, and each of them in words. */
  sets: string
  rules: string[]
}

/** The versions of a profile, newest first, each with the rules that it set. */
export const prepareVersions = ({ parent, versions }: ProfileDetail, system: System): VersionModel[] =>
  versions.map((one) => {
    const rules = parent ? rulesOf(one, parent, system) : []
    return {
      version: one.version,
      name: one.name,
      who: one.person || 'nobody named',
      at: one.at,
      why: one.reason,
      sets: counted(one.overrides.length + one.additions.length, 'rule of its own', 'rules of its own'),
      rules,
    }
  })

function rulesOf({ name, overrides, additions }: ProfileVersion, parent: Profile, system: System): string[] {
  const before = new Map(allRules(parent).map((any) => [any.rule.key, any]))
  const known = overrides.filter(({ ruleKey }) => before.has(ruleKey))
  const lines = overrides
    .filter(({ ruleKey }) => !before.has(ruleKey))
    .map(({ ruleKey }) => `A rule that the parent no longer has (${ruleKey})`)
  try {
    const then = deriveProfile(parent, { key: 'then', name }, known, additions)
    for (const { after, any } of profileDifference(then, parent)) {
      lines.push(`${ruleText(ruleName(any), system)}: ${after ? ruleText(askedPhrase(after), system) : 'taken away'}`)
    }
  } catch {
    // an older version need not fit what its parent is now
    lines.push('Its rules do not fit the parent as it is now.')
  }
  return lines
}

/** `at most 7.8, by the published code …`, for a rule that is being changed. */
export const ruleLine = (any: AnyRule, system: System) => ({
  key: any.rule.key,
  name: ruleText(ruleName(any), system),
  asked: capital(ruleText(askedPhrase(any), system)),
  citation: citationWords(any.rule.citation),
})

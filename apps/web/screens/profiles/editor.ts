import {
  type AnyRule,
  allRules,
  deriveProfile,
  LIMIT_UNITS,
  LIMITED_THING_WORDS,
  type LimitedThing,
  type LimitRule,
  laxerThanLaw,
  type ProfileAddition,
  type ProfileOverride,
  ruleValue,
  type SanitizerSystem,
  type Setting,
  type Unit,
  type UseClass,
} from '@sightglass/chemistry'
import type { Problem, Profile, ProfileDetail } from '@sightglass/contract'
import { type System, unitOf } from '../../shared/measure.ts'
import { typedNumber } from '../../shared/numbers.ts'
import { lawWords } from './prepare.ts'

/** A rule that a company sets for itself, as it is being typed. */
export interface OwnRule {
  value: string
  takenAway: boolean
  reason: string
  citation: string
  laxerConfirmed: boolean
}

/** A limit that the parent does not have, as it is being typed. Nothing chosen of a kind of water: all of it. */
export interface OwnAddition {
  thing: LimitedThing
  side: LimitRule['side']
  effect: LimitRule['effect']
  value: string
  useClass: UseClass[]
  setting: Setting | ''
  cyanuricAcid: 'with' | 'without' | ''
  sanitizerSystem: SanitizerSystem[]
  reason: string
  citation: string
}

export interface Draft {
  name: string
  /** Why there is a new version; of a new profile nobody asks. */
  reason: string
  rules: Record<string, OwnRule>
  additions: OwnAddition[]
}

export const emptyRule: OwnRule = { value: '', takenAway: false, reason: '', citation: '', laxerConfirmed: false }
export const emptyAddition: OwnAddition = {
  thing: 'totalAlkalinityMgL',
  side: 'max',
  effect: 'act',
  value: '',
  useClass: [],
  setting: '',
  cyanuricAcid: '',
  sanitizerSystem: [],
  reason: '',
  citation: '',
}

/** A new profile that begins as its parent is, or the newest version of one that is changed. */
export function draftOf(detail: ProfileDetail | null, units: System): Draft {
  const [newest] = detail?.versions ?? []
  if (!detail?.parent || !newest) return { name: '', reason: '', rules: {}, additions: [] }
  const unitByKey = unitsByKey(detail.parent)
  return {
    name: newest.name,
    reason: '',
    rules: Object.fromEntries(
      newest.overrides
        .filter(({ ruleKey }) => unitByKey.has(ruleKey))
        .map(({ ruleKey, value, reason, citation, laxerConfirmed }) => [
          ruleKey,
          {
            value: value === null ? '' : numberText(value, unitByKey.get(ruleKey) ?? null, units),
            takenAway: value === null,
            reason,
            citation,
            laxerConfirmed: laxerConfirmed === true,
          },
        ]),
    ),
    additions: newest.additions.map(({ when, value, ...same }) => ({
      ...same,
      value: numberText(value, LIMIT_UNITS[same.thing], units),
      useClass: [...(when.useClass ?? [])],
      setting: when.setting ?? '',
      cyanuricAcid: when.cyanuricAcidUsed === undefined ? '' : when.cyanuricAcidUsed ? 'with' : 'without',
      sanitizerSystem: [...(when.sanitizerSystem ?? [])],
    })),
  }
}

/** As few decimals as say the same; a tenth of a degree Fahrenheit survives the way there and back. */
const numberText = (stored: number, unit: Unit | null, units: System) =>
  String(Number((unit ? unitOf(unit, units).toReader(stored) : stored).toFixed(4)))

/** In what the value of each rule is stored; null where it has none. */
const unitsByKey = (profile: Profile): Map<string, Unit | null> =>
  new Map(allRules(profile).map((any) => [any.rule.key, unitOfRule(any)]))

export const unitOfRule = (any: AnyRule): Unit | null =>
  any.sort === 'limit' ? any.rule.unit : any.sort === 'test' ? 'h' : null

export interface Read {
  overrides: ProfileOverride[]
  additions: ProfileAddition[]
  /** What is wrong, by field: `name`, `rule.<key>.value`, `addition.0.reason` … */
  errors: Record<string, string>
}

/** What was typed, in stored units. */
export function readDraft(draft: Draft, parent: Profile, root: Profile, units: System, edited: boolean): Read {
  const errors: Record<string, string> = {}
  if (!draft.name.trim()) errors.name = 'must not be empty'
  if (edited && !draft.reason.trim()) errors.reason = 'must say why it is changed'
  const unitByKey = unitsByKey(parent)
  const overrides = Object.entries(draft.rules).map(([ruleKey, rule]): ProfileOverride => {
    const value = rule.takenAway
      ? null
      : numberOf(rule.value, unitByKey.get(ruleKey) ?? null, units, `rule.${ruleKey}.value`, errors)
    whyAndWhose(rule, `rule.${ruleKey}`, errors)
    const { reason, citation, laxerConfirmed } = rule
    return {
      ruleKey,
      value,
      reason: reason.trim(),
      citation: citation.trim(),
      ...(laxerConfirmed && { laxerConfirmed }),
    }
  })
  const additions = draft.additions.map((addition, index) => readAddition(addition, index, units, errors))
  if (overrides.length + additions.length === 0)
    errors.rules = 'Nothing is set yet: set at least one rule of your own, or use the profile as it is.'
  for (const ruleKey of laxOf(draft, parent, root, units).keys())
    if (!draft.rules[ruleKey]?.laxerConfirmed)
      errors[`rule.${ruleKey}.laxerConfirmed`] = 'must be confirmed, or the value made as strict as the law'
  return { overrides, additions, errors }
}

function readAddition(typed: OwnAddition, index: number, units: System, errors: Record<string, string>) {
  const { thing, side, effect, useClass, setting, cyanuricAcid, sanitizerSystem } = typed
  const at = `addition.${index}`
  whyAndWhose(typed, at, errors)
  return {
    thing,
    side,
    effect,
    value: numberOf(typed.value, LIMIT_UNITS[thing], units, `${at}.value`, errors) ?? 0,
    when: {
      ...(useClass.length > 0 && { useClass }),
      ...(setting && { setting }),
      ...(cyanuricAcid && { cyanuricAcidUsed: cyanuricAcid === 'with' }),
      ...(sanitizerSystem.length > 0 && { sanitizerSystem }),
    },
    reason: typed.reason.trim(),
    citation: typed.citation.trim(),
  }
}

function whyAndWhose(typed: { reason: string; citation: string }, at: string, errors: Record<string, string>) {
  if (!typed.reason.trim()) errors[`${at}.reason`] = 'must say why'
  if (!typed.citation.trim()) errors[`${at}.citation`] = 'must say whose limit it is'
}

function numberOf(text: string, unit: Unit | null, units: System, field: string, errors: Record<string, string>) {
  const typed = typedNumber(text)
  if (typed.state === 'number') return unit ? unitOf(unit, units).toStored(typed.value) : typed.value
  errors[field] = typed.state === 'wrong' ? typed.message : 'must be a number'
  return null
}

/** The rules that would ask for less than the law as they are typed, and what the law asks for. */
export function laxOf(draft: Draft, parent: Profile, root: Profile, units: System): Map<string, string> {
  const unitByKey = unitsByKey(parent)
  const lax = new Map<string, string>()
  for (const [ruleKey, rule] of Object.entries(draft.rules)) {
    const value = rule.takenAway ? null : numberOf(rule.value, unitByKey.get(ruleKey) ?? null, units, '', {})
    if (value === null && !rule.takenAway) continue
    const found = laxerBy(parent, root, ruleKey, value)
    if (found) lax.set(ruleKey, lawWords(found, units))
  }
  return lax
}

function laxerBy(parent: Profile, root: Profile, ruleKey: string, value: number | null): AnyRule | undefined {
  try {
    const own = deriveProfile(parent, { key: 'draft', name: 'draft' }, [{ ruleKey, value, reason: '', citation: '' }])
    return laxerThanLaw(own, root).find((one) => one.ruleKey === ruleKey)?.law
  } catch {
    // a value that the rule cannot take is refused elsewhere
    return undefined
  }
}

/** What the API complains of, at the fields that it is about; the rest in one list. */
export function errorsFrom({ fields = [] }: Problem, { overrides }: Pick<Read, 'overrides'>) {
  const byField: Record<string, string> = {}
  const rest: string[] = []
  for (const { path, message } of fields) {
    const [, what = '', index = '', field = ''] = path.split('.')
    const ruleKey = overrides[Number(index)]?.ruleKey
    if (what === 'overrides' && ruleKey) byField[`rule.${ruleKey}.${field || 'value'}`] = message
    else if (what === 'additions' && index) byField[`addition.${index}.${field || 'thing'}`] = message
    else if (['name', 'reason', 'person'].includes(what)) byField[what] = message
    else rest.push(message)
  }
  return { byField, rest }
}

/** What a company can set a limit on, and which of its parent's rules are about it. */
export const THING_OPTIONS = (Object.keys(LIMIT_UNITS) as LimitedThing[]).map((value) => ({
  value,
  label: LIMITED_THING_WORDS[value],
}))

export const ABOUT_TESTS = 'tests'
export const ABOUT_ALL = ''

/** The rules to choose from, narrowed to a thing; those that are set already always stay. */
export function rulesAbout(parent: Profile, about: string, draft: Draft): AnyRule[] {
  return allRules(parent).filter((any) => {
    if (about === ABOUT_ALL || draft.rules[any.rule.key]) return true
    if (about === ABOUT_TESTS) return any.sort === 'test'
    return any.sort === 'limit' ? any.rule.thing === about : any.sort === 'forbidden' && about === 'cyanuricAcidMgL'
  })
}

export const aboutOptions = (parent: Profile) => {
  const things = new Set<string>(parent.limits.map(({ thing }) => thing))
  return [
    { value: ABOUT_ALL, label: 'everything' },
    { value: ABOUT_TESTS, label: 'tests by hand' },
    ...THING_OPTIONS.filter(({ value }) => things.has(value)),
  ]
}

/** The value that a rule begins with when a company sets its own. */
export const beginWith = (any: AnyRule, units: System): OwnRule => {
  const value = ruleValue(any)
  return {
    ...emptyRule,
    takenAway: value === null,
    value: value === null ? '' : numberText(value, unitOfRule(any), units),
  }
}

import type { Unit } from '@sightglass/chemistry'
import { type AnyUnit, type System, unitOf } from '../../shared/measure.ts'
import { typedNumber } from '../../shared/numbers.ts'

/** One rule that a company sets for itself, as it is being typed. */
export interface OwnRule {
  ruleKey: string
  value: string
  takenAway: boolean
  reason: string
  citation: string
}

export const emptyRule: OwnRule = { ruleKey: '', value: '', takenAway: false, reason: '', citation: '' }

export interface Derived {
  name: string
  rules: OwnRule[]
}

/** The profile as the API takes it, or what is wrong by field (`name`, `0.value`, `0.reason` …). */
export function readDerived({ name, rules }: Derived, unitsOf: Map<string, string>, system: System) {
  const errors: Record<string, string> = {}
  if (!name.trim()) errors.name = 'must not be empty'
  const overrides = rules.map((rule, index) => {
    if (!rule.ruleKey) errors[`${index}.ruleKey`] = 'choose a rule'
    if (!rule.reason.trim()) errors[`${index}.reason`] = 'must say why'
    if (!rule.citation.trim()) errors[`${index}.citation`] = 'must say whose limit it is'
    return {
      ruleKey: rule.ruleKey,
      value: rule.takenAway ? null : ownValue(rule, index, unitsOf.get(rule.ruleKey) ?? '', system, errors),
      reason: rule.reason.trim(),
      citation: rule.citation.trim(),
    }
  })
  return { body: { name: name.trim(), overrides }, errors }
}

function ownValue(rule: OwnRule, index: number, unit: string, system: System, errors: Record<string, string>) {
  const typed = typedNumber(rule.value)
  if (typed.state === 'number')
    return unit ? unitOf(unit as Unit as AnyUnit, system).toStored(typed.value) : typed.value
  errors[`${index}.value`] = typed.state === 'wrong' ? typed.message : 'must be a number'
  return null
}

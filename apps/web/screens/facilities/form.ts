import type { Problem } from '@sightglass/contract'
import { type System, unitOf } from '../../shared/measure.ts'
import { plainNumber, typedNumber } from '../../shared/numbers.ts'
import type { FieldSpec } from './kinds.ts'

export type FormValues = Record<string, string | boolean>

/** A stored thing as the form shows it; a new one begins with its first choices. */
export function valuesOf(fields: FieldSpec[], thing: Record<string, unknown> | null, system: System): FormValues {
  return Object.fromEntries(fields.map((field) => [field.name, textOf(field, thing, system)]))
}

function textOf(field: FieldSpec, thing: Record<string, unknown> | null, system: System): string | boolean {
  const stored = thing?.[field.name]
  if (field.type === 'check') return stored === true
  if (stored === null || stored === undefined)
    return field.type === 'select' && field.empty === undefined ? (field.options?.[0]?.value ?? '') : ''
  if (field.type !== 'number') return String(stored)
  const value = field.unit ? unitOf(field.unit, system).toReader(Number(stored)) : Number(stored)
  return plainNumber(value, value < 10 ? 3 : 1)
}

/** What has been changed, in stored units; untouched fields are left out, so that no conversion shifts them. */
export function payloadOf(
  fields: FieldSpec[],
  values: FormValues,
  before: FormValues | null,
  system: System,
): { payload: Record<string, unknown>; errors: Record<string, string> } {
  const payload: Record<string, unknown> = {}
  const errors: Record<string, string> = {}
  for (const field of fields) {
    const value = values[field.name] ?? ''
    if (before && before[field.name] === value) continue
    if (typeof value === 'boolean') payload[field.name] = value
    else if (field.required && value.trim() === '') errors[field.name] = 'must not be empty'
    else if (field.type === 'number') {
      const typed = typedNumber(value)
      if (typed.state === 'wrong') errors[field.name] = typed.message
      else if (typed.state === 'empty') payload[field.name] = null
      else if (typed.value <= 0) errors[field.name] = 'must be more than 0'
      else payload[field.name] = field.unit ? unitOf(field.unit, system).toStored(typed.value) : typed.value
    } else if (field.type === 'select' && value === '') payload[field.name] = null
    else payload[field.name] = value.trim()
  }
  return { payload, errors }
}

/** A problem's complaints by field; those of no field in one list. */
export function errorsOf(problem: Problem, fields: FieldSpec[]) {
  const byField: Record<string, string> = {}
  const rest: string[] = []
  for (const { path, message } of problem.fields ?? []) {
    const name = path.replace(/^body\./, '').split('.')[0] ?? ''
    if (fields.some((field) => field.name === name)) byField[name] = message
    else rest.push(`${name}: ${message}`)
  }
  return { byField, rest }
}

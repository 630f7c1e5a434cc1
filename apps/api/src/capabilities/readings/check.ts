import { PARAMETERS, type Parameter } from '@sightglass/chemistry'
import { isUnusual, PARAMETER_RANGES, type Problem } from '@sightglass/contract'
import { ProblemError } from '../../platform/problems.ts'
import type { NewReading } from './queries.ts'

type Fields = NonNullable<Problem['fields']>

/** Values that are possible but rare, and that nobody has said are meant. */
export function unusualValues(values: NewReading['values'], confirmed: readonly Parameter[], path: string): Fields {
  return PARAMETERS.flatMap((parameter) => {
    const value = values[parameter]
    const range = PARAMETER_RANGES[parameter]
    if (value === undefined || confirmed.includes(parameter) || !isUnusual(range, value)) return []
    const [low, high] = range.usual
    const message = `${range.words} ${value} is unusual (usually ${low} to ${high}): confirm it or correct it.`
    return [{ path: `${path}.values.${parameter}`, message }]
  })
}

export function refuseAny(kind: 'invalid' | 'conflict' | 'unusual', fields: Fields) {
  if (fields.length > 0)
    throw new ProblemError(kind, fields.map(({ path, message }) => `${path}: ${message}`).join(' '), fields)
}

/** True when both say the same of the same water at the same time. */
export function sameReading(a: NewReading, b: NewReading): boolean {
  return (
    a.bodyId === b.bodyId &&
    +a.at === +b.at &&
    PLAIN.every((key) => a[key] === b[key]) &&
    PARAMETERS.every((parameter) => a.values[parameter] === b.values[parameter])
  )
}
const PLAIN = ['person', 'method', 'displayPh', 'displayOrpMv', 'note', 'replacesId', 'reason'] as const

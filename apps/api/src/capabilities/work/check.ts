import { isUnusual, type Problem, QUANTITY_RANGES, type workCorrect } from '@sightglass/contract'
import type { z } from 'zod'
import { ProblemError } from '../../platform/problems.ts'
import type { NewWork, WorkRow } from './queries.ts'

type Fields = NonNullable<Problem['fields']>
type Said = Omit<z.output<typeof workCorrect>, 'done' | 'reason'>

/** What was said of work, as it is stored; what was left out is not known. */
export const rowOf = (bodyId: string, given: Said, at: Date): NewWork => ({
  id: given.id,
  bodyId,
  kind: given.kind,
  at,
  person: given.person,
  feederId: given.feederId ?? null,
  orpSetPointMv: given.orpSetPointMv ?? null,
  phSetPoint: given.phSetPoint ?? null,
  slopePct: given.slopePct ?? null,
  done: true,
  note: given.note ?? '',
  replacesId: null,
  reason: null,
})

/** Set points that are possible but rare, and that nobody has said are meant. */
export function unusualSetPoints(
  row: NewWork,
  confirmed: readonly ('orpSetPointMv' | 'phSetPoint')[],
  path: string,
): Fields {
  return (['orpSetPointMv', 'phSetPoint'] as const).flatMap((key) => {
    const value = row[key]
    const range = QUANTITY_RANGES[key]
    if (value === null || confirmed.includes(key) || !isUnusual(range, value)) return []
    const [low, high] = range.usual
    const message = `${range.words} ${value} is unusual (usually ${low} to ${high}): confirm it or correct it.`
    return [{ path: `${path}.${key}`, message }]
  })
}

/** Feeders that are not there, or that feed another body. */
export function strangeFeeders(
  rows: readonly NewWork[],
  fed: ReadonlyMap<string, string>,
  pathOf: (index: number) => string,
): Fields {
  return rows.flatMap(({ feederId, bodyId }, index) =>
    feederId === null || fed.get(feederId) === bodyId
      ? []
      : [{ path: `${pathOf(index)}.feederId`, message: 'This body of water has no such feeder.' }],
  )
}

export function refuseAny(kind: 'invalid' | 'conflict' | 'unusual', fields: Fields) {
  if (fields.length > 0)
    throw new ProblemError(kind, fields.map(({ path, message }) => `${path}: ${message}`).join(' '), fields)
}

const SAME = [
  'bodyId',
  'kind',
  'person',
  'feederId',
  'orpSetPointMv',
  'phSetPoint',
  'slopePct',
  'done',
  'note',
  'replacesId',
  'reason',
] as const

/** True when both say the same. */
export const sameWork = (a: WorkRow, b: NewWork) => +a.at === +b.at && SAME.every((key) => a[key] === b[key])

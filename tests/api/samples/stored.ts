// What a test reads back from the database, in the code's words.

import { columnOf } from '../../../apps/api/src/platform/sql.ts'
import { QUANTITIES, type Quantity } from '../../../packages/chemistry/src/index.ts'
import type { TestApi } from '../support/company.ts'
import type { PlainHour, PlainSample } from './plain-hours.ts'

export async function storedSamples({ db }: TestApi, bodyId: string): Promise<PlainSample[]> {
  const { rows } = await db.pool.query('SELECT * FROM sample WHERE body_id = $1 ORDER BY at', [bodyId])
  return rows.map((row) => ({
    atMs: +row.at,
    values: Object.fromEntries(
      QUANTITIES.flatMap((quantity): [Quantity, number][] => {
        const value = row[columnOf(quantity)]
        return value === null ? [] : [[quantity, Number(value)]]
      }),
    ),
  }))
}

const camel = (column: string) => column.replace(/_([a-z0-9])/g, (_, letter: string) => letter.toUpperCase())

export async function storedHours({ db }: TestApi, bodyId: string): Promise<PlainHour[]> {
  const { rows } = await db.pool.query('SELECT * FROM sample_hour WHERE body_id = $1 ORDER BY hour', [bodyId])
  return rows.map(({ body_id, hour, ...rest }) => ({
    hourMs: +hour,
    ...Object.fromEntries(Object.entries(rest).map(([column, value]) => [camel(column), value as number | null])),
  }))
}

/** Hours agree within the precision of what is stored (`real`). */
export function differences(stored: readonly PlainHour[], plain: readonly PlainHour[]): string[] {
  const wrong: string[] = []
  if (stored.length !== plain.length) wrong.push(`${stored.length} hours stored, ${plain.length} expected`)
  plain.forEach((hour, index) => {
    for (const [key, expected] of Object.entries(hour)) {
      const found = stored[index]?.[key]
      const close =
        expected === null || found === null || found === undefined
          ? expected === found
          : Math.abs(found - expected) <= 1e-5 * Math.max(1, Math.abs(expected))
      if (!close) wrong.push(`${new Date(hour.hourMs).toISOString()} ${key}: ${found} stored, ${expected} expected`)
    }
  })
  return wrong
}

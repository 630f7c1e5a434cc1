import { z } from 'zod'
import { id, instant, person } from './primitives.ts'

/** A time in which nobody bathes in a body and nobody treats it. */
const model = z.object({
  from: instant,
  /** null: until somebody puts it into use again. */
  to: instant.nullable(),
  reason: z.string().trim().min(1, 'must say why').max(500, 'is longer than 500 characters'),
  person,
})

export const outOfUse = model.extend({ id, endedBy: z.string().nullable() })
export type OutOfUsePeriod = z.infer<typeof outOfUse>

export const outOfUseBegin = model
  .partial({ to: true })
  .extend({ id })
  .refine(({ from, to }) => !to || Date.parse(to) > Date.parse(from), {
    path: ['to'],
    message: 'must be after the time from which it is out of use',
  })

export const outOfUseEnd = z.object({ at: instant, person })

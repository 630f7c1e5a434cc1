import { PARAMETERS } from '@sightglass/chemistry'
import { z } from 'zod'
import { id, instant, note, person } from './primitives.ts'
import { type TestValues, testValues } from './ranges.ts'

export const METHODS = ['dropTest', 'photometer', 'comparator', 'strip', 'meter', 'other'] as const
export const method = z.enum(METHODS)
export type Method = z.infer<typeof method>

const model = z.object({
  bodyId: id,
  at: instant,
  person,
  method,
  values: testValues,
  /** What the controller's display showed at that moment. */
  displayPh: z.number().min(0).max(14).nullable(),
  displayOrpMv: z.number().min(-1000).max(1300).nullable(),
  note,
})

/** Test kits read in steps: 0.2 mg/L under free chlorine is still the kit, more is a mistake. Common practice, no source. */
const KIT_STEP_MG_L = 0.2

function checkTest(
  entry: { values: TestValues; displayPh?: number | null; displayOrpMv?: number | null },
  context: z.RefinementCtx,
) {
  const { freeChlorineMgL, totalChlorineMgL } = entry.values
  const measured = Object.values(entry.values).some((value) => value !== undefined)
  if (!measured && entry.displayPh == null && entry.displayOrpMv == null)
    context.addIssue({ code: 'custom', path: ['values'], message: 'at least one value must be given' })
  if (
    freeChlorineMgL !== undefined &&
    totalChlorineMgL !== undefined &&
    totalChlorineMgL < freeChlorineMgL - KIT_STEP_MG_L
  )
    context.addIssue({
      code: 'custom',
      path: ['values', 'totalChlorineMgL'],
      message: 'total chlorine cannot be under free chlorine: were the two swapped?',
    })
}

/** The parameters whose unusual values the person has said are meant. */
const confirmed = z.array(z.enum(PARAMETERS)).default([])
const optionalParts = { displayPh: true, displayOrpMv: true, note: true } as const

export const readingCreate = model.partial(optionalParts).extend({ id, confirmed }).superRefine(checkTest)
export type ReadingCreate = z.input<typeof readingCreate>

/** A whole log sheet at once: all rows are stored or none. */
export const readingsCreate = z.object({ readings: z.array(readingCreate).min(1).max(500) })

/** A correction is a new version that names the old one; it holds all values anew. */
export const readingCorrect = model
  .omit({ bodyId: true })
  .partial(optionalParts)
  .extend({ id, confirmed, reason: z.string().trim().min(1, 'must say why').max(500) })
  .superRefine(checkTest)
export type ReadingCorrect = z.input<typeof readingCorrect>

export const reading = model.extend({
  id,
  /** The version that this one replaces, and why. */
  replacesId: id.nullable(),
  reason: z.string().nullable(),
  /** Set when a later version took this one's place. */
  replacedAt: instant.nullable(),
  createdAt: instant,
})
export type Reading = z.infer<typeof reading>

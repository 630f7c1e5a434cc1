import { FEED_WORK_KINDS, PROBE_WORK_KINDS } from '@sightglass/chemistry'
import { z } from 'zod'
import { flag, id, instant, note, paging, person } from './primitives.ts'
import { QUANTITY_RANGES, ranged } from './ranges.ts'

/** What somebody did at a body's probes, feeders and flow: break points of what its values mean. */
export const WORK_KINDS = [...PROBE_WORK_KINDS, ...FEED_WORK_KINDS, 'orpSetPointMoved', 'phSetPointMoved'] as const
export const workKind = z.enum(WORK_KINDS)
export type WorkKind = z.infer<typeof workKind>

const SET_POINTS = ['orpSetPointMv', 'phSetPoint'] as const

/** The field that belongs to one kind of work alone. */
export const WORK_FIELDS = {
  orpSetPointMv: { kind: 'orpSetPointMoved', needed: true, words: 'the ORP set point' },
  phSetPoint: { kind: 'phSetPointMoved', needed: true, words: 'the pH set point' },
  slopePct: { kind: 'phCalibrated', needed: false, words: 'the slope' },
  feederId: { kind: 'feederServiced', needed: false, words: 'the feeder' },
} as const satisfies Record<string, { kind: WorkKind; needed: boolean; words: string }>
export type WorkField = keyof typeof WORK_FIELDS

const model = z.object({
  kind: workKind,
  at: instant,
  person,
  /** null: it concerns no single feeder. */
  feederId: id.nullable(),
  /** What it was set to. */
  orpSetPointMv: ranged(QUANTITY_RANGES.orpSetPointMv).nullable(),
  phSetPoint: ranged(QUANTITY_RANGES.phSetPoint).nullable(),
  /** What a calibration reported of the pH probe's slope, per cent of theory. */
  slopePct: z
    .number('the slope must be a number')
    .min(1, 'the slope must be 1 to 150 per cent')
    .max(150, 'the slope must be 1 to 150 per cent')
    .nullable(),
  note,
})

function checkFields(given: { kind: WorkKind } & Partial<Record<WorkField, unknown>>, context: z.RefinementCtx) {
  for (const [field, { kind, needed, words }] of Object.entries(WORK_FIELDS)) {
    const there = given[field as WorkField] != null
    if (given.kind === kind && needed && !there)
      context.addIssue({ code: 'custom', path: [field], message: `must say what ${words} was set to` })
    if (given.kind !== kind && there)
      context.addIssue({ code: 'custom', path: [field], message: `${words} belongs to ${kind}, not to ${given.kind}` })
  }
}

const optionalParts = { feederId: true, orpSetPointMv: true, phSetPoint: true, slopePct: true, note: true } as const

/** The set points whose unusual values the person has said are meant. */
const confirmed = z.array(z.enum(SET_POINTS)).default([])

export const workCreate = model.partial(optionalParts).extend({ id, bodyId: id, confirmed }).superRefine(checkFields)
export type WorkCreate = z.input<typeof workCreate>

/** All that was done on one visit at once: all of it is stored or none. */
export const worksCreate = z.object({ work: z.array(workCreate).min(1).max(100) })

/** A correction is a new version that says everything anew, and why; `done` false: it was never done. */
export const workCorrect = model
  .partial(optionalParts)
  .extend({ id, confirmed, done: z.boolean().default(true), reason: z.string().trim().min(1, 'must say why').max(500) })
  .superRefine(checkFields)
export type WorkCorrect = z.input<typeof workCorrect>

export const work = model.extend({
  id,
  bodyId: id,
  /** The feeder's name, where one is named. */
  feederName: z.string().nullable(),
  done: z.boolean(),
  /** The version that this one replaces, and why. */
  replacesId: id.nullable(),
  reason: z.string().nullable(),
  /** Set when a later version took this one's place. */
  replacedAt: instant.nullable(),
  createdAt: instant,
})
export type Work = z.infer<typeof work>

export const workQuery = paging.extend({ replaced: flag.optional() })

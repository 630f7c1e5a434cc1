import { z } from 'zod'
import { findingKind, phrase } from './judgement.ts'
import { flag, id, instant, paging, sanitizerSystem, setting, severalWords, severity, useClass } from './primitives.ts'

export const TRIAGE_SORTS = ['worst', 'facility', 'score', 'daysLeft', 'heard'] as const

/** Words of one filter; none at all is no filter. */
const several = <Item extends z.ZodType>(item: Item) => z.preprocess(severalWords, z.array(item).optional())

/** The filters of the morning list; words of one filter are alternatives, filters narrow together. */
export const triageQuery = paging.extend({
  severity: several(severity),
  kind: several(findingKind),
  facilityId: id.optional(),
  area: several(z.string()),
  sanitizerSystem: several(sanitizerSystem),
  /** Searches facility, body and area. */
  q: z.string().trim().max(100).optional(),
  sort: z.enum(TRIAGE_SORTS).default('worst'),
  /** Keeps the bodies of one facility together, the facility with the worst body first. */
  byFacility: flag.optional(),
})

const range = z.object({ min: z.number().nullable(), max: z.number().nullable() })
const testValue = z.object({ value: z.number(), at: instant })

/** What a row shows besides its standing; made when the body is assessed, so that the list computes nothing. */
export const triageView = z.object({
  /** The worst findings, worst first, at most three. */
  sentences: z.array(phrase),
  findings: z.number().int(),
  /** Nobody bathes in it and nobody treats it; absent in use. */
  outOfUse: z.object({ from: instant, to: instant.nullable(), reason: z.string() }).optional(),
  test: z.object({ ph: testValue.nullable(), sanitizer: testValue.nullable() }),
  controller: z.object({ at: instant, ph: z.number().nullable(), orpMv: z.number().nullable() }).nullable(),
  ranges: z.object({ ph: range, sanitizer: range, orpMv: range }),
  /** Seven days of pH and ORP, a mean for each step; null where nothing was heard. */
  trace: z
    .object({
      startAt: instant,
      stepMin: z.number().int(),
      ph: z.array(z.number().nullable()),
      orpMv: z.array(z.number().nullable()),
    })
    .nullable(),
})
export type TriageView = z.infer<typeof triageView>

export const triageRow = z.object({
  bodyId: id,
  bodyName: z.string(),
  facilityId: id,
  facilityName: z.string(),
  area: z.string(),
  timeZone: z.string(),
  useClass,
  setting,
  sanitizerSystem,
  severity,
  score: z.number().nullable(),
  kinds: z.array(findingKind),
  /** Days until the first drum of this body is empty; null when unknown. */
  daysLeft: z.number().nullable(),
  /** The newest of last sample and last manual test. */
  heardAt: instant.nullable(),
  assessedAt: instant.nullable(),
  /** Null until the body has been assessed for the first time. */
  view: triageView.nullable(),
})
export type TriageRow = z.infer<typeof triageRow>

export const triageAnswer = z.object({
  rows: z.array(triageRow),
  total: z.number().int(),
  /** Bodies of each severity under the other filters. */
  counts: z.record(severity, z.number().int()),
  /** What the filters can be set to, each with the bodies it would leave. */
  choices: z.object({
    kinds: z.array(z.object({ kind: findingKind, bodies: z.number().int() })),
    areas: z.array(z.object({ area: z.string(), bodies: z.number().int() })),
    sanitizerSystems: z.array(z.object({ sanitizerSystem, bodies: z.number().int() })),
  }),
  at: instant,
})
export type TriageAnswer = z.infer<typeof triageAnswer>

import { CLOSURE_TRIGGERS, SANITIZER_SYSTEMS, UNITS, USE_CLASSES } from '@sightglass/chemistry'
import { z } from 'zod'
import { citation } from './judgement.ts'
import { name } from './primitives.ts'

const condition = z.object({
  useClass: z.array(z.enum(USE_CLASSES)).readonly().optional(),
  setting: z.enum(['indoor', 'outdoor']).optional(),
  cyanuricAcidUsed: z.boolean().optional(),
  sanitizerSystem: z.array(z.enum(SANITIZER_SYSTEMS)).readonly().optional(),
  automated: z.boolean().optional(),
  over: z.object({ thing: z.enum(['ph', 'tempC']), value: z.number() }).optional(),
})

export const profile = z.object({
  key: z.string(),
  name: z.string(),
  edition: z.string(),
  parentKey: z.string().nullable(),
  /** What of the code's own text was not read, and what stands in its place. */
  notRead: z.string(),
  limits: z
    .array(
      z.object({
        key: z.string(),
        thing: z.string(),
        side: z.enum(['min', 'max']),
        value: z.number(),
        unit: z.enum(UNITS),
        inclusive: z.boolean().optional(),
        lastingHours: z.number().optional(),
        effect: z.enum(['close', 'act', 'watch']),
        when: condition,
        citation,
      }),
    )
    .readonly(),
  cyanuricAcidForbidden: z.array(z.object({ key: z.string(), when: condition, citation })).readonly(),
  tests: z
    .array(
      z.object({
        key: z.string(),
        parameters: z.array(z.string()).readonly(),
        everyHours: z.number(),
        perDay: z.number().int().optional(),
        times: z.string().optional(),
        when: condition,
        citation,
      }),
    )
    .readonly(),
  closures: z
    .array(z.object({ key: z.string(), trigger: z.enum(CLOSURE_TRIGGERS), when: condition, citation }))
    .readonly(),
})
export type Profile = z.infer<typeof profile>

export const profileListed = z.object({
  key: z.string(),
  name: z.string(),
  edition: z.string(),
  parentKey: z.string().nullable(),
  facilities: z.number().int(),
})

export const profileOverride = z.object({
  ruleKey: z.string().min(1),
  /** The company's own value in the rule's unit; null takes the rule away. */
  value: z.number().nullable(),
  reason: z.string().trim().min(1, 'must say why').max(500),
  citation: z.string().trim().min(1, 'must say whose limit it is').max(300),
})
export const profileCreate = z.object({
  name,
  parentKey: z.string().min(1),
  overrides: z.array(profileOverride).min(1).max(100),
})
export const profileDetail = z.object({ profile, overrides: z.array(profileOverride) })

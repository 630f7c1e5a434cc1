import {
  CAUSES,
  CAUTION_KEYS,
  type Citation,
  FINDING_FAMILIES,
  FINDING_KINDS,
  FINDING_SEVERITIES,
  type Finding,
  type FindingKind,
  type Limit,
  type Phrase,
  type Quantified,
  type ScorePart,
  SEVERITIES,
  type Standing,
  UNITS,
} from '@sightglass/chemistry'
import { z } from 'zod'
import { id, instant } from './primitives.ts'

const kinds = Object.keys(FINDING_KINDS) as [FindingKind, ...FindingKind[]]
export const findingKind = z.enum(kinds)
export const quantified: z.ZodType<Quantified> = z.object({ value: z.number(), unit: z.enum(UNITS) })
export const phrase: z.ZodType<Phrase> = z.object({ text: z.string(), quantities: z.array(quantified) })
export const citation: z.ZodType<Citation> = z.object({
  authority: z.enum(['law', 'practice', 'company']),
  document: z.string(),
  edition: z.string(),
  section: z.string(),
})
const limit: z.ZodType<Limit> = z.object({
  side: z.enum(['min', 'max']),
  value: z.number(),
  unit: z.enum(UNITS),
  citation,
})
const family = z.enum(FINDING_FAMILIES)

/** A finding as the chemistry package makes it; its times are milliseconds since 1970. */
const foundModel = z.object({
  kind: findingKind,
  subject: z.string(),
  family,
  severity: z.enum(FINDING_SEVERITIES),
  sentence: phrase,
  value: quantified.nullable(),
  limit: limit.nullable(),
  sinceMs: z.number(),
  evidence: z.array(
    z.object({
      label: z.string(),
      quantity: quantified,
      atMs: z.number().nullable(),
      source: z.enum(['test', 'controller', 'derived']),
    }),
  ),
  advice: z.array(phrase),
  cautions: z.array(z.enum(CAUTION_KEYS)),
  causes: z.array(z.object({ cause: z.enum(CAUSES), share: z.number() })).optional(),
  bring: z.array(phrase).optional(),
})
export const found: z.ZodType<Finding> = foundModel

/** A finding with its life. */
export const finding = foundModel.extend({ id, openedAt: instant, seenAt: instant, closedAt: instant.nullable() })
export type StoredFinding = z.infer<typeof finding>

const scorePart: z.ZodType<ScorePart> = z.object({ family, taken: z.number(), because: z.array(findingKind) })
export const standing: z.ZodType<Standing> = z.object({
  severity: z.enum(SEVERITIES),
  score: z.number().nullable(),
  parts: z.array(scorePart),
})

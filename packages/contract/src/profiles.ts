import {
  CLOSURE_TRIGGERS,
  LIMIT_UNITS,
  type LimitedThing,
  PARAMETERS,
  SANITIZER_SYSTEMS,
  SETTINGS,
  UNITS,
  USE_CLASSES,
} from '@sightglass/chemistry'
import { z } from 'zod'
import { citation } from './judgement.ts'
import { id, instant, name, person, severity } from './primitives.ts'

const limitedThing = z.enum(Object.keys(LIMIT_UNITS) as [LimitedThing, ...LimitedThing[]])
const side = z.enum(['min', 'max'])
const effect = z.enum(['close', 'act', 'watch'])

/** Which water a rule of the company's own is about; what is left out does not matter. */
const ownCondition = z.object({
  useClass: z.array(z.enum(USE_CLASSES)).min(1).readonly().optional(),
  setting: z.enum(SETTINGS).optional(),
  cyanuricAcidUsed: z.boolean().optional(),
  sanitizerSystem: z.array(z.enum(SANITIZER_SYSTEMS)).min(1).readonly().optional(),
})
const condition = ownCondition.extend({
  over: z.object({ thing: z.enum(['ph', 'tempC']), value: z.number() }).optional(),
})
const ruled = { key: z.string(), when: condition, citation }

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
        ...ruled,
        thing: limitedThing,
        side,
        value: z.number(),
        unit: z.enum(UNITS),
        inclusive: z.boolean().optional(),
        lastingHours: z.number().optional(),
        effect,
      }),
    )
    .readonly(),
  cyanuricAcidForbidden: z.array(z.object(ruled)).readonly(),
  tests: z
    .array(
      z.object({
        ...ruled,
        parameters: z.array(z.enum(PARAMETERS)).readonly(),
        everyHours: z.number(),
        perDay: z.number().int().optional(),
        times: z.string().optional(),
        when: condition.extend({ automated: z.boolean().optional() }),
      }),
    )
    .readonly(),
  closures: z.array(z.object({ ...ruled, trigger: z.enum(CLOSURE_TRIGGERS) })).readonly(),
})
export type Profile = z.infer<typeof profile>

export const profileListed = z.object({
  key: z.string(),
  name: z.string(),
  edition: z.string(),
  parentKey: z.string().nullable(),
  notRead: z.string(),
  facilities: z.number().int(),
})

const reason = z.string().trim().min(1, 'must say why').max(500)
const whose = z.string().trim().min(1, 'must say whose limit it is').max(300)

export const profileOverride = z.object({
  ruleKey: z.string().min(1),
  /** The company's own value in the rule's unit; null takes the rule away. */
  value: z.number().nullable(),
  reason,
  citation: whose,
  /** A value that asks for less than the law is stored only when this says that it is meant. */
  laxerConfirmed: z.boolean().optional(),
})
/** A limit of the company where the parent has none, in the thing's stored unit. */
export const profileAddition = z.object({
  thing: limitedThing,
  side,
  effect,
  value: z.number(),
  when: ownCondition,
  reason,
  citation: whose,
})

const ownRules = {
  overrides: z.array(profileOverride).max(200),
  additions: z.array(profileAddition).max(50).default([]),
}
const NOTHING_OWN = 'must set at least one rule of your own'
const setsSomething = ({ overrides, additions }: { overrides: object[]; additions: object[] }) =>
  overrides.length + additions.length > 0

export const profileCreate = z
  .object({ name, parentKey: z.string().min(1), person, ...ownRules })
  .refine(setsSomething, { message: NOTHING_OWN, path: ['overrides'] })

/** A new version of a company's own profile holds all its rules anew; the old one is kept. */
export const profileEdit = z
  .object({
    name,
    person,
    reason: z.string().trim().min(1, 'must say why it is changed').max(500),
    /** The version that was looked at: when another has been stored since, this one is refused. */
    version: z.number().int().min(1),
    ...ownRules,
  })
  .refine(setsSomething, { message: NOTHING_OWN, path: ['overrides'] })

export const profileRetire = z.object({ person, reason: z.string().trim().min(1, 'must say why it goes').max(500) })

/** A change before it is stored: of a company's own profile, or a new one in place of the parent that it would have. */
export const profilePreview = z
  .object({ profileKey: z.string().min(1).optional(), parentKey: z.string().min(1).optional(), ...ownRules })
  .refine(({ profileKey, parentKey }) => (profileKey === undefined) !== (parentKey === undefined), {
    message: 'must name either the profile that is changed (profileKey) or the parent of a new one (parentKey)',
    path: ['profileKey'],
  })
export const profilePreviewed = z.object({
  /** How many bodies are judged by the profile now. */
  bodies: z.number().int(),
  /** How many of them were judged both ways; fewer than `bodies` where there are very many. */
  judged: z.number().int(),
  /** Those whose standing would change, the ones that would need a person first at the top; the first fifty. */
  changed: z.array(z.object({ bodyId: id, body: z.string(), facility: z.string(), before: severity, after: severity })),
  changedTotal: z.number().int(),
})
export type ProfilePreviewed = z.infer<typeof profilePreviewed>

const profileVersion = z.object({
  version: z.number().int(),
  name: z.string(),
  overrides: z.array(profileOverride),
  additions: z.array(profileAddition),
  person: z.string(),
  reason: z.string(),
  at: instant,
})
export type ProfileVersion = z.infer<typeof profileVersion>

export const profileDetail = z.object({
  profile,
  /** What it was derived from, and the published profile at the end of that line; null for a published one. */
  parent: profile.nullable(),
  root: profile.nullable(),
  /** Newest first; none for a published one. */
  versions: z.array(profileVersion),
  /** Rules of the newest version that the parent no longer has: they count for nothing. */
  lost: z.array(z.string()),
  retiredAt: instant.nullable(),
  /** What stands in the way of retiring it. */
  usedBy: z.object({
    facilities: z.array(z.object({ id, name: z.string() })),
    profiles: z.array(z.object({ key: z.string(), name: z.string() })),
  }),
})
export type ProfileDetail = z.infer<typeof profileDetail>

import {
  type Basis,
  CONTACT_STATES,
  type ContactTime,
  INCIDENT_KINDS,
  PROTOCOL_KEYS,
  REOPENING_CHECKS,
  type ResponseStep,
} from '@sightglass/chemistry'
import { z } from 'zod'
import { phrase } from './judgement.ts'
import { flag, id, instant, note, paging, person } from './primitives.ts'

export const incidentKind = z.enum(INCIDENT_KINDS)
export const reopeningCheck = z.enum(REOPENING_CHECKS)

const WATER_MOST_MG_L = 200
const WEEK_MIN = 7 * 24 * 60
/** What an authority asked for in place of the published level and time. */
const instruction = z.object({
  freeChlorineMgL: z
    .number('free chlorine must be a number')
    .min(1, 'must be at least 1 mg/L of free chlorine')
    .max(WATER_MOST_MG_L, `must be at most ${WATER_MOST_MG_L} mg/L of free chlorine`),
  holdMin: z
    .number('the time must be a number of minutes')
    .min(1, 'must be at least 1 minute')
    .max(WEEK_MIN, 'must be at most a week (10,080 minutes)'),
  /** null: pH 7.5 as published. It is never taken for more. */
  phMax: z.number('pH must be a number').min(6, 'must be pH 6 to 7.5').max(7.5, 'must be pH 6 to 7.5').nullable(),
  /** Who asked for it. */
  by: z.string().trim().min(1, 'must name the authority').max(200, 'is longer than 200 characters'),
})

const model = z.object({
  kind: incidentKind,
  /** When it happened, or was found. */
  at: instant,
  /** Who wrote this down. */
  person,
  note,
  instruction: instruction.nullable(),
})
const optionalParts = { note: true, instruction: true } as const

export const incidentOpen = model.partial(optionalParts).extend({ id, bodyId: id })
export type IncidentOpen = z.input<typeof incidentOpen>

const why = (message: string) => z.string().trim().min(1, message).max(500, 'is longer than 500 characters')

/** A correction is a new version, with an id of its own; it says everything anew, and why. */
export const incidentCorrect = model.partial(optionalParts).extend({ id, reason: why('must say why') })
export type IncidentCorrect = z.input<typeof incidentCorrect>

/** Whose word lets bathers in although the contact time is not reached. */
const exception = z.object({
  authority: z.string().trim().min(1, 'must name who allows it').max(200, 'is longer than 200 characters'),
  reason: why('must say why the contact time need not be reached'),
})

export const incidentClose = z.object({
  at: instant,
  person,
  checks: z.array(reopeningCheck),
  note: note.optional(),
  exception: exception.nullable().optional(),
})
export type IncidentClose = z.input<typeof incidentClose>

const basis: z.ZodType<Basis> = z.object({ citation: z.string(), says: z.string(), doubt: z.string().nullable() })
const contactModel = z.object({
  protocol: z
    .object({
      key: z.enum(PROTOCOL_KEYS),
      freeChlorineMgL: z.number(),
      holdMin: z.number(),
      ctMgMinL: z.number(),
      countsAbove: z.boolean(),
      phMax: z.number(),
      tempMinC: z.number(),
    })
    .nullable(),
  because: phrase.nullable(),
  cyanuricAcidMissing: z.boolean(),
  state: z.enum(CONTACT_STATES),
  ctMgMinL: z.number(),
  share: z.number().nullable(),
  startedAtMs: z.number().nullable(),
  asOfMs: z.number().nullable(),
  reachedAtMs: z.number().nullable(),
  earliestMs: z.number().nullable(),
  longestStretchMin: z.number(),
  readings: z.array(
    z.object({
      atMs: z.number(),
      freeChlorineMgL: z.number(),
      ph: z.number().nullable(),
      tempC: z.number().nullable(),
      counts: z.boolean(),
      why: z.array(phrase),
      ctMgMinL: z.number(),
    }),
  ),
})
/** The contact time as the chemistry package works it out; its times are milliseconds since 1970. */
export const contactTime: z.ZodType<ContactTime> = contactModel

const step: z.ZodType<ResponseStep> = z.object({
  key: z.string(),
  text: phrase,
  notes: z.array(phrase),
  state: z.enum(['done', 'now', 'later']),
  citation: z.string().nullable(),
})

/** How it was closed, with the contact time as tests had proved it then. */
export const closing = z.object({
  at: instant,
  person,
  checks: z.array(reopeningCheck),
  note,
  exception: exception.nullable(),
  contact: contactTime,
  /** Whose word it was that was relied on. */
  basis: z.array(basis),
})

export const incident = model.extend({
  id,
  bodyId: id,
  bodyName: z.string(),
  facilityId: id,
  facilityName: z.string(),
  timeZone: z.string(),
  /** Who reported it, and when that was written down. */
  reportedBy: z.string(),
  createdAt: instant,
  /** How far the disinfection has come; of a closed one, had come. Null when the body is retired. */
  contact: contactTime.nullable(),
  closing: closing.nullable(),
})
export type Incident = z.infer<typeof incident>

export const incidentDetail = incident.extend({
  /** All versions, newest first. */
  versions: z.array(
    model.extend({ id, reason: z.string().nullable(), replacedAt: instant.nullable(), createdAt: instant }),
  ),
  /** What to do, in order; empty when it is closed. */
  steps: z.array(step),
  /** Whose word the level and the time are, and what speaks against them; empty where there is none to hold. */
  basis: z.array(basis),
  /** What keeps bathers out besides the contact time. */
  obstacles: z.array(phrase),
})
export type IncidentDetail = z.infer<typeof incidentDetail>

export const incidentsQuery = paging.extend({
  facilityId: id.optional(),
  bodyId: id.optional(),
  /** Only the open ones, or only the closed ones. */
  open: flag.optional(),
})

import {
  DRUM_CONTENTS,
  FEEDER_KINDS,
  FEEDER_ROLES,
  QUANTITIES,
  SANITIZER_SYSTEMS,
  SETTINGS,
  SEVERITIES,
  USE_CLASSES,
} from '@sightglass/chemistry'
import { z } from 'zod'

export const id = z.uuid('is not an id (a UUID such as 0199b0c4-7a1e-7000-8000-000000000000)').toLowerCase()
/** An instant with its offset or Z, ISO 8601. */
export const instant = z.iso.datetime({ offset: true, message: 'is not a time (write it as 2026-11-25T06:00:00Z)' })
export const name = z.string().trim().min(1, 'must not be empty').max(120, 'is longer than 120 characters')
export const note = z.string().trim().max(2000, 'is longer than 2,000 characters')
export const person = z.string().trim().min(1, 'must name the person').max(120, 'is longer than 120 characters')

const isZone = (zone: string) => {
  try {
    new Intl.DateTimeFormat('en-US', { timeZone: zone })
    return true
  } catch {
    return false
  }
}
export const timeZone = z.string().refine(isZone, 'is not a time zone (write it as America/Chicago)')

export const useClass = z.enum(USE_CLASSES)
export const setting = z.enum(SETTINGS)
export const sanitizerSystem = z.enum(SANITIZER_SYSTEMS)
export const feederRole = z.enum(FEEDER_ROLES)
export const feederKind = z.enum(FEEDER_KINDS)
export const drumContent = z.enum(DRUM_CONTENTS)
export const quantity = z.enum(QUANTITIES)
export const severity = z.enum(SEVERITIES)

/** A page of a list: how many to leave out and how many to give. */
export const paging = z.object({
  offset: z.coerce.number().int().min(0).max(1_000_000).default(0),
  limit: z.coerce.number().int().min(1).max(500).default(100),
})

/** Query strings carry words: 'true' and 'false'. */
export const flag = z.enum(['true', 'false']).transform((word) => word === 'true')

/** Words of one query parameter, repeated or with commas between; undefined when there are none. */
export const severalWords = (given: unknown) => {
  const all = (typeof given === 'string' ? given.split(',') : given) ?? []
  if (!Array.isArray(all)) return all
  const named = all.filter((word) => word !== '')
  return named.length > 0 ? named : undefined
}

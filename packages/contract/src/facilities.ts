import { z } from 'zod'
import {
  drumContent,
  feederKind,
  feederRole,
  id,
  instant,
  name,
  note,
  person,
  quantity,
  sanitizerSystem,
  setting,
  timeZone,
  useClass,
} from './primitives.ts'

const litres = z.number().positive('must be more than 0').max(50_000_000)
const stored = { id, retiredAt: instant.nullable(), createdAt: instant, updatedAt: instant }

/** What a person may set; the same object makes `create` (defaults added) and `edit` (all optional). */
const facilityModel = z.object({
  name,
  address: z.string().trim().max(300),
  /** The technicians' area that the facility lies in. */
  area: z.string().trim().max(60),
  timeZone,
  profileKey: z.string().min(1),
  contactName: z.string().trim().max(120),
  contactEmail: z.union([z.email(), z.literal('')]),
  contactPhone: z.string().trim().max(60),
  note,
})
export const facilityCreate = facilityModel
  .partial({
    address: true,
    area: true,
    contactName: true,
    contactEmail: true,
    contactPhone: true,
    note: true,
    profileKey: true,
  })
  .extend({ id: id.optional() })
export const facilityEdit = facilityModel.partial()
export const facility = facilityModel.extend({ ...stored })

const equipmentRoomModel = z.object({ facilityId: id, name, note })
export const equipmentRoomCreate = equipmentRoomModel.partial({ note: true }).extend({ id: id.optional() })
export const equipmentRoomEdit = equipmentRoomModel.omit({ facilityId: true }).partial()
export const equipmentRoom = equipmentRoomModel.extend(stored)

const bodyModel = z.object({
  facilityId: id,
  equipmentRoomId: id.nullable(),
  name,
  useClass,
  setting,
  sanitizerSystem,
  /** Whether the water is meant to hold cyanuric acid (stabilized products are used). */
  cyanuricAcidUsed: z.boolean(),
  volumeL: litres.nullable(),
  surfaceM2: z.number().positive().max(50_000).nullable(),
  flowLMin: z.number().positive().max(200_000).nullable(),
  note,
})
export const bodyCreate = bodyModel
  .partial({ equipmentRoomId: true, volumeL: true, surfaceM2: true, flowLMin: true, note: true })
  .extend({ id: id.optional() })
export const bodyEdit = bodyModel.omit({ facilityId: true }).partial()
export const body = bodyModel.extend(stored)

const controllerModel = z.object({ equipmentRoomId: id, name, note })
export const controllerCreate = controllerModel.partial({ note: true }).extend({ id: id.optional() })
export const controllerEdit = controllerModel.omit({ equipmentRoomId: true }).partial()
export const controller = controllerModel.extend(stored)

const channelModel = z.object({ controllerId: id, bodyId: id, quantity })
export const channelCreate = channelModel.extend({ id: id.optional() })
export const channel = channelModel.extend(stored)

const drumModel = z.object({
  equipmentRoomId: id,
  name,
  content: drumContent,
  /** Per cent by weight of the active substance, trade per cent for sodium hypochlorite. */
  strengthPct: z.number().positive().max(100).nullable(),
  capacityL: litres,
  note,
})
export const drumCreate = drumModel.partial({ strengthPct: true, note: true }).extend({ id: id.optional() })
export const drumEdit = drumModel.omit({ equipmentRoomId: true }).partial()
export const drum = drumModel.extend(stored)

const minutes = z.number().positive('must be more than 0').max(1440, 'must be at most a day')
const feederModel = z.object({
  bodyId: id,
  drumId: id.nullable(),
  name,
  role: feederRole,
  kind: feederKind,
  /** What it delivers at 100 %: litres per hour from a pump. */
  rateLH: z.number().positive().max(10_000).nullable(),
  /** How its controller is set: the longest on-time, the wait after it, and the band. */
  onTimeMin: minutes.nullable(),
  waitMin: minutes.nullable(),
  /** Distance from the set point at which it feeds all of the on-time: mV, or pH for a pH feeder. */
  band: z.number().positive('must be more than 0').max(500, 'must be at most 500').nullable(),
  note,
})
export const feederCreate = feederModel
  .partial({ drumId: true, rateLH: true, onTimeMin: true, waitMin: true, band: true, note: true })
  .extend({ id: id.optional() })
export const feederEdit = feederModel.omit({ bodyId: true }).partial()
export const feeder = feederModel.extend(stored)

/** A drum's level as read, and what was filled in just before. */
export const drumLevelCreate = z.object({
  id: id.optional(),
  at: instant,
  levelL: z.number().min(0, 'must not be under 0').max(50_000),
  deliveredL: z.number().min(0, 'must not be under 0').max(50_000).default(0),
  person,
})
export const drumLevel = z.object({ id, drumId: id, at: instant, levelL: z.number(), deliveredL: z.number(), person })

/** Everything that stands at one facility, retired things only when asked for. */
export const plant = z.object({
  facility,
  equipmentRooms: z.array(equipmentRoom),
  bodies: z.array(body),
  controllers: z.array(controller),
  channels: z.array(channel),
  feeders: z.array(feeder),
  drums: z.array(drum.extend({ lastLevel: drumLevel.nullable() })),
})

export const facilityListed = facility.extend({ bodies: z.number().int() })

export type Facility = z.infer<typeof facility>
export type FacilityListed = z.infer<typeof facilityListed>
export type EquipmentRoom = z.infer<typeof equipmentRoom>
export type Body = z.infer<typeof body>
export type Controller = z.infer<typeof controller>
export type Channel = z.infer<typeof channel>
export type Drum = z.infer<typeof drum>
export type DrumLevel = z.infer<typeof drumLevel>
export type Feeder = z.infer<typeof feeder>
export type Plant = z.infer<typeof plant>

import { asQueryable } from '../../platform/database.ts'
import { invalidAt, notFound } from '../../platform/problems.ts'
import { requireProfile } from '../profiles/index.ts'
import type { Tx } from './queries.ts'
import type { Kind, Settable } from './things.ts'

/** All that differs between the kinds. */
export interface Rules<K extends Kind> {
  word: string
  /** What is stored where the person gave nothing. */
  defaults: Partial<Settable<K>>
  /** Refuses things that do not exist, are retired, or stand in another facility. */
  check(tx: Tx, thing: { id: string } & Settable<K>): Promise<void>
  /** The bodies whose judgement rests on this thing. */
  bodies(tx: Tx, thing: { id: string } & Settable<K>): Promise<string[]>
  /** Retires what hangs on it. */
  retireParts(tx: Tx, id: string, at: Date): Promise<void>
}

const none = async () => {}
const active = { retiredAt: null }
const ids = (rows: { id: string }[]) => rows.map(({ id }) => id)
const bodyIds = (rows: { bodyId: string }[]) => [...new Set(rows.map(({ bodyId }) => bodyId))]

export const KINDS: { [K in Kind]: Rules<K> } = {
  facility: {
    word: 'facility',
    defaults: { address: '', area: '', contactName: '', contactEmail: '', contactPhone: '', note: '' },
    check: (tx, { profileKey }) => requireProfile(asQueryable(tx), profileKey, 'body.profileKey'),
    bodies: async (tx, { id }) => ids(await tx.body.findMany({ where: { facilityId: id, ...active } })),
    async retireParts(tx, facilityId, retiredAt) {
      const inRooms = { equipmentRoom: { facilityId }, ...active }
      const data = { retiredAt }
      await tx.channel.updateMany({ where: { body: { facilityId }, ...active }, data })
      await tx.feeder.updateMany({ where: { body: { facilityId }, ...active }, data })
      await tx.controller.updateMany({ where: inRooms, data })
      await tx.drum.updateMany({ where: inRooms, data })
      await tx.equipmentRoom.updateMany({ where: { facilityId, ...active }, data })
      await tx.body.updateMany({ where: { facilityId, ...active }, data })
    },
  },
  equipmentRoom: {
    word: 'equipment room',
    defaults: { note: '' },
    check: async (tx, { facilityId }) => void (await activeFacility(tx, facilityId)),
    bodies: async (tx, { id }) => ids(await tx.body.findMany({ where: { equipmentRoomId: id, ...active } })),
    // the water stays when its room goes: bodies stand without a room, feeders without a drum
    async retireParts(tx, equipmentRoomId, retiredAt) {
      const data = { retiredAt }
      await tx.channel.updateMany({ where: { controller: { equipmentRoomId }, ...active }, data })
      await tx.controller.updateMany({ where: { equipmentRoomId, ...active }, data })
      await tx.feeder.updateMany({ where: { drum: { equipmentRoomId }, ...active }, data: { drumId: null } })
      await tx.drum.updateMany({ where: { equipmentRoomId, ...active }, data })
      await tx.body.updateMany({ where: { equipmentRoomId, ...active }, data: { equipmentRoomId: null } })
    },
  },
  body: {
    word: 'body of water',
    defaults: { equipmentRoomId: null, volumeL: null, surfaceM2: null, flowLMin: null, note: '' },
    async check(tx, { facilityId, equipmentRoomId }) {
      await activeFacility(tx, facilityId)
      if (equipmentRoomId === null) return
      const room = await activeRoom(tx, equipmentRoomId)
      sameFacility(room.facilityId, facilityId, 'body.equipmentRoomId', 'equipment room')
    },
    bodies: async (_tx, { id }) => [id],
    async retireParts(tx, bodyId, retiredAt) {
      await tx.channel.updateMany({ where: { bodyId, ...active }, data: { retiredAt } })
      await tx.feeder.updateMany({ where: { bodyId, ...active }, data: { retiredAt } })
    },
  },
  controller: {
    word: 'controller',
    defaults: { note: '' },
    check: async (tx, { equipmentRoomId }) => void (await activeRoom(tx, equipmentRoomId)),
    bodies: async (tx, { id }) => bodyIds(await tx.channel.findMany({ where: { controllerId: id, ...active } })),
    async retireParts(tx, controllerId, retiredAt) {
      await tx.channel.updateMany({ where: { controllerId, ...active }, data: { retiredAt } })
    },
  },
  channel: {
    word: 'channel',
    defaults: {},
    async check(tx, { controllerId, bodyId }) {
      const controller = found(
        await tx.controller.findUnique({ where: { id: controllerId }, include: { equipmentRoom: true } }),
        'controller',
        'body.controllerId',
      )
      const body = await activeBody(tx, bodyId)
      sameFacility(controller.equipmentRoom.facilityId, body.facilityId, 'body.controllerId', 'controller')
    },
    bodies: async (_tx, { bodyId }) => [bodyId],
    retireParts: none,
  },
  drum: {
    word: 'drum',
    defaults: { strengthPct: null, note: '' },
    async check(tx, { id, equipmentRoomId, content }) {
      await activeRoom(tx, equipmentRoomId)
      for (const { role } of await tx.feeder.findMany({ where: { drumId: id, ...active } }))
        refuseWrongContent(role, content, 'body.content')
    },
    bodies: async (tx, { id }) => bodyIds(await tx.feeder.findMany({ where: { drumId: id, ...active } })),
    async retireParts(tx, drumId) {
      await tx.feeder.updateMany({ where: { drumId, ...active }, data: { drumId: null } })
    },
  },
  feeder: {
    word: 'feeder',
    defaults: { drumId: null, rateLH: null, onTimeMin: null, waitMin: null, band: null, note: '' },
    async check(tx, { bodyId, drumId, role }) {
      const body = await activeBody(tx, bodyId)
      if (drumId === null) return
      const drum = found(
        await tx.drum.findUnique({ where: { id: drumId }, include: { equipmentRoom: true } }),
        'drum',
        'body.drumId',
      )
      sameFacility(drum.equipmentRoom.facilityId, body.facilityId, 'body.drumId', 'drum')
      refuseWrongContent(role, drum.content, 'body.drumId')
    },
    bodies: async (_tx, { bodyId }) => [bodyId],
    retireParts: none,
  },
}

const activeFacility = async (tx: Tx, id: string) =>
  found(await tx.facility.findUnique({ where: { id } }), 'facility', 'body.facilityId')
const activeRoom = async (tx: Tx, id: string) =>
  found(await tx.equipmentRoom.findUnique({ where: { id } }), 'equipment room', 'body.equipmentRoomId')
const activeBody = async (tx: Tx, id: string) =>
  found(await tx.body.findUnique({ where: { id } }), 'body of water', 'body.bodyId')

function found<Row extends { retiredAt: Date | null }>(row: Row | null, word: string, path: string): Row {
  if (!row) throw invalidAt(path, `There is no such ${word}.`)
  if (row.retiredAt) throw invalidAt(path, `This ${word} is retired.`)
  return row
}

function sameFacility(a: string, b: string, path: string, word: string) {
  if (a !== b) throw invalidAt(path, `This ${word} stands in another facility than the body of water.`)
}

const ACIDS = ['hydrochloricAcid', 'sulfuricAcid', 'sodiumBisulfate']
const LOWERS_PH = [...ACIDS, 'carbonDioxide']

/** A feeder on the wrong drum lets two chemicals meet in its pipe. */
function refuseWrongContent(role: string, content: string, path: string) {
  const forPh = LOWERS_PH.includes(content)
  if (forPh === (role === 'ph')) return
  const gas = ACIDS.includes(content) || !forPh ? ' Acid and a chlorine product in one pipe make chlorine gas.' : ''
  const message = forPh
    ? 'Only a pH feeder may draw from this drum.'
    : 'A pH feeder must not draw from a drum of sanitizer.'
  throw invalidAt(path, message + gas)
}

/** For paths: what the address names must exist. */
export const missing = (kind: Kind, id: string) => notFound(KINDS[kind].word, id)

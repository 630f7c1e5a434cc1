import type { FacilityListed, Plant } from '@sightglass/contract'
import type { Database, PrismaTransaction, Queryable } from '../../platform/database.ts'
import type { Kind, Things } from './things.ts'

export type Tx = PrismaTransaction

/** A stored row: the contract's thing with its times still as dates. */
export type Row<K extends Kind> = {
  [Key in keyof Things[K]]: Key extends `${string}At` ? Stored<Things[K][Key]> : Things[K][Key]
}
type Stored<Time> = null extends Time ? Date | null : Date

interface Table<K extends Kind> {
  findUnique(query: { where: { id: string } }): Promise<Row<K> | null>
  create(query: { data: object }): Promise<Row<K>>
  update(query: { where: { id: string }; data: object }): Promise<Row<K>>
}

/** Prisma's delegates of the seven kinds share one form; the contract has checked what goes in and shapes what comes out. */
export const tableOf = <K extends Kind>(tx: Tx, kind: K) => tx[kind] as unknown as Table<K>

/** Writes of plant stand in one line: they are rare, and so no body is added to a facility that is being retired, and
 *  the same id sent twice at once makes one thing. */
export function inPlantTransaction<Result>({ prisma }: Database, work: (tx: Tx) => Promise<Result>): Promise<Result> {
  return prisma.$transaction(
    async (tx) => {
      await tx.$executeRaw`SELECT pg_advisory_xact_lock(hashtext('plant'))`
      return work(tx)
    },
    { maxWait: 10_000, timeout: 20_000 },
  )
}

/** Facilities by name with their number of bodies: one query. */
export async function selectFacilities(
  client: Queryable,
  filter: { pattern: string | null; retired: boolean; limit: number; offset: number },
) {
  const { rows } = await client.query<{ total: number; items: FacilityRow[] }>(SELECT_FACILITIES, [
    filter.pattern,
    filter.retired,
    filter.limit,
    filter.offset,
  ])
  return rows[0] ?? { total: 0, items: [] }
}

// made as JSON by the database: times are text already
type FacilityRow = FacilityListed

const SELECT_FACILITIES = `
WITH found AS (
  SELECT * FROM facility f
  WHERE ($2 OR f.retired_at IS NULL)
    AND ($1::text IS NULL OR f.name ILIKE $1 OR f.area ILIKE $1 OR f.address ILIKE $1)
), page AS (
  SELECT f.id, f.name, f.address, f.area, f.time_zone AS "timeZone", f.profile_key AS "profileKey",
    f.contact_name AS "contactName", f.contact_email AS "contactEmail", f.contact_phone AS "contactPhone", f.note,
    f.retired_at AS "retiredAt", f.created_at AS "createdAt", f.updated_at AS "updatedAt",
    (SELECT count(*) FROM body b WHERE b.facility_id = f.id AND (b.retired_at IS NULL OR f.retired_at IS NOT NULL)) AS bodies
  FROM found f ORDER BY lower(f.name), f.id LIMIT $3 OFFSET $4
)
SELECT (SELECT count(*) FROM found) AS total, coalesce((SELECT json_agg(page) FROM page), '[]') AS items`

/** Everything of one facility: a fixed number of queries, whatever stands there. */
export async function selectPlant({ prisma, pool }: Database, facilityId: string, retired: boolean) {
  const facility = await prisma.facility.findUnique({ where: { id: facilityId } })
  if (!facility) return null
  const shown = retired ? {} : { retiredAt: null }
  const inRooms = { ...shown, equipmentRoom: { facilityId } }
  const ofBodies = { ...shown, body: { facilityId } }
  const byName = { orderBy: { name: 'asc' } } as const
  const [equipmentRooms, bodies, controllers, channels, feeders, drums, levels] = await Promise.all([
    prisma.equipmentRoom.findMany({ where: { ...shown, facilityId }, ...byName }),
    prisma.body.findMany({ where: { ...shown, facilityId }, ...byName }),
    prisma.controller.findMany({ where: inRooms, ...byName }),
    prisma.channel.findMany({ where: ofBodies, orderBy: [{ controllerId: 'asc' }, { createdAt: 'asc' }] }),
    prisma.feeder.findMany({ where: ofBodies, ...byName }),
    prisma.drum.findMany({ where: inRooms, ...byName }),
    pool.query<LevelRow>(SELECT_LAST_LEVELS, [facilityId]),
  ])
  const lastLevel = new Map(levels.rows.map((level) => [level.drumId, level]))
  return {
    facility,
    equipmentRooms,
    bodies,
    controllers,
    channels,
    feeders,
    drums: drums.map((drum) => ({ ...drum, lastLevel: lastLevel.get(drum.id) ?? null })),
  }
}

export type LevelRow = Omit<NonNullable<Plant['drums'][number]['lastLevel']>, 'at'> & { at: Date }

const LEVEL_COLUMNS = `id, drum_id AS "drumId", at, level_l AS "levelL", delivered_l AS "deliveredL", person`

const SELECT_LAST_LEVELS = `
SELECT l.* FROM equipment_room r JOIN drum d ON d.equipment_room_id = r.id
CROSS JOIN LATERAL (
  SELECT ${LEVEL_COLUMNS} FROM drum_level WHERE drum_id = d.id ORDER BY at DESC, id DESC LIMIT 1
) l WHERE r.facility_id = $1`

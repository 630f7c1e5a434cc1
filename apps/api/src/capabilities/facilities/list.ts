import type { Plant } from '@sightglass/contract'
import type { Deps } from '../../platform/context.ts'
import { containsPattern } from '../../platform/search.ts'
import { missing } from './kinds.ts'
import { selectFacilities, selectPlant } from './queries.ts'
import { show } from './show.ts'

export async function listFacilities(
  { database }: Deps,
  query: { q?: string | undefined; retired?: boolean | undefined; offset: number; limit: number },
) {
  const { q, retired = false, ...page } = query
  return selectFacilities(database.pool, { pattern: containsPattern(q), retired, ...page })
}

export async function getPlant({ database }: Deps, facilityId: string, retired = false): Promise<Plant> {
  const plant = await selectPlant(database, facilityId, retired)
  if (!plant) throw missing('facility', facilityId)
  return {
    facility: show(plant.facility),
    equipmentRooms: plant.equipmentRooms.map(show),
    bodies: plant.bodies.map(show),
    controllers: plant.controllers.map(show),
    channels: plant.channels.map(show),
    feeders: plant.feeders.map(show),
    drums: plant.drums.map((drum) => ({ ...show(drum), lastLevel: drum.lastLevel && show(drum.lastLevel) })),
  } as Plant // the database's check constraints hold the words of the enums
}

import type { ProfileDetail } from '@sightglass/contract'
import type { Deps } from '../../platform/context.ts'
import { inTransaction } from '../../platform/database.ts'
import { conflict, notFound } from '../../platform/problems.ts'
import { knownProfiles, showProfile } from '../profiles/index.ts'
import { ownProfile } from './family.ts'
import { lockProfiles, markRetired } from './queries.ts'

const NAMED = 3

/** Takes a company's own profile out of use, while nothing is judged by it. Twice is once; its versions stay. */
export function retireProfile(
  deps: Deps,
  key: string,
  { person, reason }: { person: string; reason: string },
): Promise<ProfileDetail> {
  return inTransaction(deps.database.pool, async (client) => {
    await lockProfiles(client)
    const known = await knownProfiles(client)
    const there = known.get(key)
    if (!there) throw notFound('code profile', key)
    if (there.retiredAt) return showProfile(client, key)
    ownProfile(known, key)
    const { usedBy } = await showProfile(client, key)
    const users = [...usedBy.facilities, ...usedBy.profiles].map(({ name }) => name)
    if (users.length > 0) {
      const more = users.length > NAMED ? ` and ${users.length - NAMED} more` : ''
      throw conflict(
        `This code profile is in use: ${users.slice(0, NAMED).join(', ')}${more}. Choose another profile there first.`,
      )
    }
    await markRetired(client, key, person, reason, deps.now())
    return showProfile(client, key)
  })
}

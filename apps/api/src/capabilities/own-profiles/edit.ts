import type { ProfileDetail } from '@sightglass/contract'
import type { Deps } from '../../platform/context.ts'
import { inTransaction } from '../../platform/database.ts'
import { conflict } from '../../platform/problems.ts'
import { assessTouched, markDue } from '../assessment/index.ts'
import { knownProfiles, showProfile } from '../profiles/index.ts'
import { derived, type OwnRules, refuseTaken, refuseUnconfirmed } from './check.ts'
import { familyWith, ownProfile } from './family.ts'
import { insertVersion, lockProfiles, renameProfile, selectJudged } from './queries.ts'

type Given = OwnRules & { name: string; person: string; reason: string; version: number }

/** More bodies than this are left to the schedule, which finds them within a minute. */
const AT_ONCE = 500

/** Stores a new version of a company's own profile; all bodies that it or a profile derived from it judges are due at once. */
export async function editProfile(deps: Deps, key: string, given: Given): Promise<ProfileDetail> {
  const { name, person, reason, version, ...rules } = given
  const { detail, touched } = await inTransaction(deps.database.pool, async (client) => {
    await lockProfiles(client)
    const known = await knownProfiles(client)
    const before = ownProfile(known, key)
    if (version !== before.version) throw changedMeanwhile(before.version)
    refuseTaken(known, name, key)
    const profile = derived(before.parent.profile, { key, name }, rules)
    refuseUnconfirmed(profile, before.root, rules.overrides)
    const family = familyWith(profile, known)
    const at = deps.now()
    await insertVersion(client, { key, version: version + 1, name, person, reason, ...rules }, at)
    await renameProfile(client, key, name)
    const bodyIds = (await selectJudged(client, [...family.keys()])).map(({ id }) => id)
    await markDue(client, bodyIds, at)
    return { detail: await showProfile(client, key), touched: bodyIds }
  })
  await assessTouched(deps, touched.slice(0, AT_ONCE))
  return detail
}

const changedMeanwhile = (version: number) =>
  conflict(
    `Somebody stored version ${version} of this profile meanwhile. Look at it, then make your change to that version.`,
    [{ path: 'body.version', message: `is not the newest, ${version} is` }],
  )

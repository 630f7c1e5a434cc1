import type { ProfileDetail } from '@sightglass/contract'
import type { Deps } from '../../platform/context.ts'
import { inTransaction } from '../../platform/database.ts'
import { knownProfiles, showProfile, unknownProfile } from '../profiles/index.ts'
import { derived, nameTaken, type OwnRules, refuseTaken, refuseUnconfirmed } from './check.ts'
import { insertProfile, insertVersion, lockProfiles } from './queries.ts'

type Given = OwnRules & { name: string; parentKey: string; person: string }

const FIRST = 'First version'

/** Makes the company's own profile from another one, with the company's values in some of its rules. */
export function createProfile(deps: Deps, { name, parentKey, person, ...rules }: Given): Promise<ProfileDetail> {
  return inTransaction(deps.database.pool, async (client) => {
    await lockProfiles(client)
    const known = await knownProfiles(client)
    const parent = known.get(parentKey)
    if (!parent || parent.retiredAt) throw unknownProfile(known, parentKey, 'body.parentKey')
    refuseTaken(known, name)
    const wanted = keyOf(name)
    if (wanted !== NAMELESS && known.get(wanted)?.retiredAt === null) throw nameTaken(name)
    const key = freeKey(wanted, known)
    const profile = derived(parent.profile, { key, name }, rules)
    refuseUnconfirmed(profile, parent.root, rules.overrides)
    const at = deps.now()
    await insertProfile(client, { key, name, parentKey }, at)
    await insertVersion(client, { key, version: 1, name, person, reason: FIRST, ...rules }, at)
    return showProfile(client, key)
  })
}

/** 'Larkmead, stricter' is `own-larkmead-stricter`; the prefix keeps it apart from published ones, now and later. */
const keyOf = (name: string) => {
  const words = name
    .toLowerCase()
    .normalize('NFKD')
    .match(/[a-z0-9]+/g)
  return words ? `own-${words.join('-')}` : NAMELESS
}
/** For names without a letter or digit of the Latin alphabet. */
const NAMELESS = 'own-profile'

/** A retired profile keeps its key for its history. */
function freeKey(wanted: string, known: ReadonlyMap<string, unknown>): string {
  let key = wanted
  for (let count = 2; known.has(key); count++) key = `${wanted}-${count}`
  return key
}

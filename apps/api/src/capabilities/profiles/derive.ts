import { BadRuleValue, deriveProfile, type ProfileOverride, UnknownRule } from '@sightglass/chemistry'
import type { Deps } from '../../platform/context.ts'
import { inTransaction } from '../../platform/database.ts'
import { conflict, invalid } from '../../platform/problems.ts'
import { type KnownProfile, knownProfiles } from './known.ts'
import { insertProfile } from './queries.ts'

interface Given {
  name: string
  parentKey: string
  overrides: ProfileOverride[]
}

/** Makes the company's own profile from another one, with the company's values in some of its rules. */
export function createProfile({ database, now }: Deps, { name, parentKey, overrides }: Given): Promise<KnownProfile> {
  return inTransaction(database.pool, async (client) => {
    const known = await knownProfiles(client)
    const parent = known.get(parentKey)
    if (!parent)
      throw refused(
        'body.parentKey',
        `There is no code profile '${parentKey}'. There are: ${[...known.keys()].join(', ')}.`,
      )
    const taken = [...known.values()].some(({ profile }) => profile.name.toLowerCase() === name.toLowerCase())
    const key = keyOf(name)
    if (taken || known.has(key))
      throw conflict(`Another code profile has the name '${name}' or one like it already.`, [
        { path: 'body.name', message: 'is taken' },
      ])
    refuseTwice(overrides)
    const profile = derived(parent, { key, name }, overrides)
    await insertProfile(client, { key, name, parentKey, overrides }, now())
    return { profile, overrides }
  })
}

/** 'Larkmead, stricter' is `own-larkmead-stricter`; the prefix keeps it apart from published ones, now and later. */
const keyOf = (name: string) => {
  const words = name
    .toLowerCase()
    .normalize('NFKD')
    .match(/[a-z0-9]+/g)
  return `own-${words?.join('-') ?? 'profile'}`
}

function derived(parent: KnownProfile, own: { key: string; name: string }, overrides: ProfileOverride[]) {
  try {
    return deriveProfile(parent.profile, own, overrides)
  } catch (error) {
    if (!(error instanceof UnknownRule || error instanceof BadRuleValue)) throw error
    const index = overrides.findIndex(({ ruleKey }) => ruleKey === error.ruleKey)
    const field = error instanceof UnknownRule ? 'ruleKey' : 'value'
    throw refused(`body.overrides.${index}.${field}`, error.message)
  }
}

function refuseTwice(overrides: ProfileOverride[]) {
  const index = overrides.findIndex(({ ruleKey }, i) => overrides.findIndex((other) => other.ruleKey === ruleKey) < i)
  const twice = overrides[index]
  if (twice) throw refused(`body.overrides.${index}.ruleKey`, `The rule ${twice.ruleKey} is given twice.`)
}

const refused = (path: string, message: string) => invalid(`${path}: ${message}`, [{ path, message }])

import { assessWater, type CodeProfile, type Severity, severityRank } from '@sightglass/chemistry'
import type { ProfilePreviewed } from '@sightglass/contract'
import type { Deps } from '../../platform/context.ts'
import { equipmentOf, snapshotsFor } from '../assessment/index.ts'
import { type KnownProfile, knownProfiles, unknownProfile } from '../profiles/index.ts'
import { derived, type OwnRules } from './check.ts'
import { familyWith, ownProfile } from './family.ts'
import { type JudgedBody, selectJudged } from './queries.ts'

type Given = OwnRules & { profileKey?: string | undefined; parentKey?: string | undefined }

const SET = 250
/** Of more bodies than these only the first are judged both ways: it is a look, not a decision. */
const MOST = 2000
const SHOWN = 50

/** What a change would do to the bodies that the profile judges, or a new profile to those that its parent judges. Stores nothing. */
export async function previewProfile(
  deps: Deps,
  { profileKey, parentKey, ...rules }: Given,
): Promise<ProfilePreviewed> {
  const { pool } = deps.database
  const now = deps.now()
  const known = await knownProfiles(pool)
  const after = profileKey ? changed(known, profileKey, rules) : replaced(known, parentKey ?? '', rules)
  const bodies = await selectJudged(pool, [...after.keys()])
  const looked = bodies.slice(0, MOST)
  const names = new Map(looked.map((body) => [body.id, body]))
  const differing: ProfilePreviewed['changed'] = []
  let judged = 0
  for (let from = 0; from < looked.length; from += SET) {
    const ids = looked.slice(from, from + SET).map(({ id }) => id)
    const equipment = await equipmentOf(pool, ids)
    for (const { bodyId, profileKey: key, snapshot } of await snapshotsFor(pool, ids, now)) {
      const [old, next] = [known.get(key)?.profile, after.get(key)]
      if (!old || !next) continue
      judged++
      const under = (profile: CodeProfile) =>
        assessWater(snapshot, profile, +now, equipment.get(bodyId) ?? []).standing.severity
      const [before, then] = [under(old), under(next)]
      if (before !== then) differing.push(shown(names.get(bodyId), bodyId, before, then))
    }
  }
  differing.sort((a, b) => severityRank(a.after) - severityRank(b.after))
  return { bodies: bodies.length, judged, changed: differing.slice(0, SHOWN), changedTotal: differing.length }
}

/** The profiles as they would be, by the key that each body is judged by now. */
function changed(known: ReadonlyMap<string, KnownProfile>, key: string, rules: OwnRules): Map<string, CodeProfile> {
  const { parent, profile } = ownProfile(known, key)
  return familyWith(derived(parent.profile, profile, rules), known)
}

function replaced(known: ReadonlyMap<string, KnownProfile>, parentKey: string, rules: OwnRules) {
  const parent = known.get(parentKey)
  if (!parent || parent.retiredAt) throw unknownProfile(known, parentKey, 'body.parentKey')
  return new Map([[parentKey, derived(parent.profile, { key: 'preview', name: 'preview' }, rules)]])
}

const shown = (body: JudgedBody | undefined, bodyId: string, before: Severity, after: Severity) => ({
  bodyId,
  body: body?.body ?? '',
  facility: body?.facility ?? '',
  before,
  after,
})

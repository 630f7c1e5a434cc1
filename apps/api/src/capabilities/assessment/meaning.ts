import {
  assessRedox,
  type CodeProfile,
  type FeedView,
  type FindingKind,
  feedView,
  heldBack,
  noFeedView,
  noRedoxView,
  outOfUseNow,
  type Phrase,
  type RedoxView,
  redoxView,
  setPointAimFor,
} from '@sightglass/chemistry'
import type pg from 'pg'
import type { Deps } from '../../platform/context.ts'
import { inTransaction } from '../../platform/database.ts'
import { notFound } from '../../platform/problems.ts'
import { knownProfiles } from '../profiles/index.ts'
import { fullSnapshotsFor, withRedox } from './full.ts'
import { selectFeedDays, selectJudgedRedox, selectLoggedSetPoints, selectOpenKinds } from './meaningQueries.ts'
import { selectProfileKeys } from './queries.ts'
import { keptRedox, showsOrp } from './redoxStore.ts'
import type { BodySnapshot } from './snapshot.ts'

const said = (text: string): Phrase => ({ text, quantities: [] })
const RETIRED = said('This body of water is retired: nothing is worked out for it any more.')
const OUT_OF_USE = said('This body of water is out of use: nobody holds a set point in it, so nothing is worked out.')
const NO_TARGET = said(
  'The code profile asks for no least sanitizer here, so there is no target that a set point could hold.',
)

/** Without one of them a better set point is no reason to go. */
const CALLS_FOR_A_MOVE: readonly FindingKind[] = ['setPointOff', 'orpDrifted']

/** What ORP and pH of a body mean: as its findings have it, or worked out anew where something new came in since. */
export const getRedox = (deps: Deps, bodyId: string): Promise<RedoxView> =>
  withBody(deps, bodyId, async (client, known, profile) => {
    const now = deps.now()
    if (!known) return noRedoxView(+now, RETIRED)
    if (outOfUseNow(known.snapshot, +now)) return noRedoxView(+now, OUT_OF_USE)
    const aim = setPointAimFor(known.snapshot, profile)
    if (!aim) return noRedoxView(+now, NO_TARGET)
    const [found] = await withRedox(client, [known], now)
    if (!found) return noRedoxView(+now)
    const { record } = found
    const logged = await selectLoggedSetPoints(client, bodyId, now)
    const assessment = (await keptRedox(client, known, now)) ?? assessRedox(record, aim, +now)
    const kinds = await selectOpenKinds(client, bodyId)
    const beside = { ...assessment, advice: heldBack(assessment.advice, kinds) }
    const urgent = kinds.some((kind) => CALLS_FOR_A_MOVE.includes(kind))
    return redoxView({ record, assessment: beside, aim, logged, showsOrp: showsOrp(known), urgent })
  })

/** What the feeders of a body do, how long its drums last, and how its feeders should be set. */
export const getFeed = (deps: Deps, bodyId: string): Promise<FeedView> =>
  withBody(deps, bodyId, async (client, known, profile) => {
    const now = deps.now()
    if (!known) return noFeedView(+now, RETIRED)
    const days = await selectFeedDays(client, bodyId, now)
    const { snapshot } = known
    return feedView({ snapshot, profile, days, ...(await ownRelation(client, bodyId)), nowMs: +now })
  })

/** mV for ten times the acid, where this body's own pairs show it, and its set point: as it was last judged. */
async function ownRelation(client: pg.ClientBase, bodyId: string) {
  const judged = (await selectJudgedRedox(client, [bodyId])).get(bodyId)
  return {
    slopeMv: judged?.correlation === 'usable' ? judged.slopeMv.value : null,
    orpSetPointMv: judged?.advice.nowMv ?? null,
  }
}

/** The body with the weeks before and its code profile; `known` is undefined for one that is retired. */
function withBody<Answer>(
  deps: Deps,
  bodyId: string,
  work: (client: pg.ClientBase, known: BodySnapshot | undefined, profile: CodeProfile) => Promise<Answer>,
): Promise<Answer> {
  return inTransaction(deps.database.pool, async (client) => {
    const profileKey = (await selectProfileKeys(client, [bodyId])).get(bodyId)
    if (profileKey === undefined) throw notFound('body of water', bodyId)
    const profile = (await knownProfiles(client)).get(profileKey)?.profile
    if (!profile) throw new Error(`there is no code profile ${profileKey}`)
    const [known] = await fullSnapshotsFor(client, [bodyId], deps.now())
    return work(client, known, profile)
  })
}

import { assess, type CodeProfile, type Severity, type Snapshot, severityRank, suppliesOf } from '@sightglass/chemistry'
import type { Deps } from '../../platform/context.ts'
import { inTransaction, type Queryable } from '../../platform/database.ts'
import { type KnownProfile, knownProfiles } from '../profiles/index.ts'
import { fullSnapshotsFor } from './full.ts'
import { forgetStandings, lockDueStandings, lockStandings, selectTraces, type TraceRow } from './queries.ts'
import { withJudgedRedox } from './redoxStore.ts'
import type { BodySnapshot } from './snapshot.ts'
import { closeAll, type Judged, storeJudgements } from './store.ts'
import { traceStart, viewOf } from './view.ts'

const BATCH = 500
/** While the database works on one set, this process works on another. */
const SETS_AT_ONCE = 2
/** Days left and the seven-day trace move with time even when no finding can change. */
const RENEW_AFTER_MS = 60 * 60_000
const SOONEST_MS = 60_000

/** Assesses these bodies anew, in sets. Returns how many. */
export async function assessBodies(deps: Deps, bodyIds: readonly string[]): Promise<number> {
  const waiting = [...new Set(bodyIds)].sort()
  let assessed = 0
  const takeSets = async () => {
    for (let set = waiting.splice(0, BATCH); set.length > 0; set = waiting.splice(0, BATCH)) {
      const ids = set
      assessed += await assessSet(deps, (client) => lockStandings(client, ids))
    }
  }
  const ended = await Promise.allSettled(Array.from({ length: SETS_AT_ONCE }, takeSets))
  for (const end of ended) if (end.status === 'rejected') throw end.reason
  return assessed
}

/** Assesses one set of the bodies that are due. Returns how many there were: 0 when none is left. */
export const assessDue = (deps: Deps): Promise<number> =>
  assessSet(deps, (client) => lockDueStandings(client, deps.now(), BATCH))

/** After a write whose bodies are marked: a failure here loses nothing, the schedule finds them. */
export async function assessTouched(deps: Deps, bodyIds: readonly string[]): Promise<void> {
  if (bodyIds.length === 0 || deps.judgeLater) return
  await assessBodies(deps, bodyIds).catch((error) =>
    deps.logger.error({ err: error, bodies: bodyIds.length }, 'assessing after a write failed; the bodies stay due'),
  )
}

/** One set in one transaction: lock, look, judge, store. What was written before the lock is seen. */
function assessSet(deps: Deps, lock: (client: Queryable) => Promise<string[]>): Promise<number> {
  return inTransaction(deps.database.pool, async (client) => {
    const bodyIds = await lock(client)
    if (bodyIds.length === 0) return 0
    const now = deps.now()
    const profiles = await knownProfiles(client)
    const known = await fullSnapshotsFor(client, bodyIds, now)
    const snapshots = await withJudgedRedox(deps, client, known, profiles, now)
    const traces = new Map((await selectTraces(client, bodyIds, traceStart(now))).map((row) => [row.bodyId, row]))
    const judged = new Map(
      snapshots.map((one) => [one.bodyId, judge(deps, one, profiles, traces.get(one.bodyId), now)]),
    )
    await storeJudgements(client, judged, now)
    const retired = bodyIds.filter((id) => !judged.has(id))
    await closeAll(client, retired, now)
    await forgetStandings(client, retired)
    return bodyIds.length
  })
}

function judge(
  deps: Deps,
  { bodyId, profileKey, snapshot }: BodySnapshot,
  profiles: Map<string, KnownProfile>,
  trace: TraceRow | undefined,
  now: Date,
): Judged {
  try {
    const { profile } = profiles.get(profileKey) ?? missing(profileKey)
    const judgement = assess(snapshot, profile, +now)
    const { severity, score, parts } = judgement.standing
    const heard = Math.max(snapshot.lastTestAtMs ?? 0, snapshot.controller?.lastHeardAtMs ?? 0)
    return {
      findings: judgement.findings,
      standing: {
        ...standingOf(bodyId, severity, nextLook(judgement.dueAtMs, now)),
        score,
        parts,
        kinds: [...new Set(judgement.findings.map(({ kind }) => kind))],
        days_left: severity === 'outOfUse' ? null : daysLeft(snapshot, now),
        heard_at: heard > 0 ? new Date(heard) : null,
        view: viewOf(snapshot, profile, judgement, trace, now),
      },
    }
  } catch (error) {
    // one body that cannot be judged must not hold up the others, and must not look fine
    deps.logger.error({ err: error, bodyId }, 'a body cannot be judged')
    return { findings: [], standing: standingOf(bodyId, 'unheard', nextLook(null, now)) }
  }
}

/** Days until the first of its drums is empty; null when no drum tells. */
function daysLeft(snapshot: Snapshot, now: Date): number | null {
  const left = suppliesOf(snapshot, +now).flatMap(({ forecast }) => forecast?.daysLeft.typical ?? [])
  return left.length > 0 ? Math.min(...left) : null
}

const missing = (profileKey: string): { profile: CodeProfile } => {
  throw new Error(`there is no code profile ${profileKey}`)
}

const standingOf = (bodyId: string, severity: Severity, dueAt: Date) => ({
  body_id: bodyId,
  severity,
  severity_rank: severityRank(severity),
  score: null,
  parts: [],
  kinds: [],
  days_left: null,
  heard_at: null,
  view: null,
  due_at: dueAt,
})

function nextLook(dueAtMs: number | null, now: Date): Date {
  const soonest = +now + SOONEST_MS
  return new Date(Math.max(soonest, Math.min(dueAtMs ?? Infinity, +now + RENEW_AFTER_MS)))
}

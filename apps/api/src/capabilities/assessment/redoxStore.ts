import {
  assessRedox,
  type CodeProfile,
  type RedoxAssessment,
  type RedoxJudgement,
  type RedoxModel,
  redoxJudgement,
  setPointAimFor,
} from '@sightglass/chemistry'
import type pg from 'pg'
import type { Deps } from '../../platform/context.ts'
import type { Queryable } from '../../platform/database.ts'
import { withRedox } from './full.ts'
import type { BodySnapshot } from './snapshot.ts'

/** Probe and feed effort move with the hours, also between tests. */
const RENEW_HOURS = 6
/** As far back as a fit looks, with what it carries. */
const BASIS_DAYS = 150

/** Bodies with what their ORP means: as it was worked out last, or anew where something new came in since. */
export async function withJudgedRedox(
  deps: Pick<Deps, 'logger'>,
  client: pg.ClientBase,
  known: readonly BodySnapshot[],
  profiles: ReadonlyMap<string, { profile: CodeProfile }>,
  now: Date,
): Promise<BodySnapshot[]> {
  const heard = known.filter(showsOrp)
  const kept = new Map((await selectKept(client, heard, now)).map((row) => [row.bodyId, row]))
  const stale = heard.filter(({ bodyId }) => kept.get(bodyId)?.judgement == null)
  const fresh = await judgeAnew(deps, client, stale, profiles, now)
  await storeRedox(
    client,
    fresh.flatMap((one) => ({ ...one, basis: kept.get(one.bodyId)?.basis ?? '' })),
    now,
  )
  const judged = new Map(fresh.map(({ bodyId, judgement }) => [bodyId, judgement]))
  return known.map((one): BodySnapshot => {
    const redox = judged.get(one.bodyId) ?? kept.get(one.bodyId)?.judgement
    return redox ? { ...one, snapshot: { ...one.snapshot, redox } } : one
  })
}

/** What a body's ORP and pH mean as its findings have it; null where something new came in since. */
export async function keptRedox(client: Queryable, known: BodySnapshot, now: Date): Promise<RedoxAssessment | null> {
  const [kept] = await selectKept(client, [known], now)
  if (!kept?.judgement) return null
  const { rows } = await client.query<{ model: RedoxModel }>('SELECT model FROM redox WHERE body_id = $1', [
    known.bodyId,
  ])
  const { advice, drift, phProbe } = kept.judgement
  return rows[0] ? { model: rows[0].model, advice, drift, phProbe } : null
}

/** A controller without channels was never entered: its samples may hold ORP. */
export const showsOrp = ({ snapshot: { controller } }: BodySnapshot) =>
  controller !== null && (controller.channels.length === 0 || controller.channels.includes('orpMv'))

interface Judged {
  bodyId: string
  judgement: RedoxJudgement
  model: RedoxModel
}

async function judgeAnew(
  { logger }: Pick<Deps, 'logger'>,
  client: pg.ClientBase,
  stale: readonly BodySnapshot[],
  profiles: ReadonlyMap<string, { profile: CodeProfile }>,
  now: Date,
): Promise<Judged[]> {
  if (stale.length === 0) return []
  const records = await withRedox(client, stale, now)
  return records.flatMap(({ bodyId, profileKey, snapshot, record }): Judged[] => {
    const profile = profiles.get(profileKey)?.profile
    const aim = profile && setPointAimFor(snapshot, profile)
    if (!aim) return []
    try {
      const assessed = assessRedox(record, aim, +now)
      return [{ bodyId, model: assessed.model, judgement: redoxJudgement(assessed) }]
    } catch (error) {
      // what cannot be fitted must not keep the rest of the body from being judged
      logger.error({ err: error, bodyId }, 'what a body’s ORP means cannot be worked out')
      return []
    }
  })
}

interface Kept {
  bodyId: string
  /** Names all that it would be worked out from now: an export brings the ORP beside tests of days ago. */
  basis: string
  /** null where it was worked out from something else, too long ago, or never. */
  judgement: RedoxJudgement | null
}

/** Goes up whenever what is kept has another form, or would come out otherwise from the same: then all is worked out anew. */
const RULES = 2

const NEWEST = `count(*) || '/' || coalesce(date_part('epoch', max(greatest(created_at, replaced_at))), 0)`
const SELECT_KEPT = `
SELECT b.id AS "bodyId", b.basis, k.judgement
FROM (
  SELECT y.id, concat_ws(' ', 'rules ${RULES}', y.sanitizer_system, y.cyanuric_acid_used, f.profile_key, coalesce(f.updated_at, f.created_at),
    r.newest, w.newest, date_part('epoch', i.newest)) AS basis
  FROM body y JOIN facility f ON f.id = y.facility_id
  CROSS JOIN LATERAL (
    SELECT ${NEWEST} AS newest FROM reading WHERE body_id = y.id AND at > $2::timestamptz - interval '${BASIS_DAYS} days'
  ) r
  CROSS JOIN LATERAL (
    SELECT ${NEWEST} AS newest FROM work WHERE body_id = y.id AND at > $2::timestamptz - interval '${BASIS_DAYS} days'
  ) w
  CROSS JOIN LATERAL (
    SELECT max(finished_at) AS newest FROM import WHERE facility_id = f.id AND state = 'done'
  ) i
  WHERE y.id = ANY ($1)
) b
LEFT JOIN redox k ON k.body_id = b.id AND k.basis = b.basis AND k.assessed_at <= $2
  AND k.assessed_at > $2::timestamptz - interval '${RENEW_HOURS} hours'`

const selectKept = async (client: Queryable, bodies: readonly BodySnapshot[], now: Date) =>
  (await client.query<Kept>(SELECT_KEPT, [bodies.map(({ bodyId }) => bodyId), now])).rows

const storeRedox = (client: Queryable, judged: readonly (Judged & { basis: string })[], now: Date) =>
  client.query(
    `INSERT INTO redox (body_id, basis, assessed_at, judgement, model)
    SELECT "bodyId", basis, $2, judgement, model
    FROM jsonb_to_recordset($1::jsonb) AS j ("bodyId" uuid, basis text, judgement jsonb, model jsonb)
    ON CONFLICT (body_id) DO UPDATE SET basis = excluded.basis, assessed_at = excluded.assessed_at,
      judgement = excluded.judgement, model = excluded.model`,
    [JSON.stringify(judged), now],
  )

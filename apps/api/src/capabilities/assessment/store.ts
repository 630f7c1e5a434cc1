import { type Finding, followFindings } from '@sightglass/chemistry'
import { uuidv7 } from 'uuidv7'
import type { Queryable } from '../../platform/database.ts'
import {
  closeFindings,
  type FindingWrite,
  insertFindings,
  type OpenFinding,
  type StandingWrite,
  selectOpenFindings,
  updateFindings,
  updateStandings,
} from './queries.ts'

export interface Judged {
  findings: Finding[]
  standing: StandingWrite
}

/** Stores judgements in sets: findings open, are seen again or close; standings are renewed. */
export async function storeJudgements(client: Queryable, judged: ReadonlyMap<string, Judged>, now: Date) {
  const known = new Map<string, OpenFinding[]>([...judged.keys()].map((bodyId) => [bodyId, []]))
  for (const finding of await selectOpenFindings(client, [...judged.keys()])) known.get(finding.bodyId)?.push(finding)

  const opened: FindingWrite[] = []
  const seen: FindingWrite[] = []
  const closed: OpenFinding[] = []
  for (const [bodyId, { findings }] of judged) {
    const followed = followFindings(known.get(bodyId) ?? [], findings)
    opened.push(...followed.opened.map((found) => ({ body_id: bodyId, id: uuidv7(), found })))
    seen.push(...followed.seen.map(({ known: { id }, finding }) => ({ body_id: bodyId, id, found: finding })))
    closed.push(...followed.closed)
  }
  await closeFindings(client, closed, now)
  await updateFindings(client, seen, now)
  await insertFindings(client, opened, now)
  await updateStandings(
    client,
    [...judged.values()].map(({ standing }) => standing),
    now,
  )
}

/** Closes whatever is still open on bodies that are not judged any more. */
export async function closeAll(client: Queryable, bodyIds: readonly string[], now: Date) {
  await closeFindings(client, await selectOpenFindings(client, bodyIds), now)
}

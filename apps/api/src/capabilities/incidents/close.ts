import { isDeepStrictEqual } from 'node:util'
import {
  basisOf,
  type ContactTime,
  contactTime,
  incidentWater,
  REOPENING_CHECK_WORDS,
  REOPENING_CHECKS,
  renderPhrase,
  reopeningObstacles,
} from '@sightglass/chemistry'
import type { IncidentDetail, incidentClose } from '@sightglass/contract'
import type { z } from 'zod'
import type { Deps } from '../../platform/context.ts'
import { inTransaction, type Queryable } from '../../platform/database.ts'
import { conflict, invalidAt, notFound } from '../../platform/problems.ts'
import { refuseUnlikelyTime } from '../../platform/times.ts'
import { assessTouched, markDue, snapshotsFor } from '../assessment/index.ts'
import { lockBody } from '../facilities/index.ts'
import { knownProfiles } from '../profiles/index.ts'
import { getIncident } from './list.ts'
import { type IncidentRow, selectIncidents, updateClosed } from './queries.ts'

type Given = z.output<typeof incidentClose>

/** Closes an incident for good. The contact time must be reached, or somebody named allows it without. */
export async function closeIncident(
  deps: Deps,
  bodyId: string,
  incidentId: string,
  given: Given,
): Promise<IncidentDetail> {
  const at = refuseUnlikelyTime(given.at, deps.now(), 'body.at')
  const touched = await inTransaction(deps.database.pool, async (client) => {
    const body = await lockBody(client, bodyId)
    const [incident] = await selectIncidents(client, { bodyId, incidentId }, { limit: 1, offset: 0 })
    if (!body || !incident) throw notFound('incident', incidentId)
    if (incident.closedAt) {
      if (!sameClosing(incident, given, at)) throw closedAlready(incident)
      return []
    }
    if (body.retired) throw conflict('This body of water is retired: nobody will bathe in it, so nothing is opened.')
    if (at < incident.at) throw field('at', `${at.toISOString()} is before the incident, ${incident.at.toISOString()}.`)
    const contact = await judged(client, incident, given, at)
    const { person, note = '', exception = null } = given
    const checks = REOPENING_CHECKS.filter((check) => given.checks.includes(check))
    const basis = contact.protocol ? basisOf(contact.protocol, incident.instruction) : []
    await updateClosed(client, bodyId, incidentId, { at, person, closing: { checks, note, exception, contact, basis } })
    await markDue(client, [bodyId], deps.now())
    return [bodyId]
  })
  await assessTouched(deps, touched)
  return getIncident(deps, bodyId, incidentId)
}

/** As of the closing: what was tested later proves nothing for it. */
async function judged(client: Queryable, { id, bodyId }: IncidentRow, given: Given, at: Date): Promise<ContactTime> {
  const missing = REOPENING_CHECKS.filter((check) => !given.checks.includes(check))
  if (missing.length > 0)
    throw field(
      'checks',
      `must all be confirmed. Missing: ${missing.map((key) => REOPENING_CHECK_WORDS[key]).join('; ')}.`,
    )
  const [known] = await snapshotsFor(client, [bodyId], at)
  const facts = known?.snapshot.incidents.find((one) => one.id === id)
  if (!known || !facts) throw notFound('incident', id)
  const contact = contactTime(facts, incidentWater(known.snapshot), +at)
  if (contact.state !== 'reached' && !given.exception)
    throw contradiction('exception', `${stateWords(contact)} Go on, or name who allows it and why.`)
  const profile = (await knownProfiles(client)).get(known.profileKey)?.profile
  if (!profile) throw conflict(`There is no code profile ${known.profileKey}: nobody can say what bathers may be in.`)
  const obstacles = reopeningObstacles(known.snapshot, profile, facts, contact, +at)
  if (obstacles.length > 0)
    throw contradiction('checks', obstacles.map((phrase) => renderPhrase(phrase, 'metric')).join(' '))
  return contact
}

function stateWords({ state, because, share, ctMgMinL, protocol }: ContactTime): string {
  if (because) return renderPhrase(because, 'metric')
  const needed = protocol?.ctMgMinL ?? 0
  const pct = Math.floor((share ?? 0) * 100)
  const so = state === 'notStarted' ? 'has not started' : `is not reached: tests prove ${pct} %`
  return `The contact time ${so} (CT ${Math.floor(ctMgMinL)} of ${Math.ceil(needed)} mg·min/L).`
}

const sameClosing = ({ closedAt, closedBy, closing }: IncidentRow, given: Given, at: Date) =>
  closing !== null &&
  +(closedAt ?? 0) === +at &&
  closedBy === given.person &&
  closing.note === (given.note ?? '') &&
  closing.checks.every((check) => given.checks.includes(check)) &&
  isDeepStrictEqual(closing.exception, given.exception ?? null)

const closedAlready = ({ closedAt, closedBy }: IncidentRow) =>
  conflict(`${closedBy} closed this incident at ${closedAt?.toISOString()}. If it was too early, report it anew.`)

const field = (name: string, message: string) => invalidAt(`body.${name}`, message)
const contradiction = (name: string, message: string) => conflict(message, [{ path: `body.${name}`, message }])

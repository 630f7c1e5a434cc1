'use client'
import type { Incident, Overview } from '@sightglass/contract'
import Link from 'next/link'
import { BodyCrumbs } from '../../shared/BodyCrumbs.tsx'
import { ProblemNote } from '../../shared/Problem.tsx'
import { SeverityLabel } from '../../shared/Severity.tsx'
import { exactTime } from '../../shared/time.ts'
import { useCall } from '../../shared/useCall.ts'
import { useNow } from '../../shared/useNow.ts'
import { MOST_LISTED, stateWords, titleOf } from './prepare.ts'

const REFRESH_MS = 60_000

interface Given extends Pick<Overview, 'body' | 'facility'> {
  initial: { items: Incident[]; total: number }
  at: string
}

/** The incidents of one body, newest first. */
export function IncidentListScreen({ body, facility, initial, at }: Given) {
  const query = { bodyId: body.id, limit: MOST_LISTED }
  const { data = initial, error } = useCall('listIncidents', { query }, { initial, every: REFRESH_MS })
  const now = useNow(at)
  return (
    <main className="page" id="main">
      <BodyCrumbs facility={facility} body={body} />
      <h1>Incidents of {body.name}</h1>
      {error && <ProblemNote error={error}> What is below may be old.</ProblemNote>}
      {data.total > data.items.length && (
        <p className="faint">
          The newest {data.items.length} of {data.total}.
        </p>
      )}
      {data.items.length === 0 ? (
        <p>None was ever reported.</p>
      ) : (
        <ul className="plain-list incident-list">
          {data.items.map((incident) => (
            <li key={incident.id}>
              <Link href={`/bodies/${body.id}/incidents/${incident.id}`} prefetch={false}>
                {titleOf(incident)},{' '}
                <span suppressHydrationWarning>{exactTime(incident.at, facility.timeZone, now)}</span>
              </Link>
              <span suppressHydrationWarning>{stateWords(incident, now)}</span>
              {!incident.closing && incident.contact && <SeverityLabel severity="close" />}
            </li>
          ))}
        </ul>
      )}
      {!body.retiredAt && (
        <p className="buttons">
          <Link className="button quiet" href={`/bodies/${body.id}/incidents/new`}>
            Report an incident
          </Link>
        </p>
      )}
    </main>
  )
}

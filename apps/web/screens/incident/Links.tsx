import type { Overview } from '@sightglass/contract'
import Link from 'next/link'

/** From a body's page: what is open first, then a way to report something. */
export function IncidentLinks({ overview: { body, findings } }: { overview: Overview }) {
  const open = findings.filter(({ kind }) => kind === 'incidentOpen')
  return (
    <>
      {open.map(({ id, subject }) => (
        <Link key={id} className="button" href={`/bodies/${body.id}/incidents/${subject}`}>
          The open incident
        </Link>
      ))}
      {!body.retiredAt && (
        <Link className="button quiet" href={`/bodies/${body.id}/incidents/new`}>
          Report an incident
        </Link>
      )}
      <Link className="button quiet" href={`/bodies/${body.id}/incidents`}>
        Incidents
      </Link>
    </>
  )
}

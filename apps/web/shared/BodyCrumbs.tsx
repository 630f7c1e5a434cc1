import type { Body, Facility } from '@sightglass/contract'
import Link from 'next/link'

/** The way from the morning list to a body's own screens. */
export function BodyCrumbs({
  facility,
  body,
}: {
  facility: Pick<Facility, 'id' | 'name'>
  body?: Pick<Body, 'id' | 'name'>
}) {
  return (
    <nav aria-label="Where you are" className="crumbs">
      <Link href="/">Triage</Link> <span aria-hidden="true">/</span>{' '}
      <Link href={`/facilities/${facility.id}`}>{facility.name}</Link>
      {body && (
        <>
          {' '}
          <span aria-hidden="true">/</span> <Link href={`/bodies/${body.id}`}>{body.name}</Link>
        </>
      )}
    </nav>
  )
}

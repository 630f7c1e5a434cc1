'use client'
import Link from 'next/link'
import { useRouter } from 'next/navigation'
import { useZone } from '../../shared/useZone.ts'
import { fieldsOf } from './kinds.ts'
import { ThingForm } from './ThingForm.tsx'

export function NewFacilityScreen({ profiles }: { profiles: { value: string; label: string }[] }) {
  const router = useRouter()
  const zone = useZone()
  return (
    <main className="page form-page" id="main">
      <nav aria-label="Where you are" className="crumbs">
        <Link href="/facilities">Facilities</Link>
      </nav>
      <h1>Create a facility</h1>
      {zone && (
        <ThingForm
          thing="facility"
          fields={fieldsOf('facility', null, profiles, zone)}
          stored={null}
          belongsTo={{}}
          onStored={({ id }) => router.push(`/facilities/${id}`)}
        />
      )}
    </main>
  )
}

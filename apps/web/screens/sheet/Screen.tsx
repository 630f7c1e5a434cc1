'use client'
import type { Plant, Profile } from '@sightglass/contract'
import { useRouter } from 'next/navigation'
import { FacilityPicker } from '../../shared/FacilityPicker.tsx'
import { SheetForm } from './SheetForm.tsx'

/** A whole paper log sheet at once. The facility stands in the address, so that the sheet of one can be linked to. */
export function SheetScreen({ plant, profile }: { plant: Plant | null; profile: Profile | null }) {
  const router = useRouter()
  return (
    <main className="page sheet-page" id="main">
      <h1>Log sheet</h1>
      <p className="lead">The whole paper sheet of one day at once. All of it is stored, or none.</p>
      <div className="narrow">
        <FacilityPicker
          label="Facility"
          picked={plant?.facility ?? null}
          onPick={(facility) => facility && router.push(`/readings/sheet?facilityId=${facility.id}`)}
        />
      </div>
      {plant && plant.bodies.length === 0 && (
        <p>
          {plant.facility.name} has no body of water yet. <a href={`/facilities/${plant.facility.id}`}>Add one</a>{' '}
          first.
        </p>
      )}
      {plant && plant.bodies.length > 0 && <SheetForm key={plant.facility.id} plant={plant} profile={profile} />}
    </main>
  )
}

import type { Metadata } from 'next'
import { profileOptions } from '../../../lib/profiles.ts'
import { NewFacilityScreen } from '../../../screens/facilities/NewScreen.tsx'

export const metadata: Metadata = { title: 'Create a facility' }
export const dynamic = 'force-dynamic'

export default async function Page() {
  return <NewFacilityScreen profiles={await profileOptions()} />
}

import type { Metadata } from 'next'
import { call } from '../../lib/api.ts'
import { firstData } from '../../lib/first.ts'
import { FacilitiesScreen } from '../../screens/facilities/ListScreen.tsx'
import { ProblemPage } from '../../shared/Problem.tsx'

export const metadata: Metadata = { title: 'Facilities' }
export const dynamic = 'force-dynamic'

export default async function Page() {
  const first = await firstData(() => call('listFacilities', { query: { limit: 200 } }))
  return 'problem' in first ? <ProblemPage problem={first.problem} /> : <FacilitiesScreen initial={first.data} />
}

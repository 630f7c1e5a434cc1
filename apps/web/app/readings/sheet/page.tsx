import type { Metadata } from 'next'
import { call, loaded } from '../../../lib/api.ts'
import { firstData } from '../../../lib/first.ts'
import { SheetScreen } from '../../../screens/sheet/Screen.tsx'
import { ProblemPage } from '../../../shared/Problem.tsx'

export const metadata: Metadata = { title: 'Log sheet' }

export default async function Page({ searchParams }: { searchParams: Promise<{ facilityId?: string }> }) {
  const { facilityId } = await searchParams
  if (!facilityId) return <SheetScreen plant={null} profile={null} />
  const first = await firstData(() => call('getPlant', { params: { facilityId } }))
  if ('problem' in first) return <ProblemPage problem={first.problem} />
  const profile = await loaded(() => call('getProfile', { params: { profileKey: first.data.facility.profileKey } }))
  return <SheetScreen plant={first.data} profile={'data' in profile ? profile.data.profile : null} />
}

import type { Metadata } from 'next'
import { call, loaded } from '../../../lib/api.ts'
import { firstData } from '../../../lib/first.ts'
import { ChooseScreen } from '../../../screens/reading/ChooseScreen.tsx'
import { NewReadingScreen } from '../../../screens/reading/NewScreen.tsx'
import { ProblemPage } from '../../../shared/Problem.tsx'

export const metadata: Metadata = { title: 'Enter a test' }

export default async function Page({ searchParams }: { searchParams: Promise<{ bodyId?: string }> }) {
  const { bodyId } = await searchParams
  if (!bodyId) return <ChooseScreen />
  const first = await firstData(() => call('getOverview', { params: { bodyId } }))
  if ('problem' in first) return <ProblemPage problem={first.problem} />
  const profile = await loaded(() => call('getProfile', { params: { profileKey: first.data.facility.profileKey } }))
  return <NewReadingScreen overview={first.data} profile={'data' in profile ? profile.data.profile : null} />
}

import type { Metadata } from 'next'
import { call } from '../../../lib/api.ts'
import { firstData } from '../../../lib/first.ts'
import { ProfileScreen } from '../../../screens/profiles/ProfileScreen.tsx'
import { ProblemPage } from '../../../shared/Problem.tsx'

export const metadata: Metadata = { title: 'Code profile' }

export default async function Page({ params }: { params: Promise<{ profileKey: string }> }) {
  const profileKey = decodeURIComponent((await params).profileKey)
  const first = await firstData(() => call('getProfile', { params: { profileKey } }))
  return 'problem' in first ? <ProblemPage problem={first.problem} /> : <ProfileScreen detail={first.data} />
}

import type { Metadata } from 'next'
import { call } from '../../../lib/api.ts'
import { firstData } from '../../../lib/first.ts'
import { ProfileScreen } from '../../../screens/profiles/ProfileScreen.tsx'
import { ProblemPage } from '../../../shared/Problem.tsx'

export const metadata: Metadata = { title: 'Code profile' }

export default async function Page({ params }: { params: Promise<{ profileKey: string }> }) {
  const profileKey = decodeURIComponent((await params).profileKey)
  const first = await firstData(() => call('getProfile', { params: { profileKey } }))
  if ('problem' in first) return <ProblemPage problem={first.problem} />
  const { versions } = first.data
  return <ProfileScreen key={versions[0]?.version} detail={first.data} at={new Date().toISOString()} />
}

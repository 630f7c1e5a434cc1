import type { Metadata } from 'next'
import { call } from '../../lib/api.ts'
import { firstData } from '../../lib/first.ts'
import { ProfilesScreen } from '../../screens/profiles/ListScreen.tsx'
import { ProblemPage } from '../../shared/Problem.tsx'

export const metadata: Metadata = { title: 'Code profiles' }
export const dynamic = 'force-dynamic'

export default async function Page() {
  const first = await firstData(() => call('listProfiles', {}))
  return 'problem' in first ? <ProblemPage problem={first.problem} /> : <ProfilesScreen profiles={first.data.items} />
}

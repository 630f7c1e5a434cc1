import { DEFAULT_PROFILE_KEY } from '@sightglass/chemistry'
import type { Metadata } from 'next'
import { call } from '../../../lib/api.ts'
import { firstData } from '../../../lib/first.ts'
import { EditorScreen } from '../../../screens/profiles/EditorScreen.tsx'
import { ProblemPage } from '../../../shared/Problem.tsx'

export const metadata: Metadata = { title: 'A profile of your own' }

export default async function Page({ searchParams }: { searchParams: Promise<{ from?: string }> }) {
  const { from = DEFAULT_PROFILE_KEY } = await searchParams
  const first = await firstData(() => call('getProfile', { params: { profileKey: from } }))
  if ('problem' in first) return <ProblemPage problem={first.problem} />
  const { profile, root } = first.data
  return <EditorScreen parent={profile} root={root ?? profile} detail={null} />
}

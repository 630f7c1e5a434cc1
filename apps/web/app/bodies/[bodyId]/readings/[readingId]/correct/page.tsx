import type { Metadata } from 'next'
import { call, loaded } from '../../../../../../lib/api.ts'
import { firstData } from '../../../../../../lib/first.ts'
import { CorrectScreen } from '../../../../../../screens/reading/CorrectScreen.tsx'
import { ProblemPage } from '../../../../../../shared/Problem.tsx'

export const metadata: Metadata = { title: 'Correct a test' }

export default async function Page({ params }: { params: Promise<{ bodyId: string; readingId: string }> }) {
  const { bodyId, readingId } = await params
  const first = await firstData(() =>
    Promise.all([call('getOverview', { params: { bodyId } }), call('getReading', { params: { bodyId, readingId } })]),
  )
  if ('problem' in first) return <ProblemPage problem={first.problem} />
  const [overview, { versions }] = first.data
  const profile = await loaded(() => call('getProfile', { params: { profileKey: overview.facility.profileKey } }))
  return (
    <CorrectScreen
      overview={overview}
      profile={'data' in profile ? profile.data.profile : null}
      versions={versions}
      at={new Date().toISOString()}
    />
  )
}

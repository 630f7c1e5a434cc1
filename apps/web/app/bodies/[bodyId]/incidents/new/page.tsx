import type { Metadata } from 'next'
import { call } from '../../../../../lib/api.ts'
import { firstData } from '../../../../../lib/first.ts'
import { NewIncidentScreen } from '../../../../../screens/incident/NewScreen.tsx'
import { ProblemPage } from '../../../../../shared/Problem.tsx'

export const metadata: Metadata = { title: 'Report an incident' }

export default async function Page({ params }: { params: Promise<{ bodyId: string }> }) {
  const { bodyId } = await params
  const first = await firstData(() => call('getOverview', { params: { bodyId } }))
  if ('problem' in first) return <ProblemPage problem={first.problem} />
  return <NewIncidentScreen body={first.data.body} facility={first.data.facility} />
}

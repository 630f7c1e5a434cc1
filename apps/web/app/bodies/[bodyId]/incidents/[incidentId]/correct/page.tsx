import type { Metadata } from 'next'
import { redirect } from 'next/navigation'
import { call } from '../../../../../../lib/api.ts'
import { firstData } from '../../../../../../lib/first.ts'
import { CorrectIncidentScreen } from '../../../../../../screens/incident/CorrectScreen.tsx'
import { ProblemPage } from '../../../../../../shared/Problem.tsx'

export const metadata: Metadata = { title: 'Correct an incident' }

export default async function Page({ params }: { params: Promise<{ bodyId: string; incidentId: string }> }) {
  const { bodyId, incidentId } = await params
  const first = await firstData(() => call('getIncident', { params: { bodyId, incidentId } }))
  if ('problem' in first) return <ProblemPage problem={first.problem} />
  // what is closed stays as it was closed
  if (first.data.closing) redirect(`/bodies/${bodyId}/incidents/${incidentId}`)
  return <CorrectIncidentScreen incident={first.data} />
}

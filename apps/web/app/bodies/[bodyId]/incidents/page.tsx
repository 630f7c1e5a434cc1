import type { Metadata } from 'next'
import { call } from '../../../../lib/api.ts'
import { firstData } from '../../../../lib/first.ts'
import { IncidentListScreen } from '../../../../screens/incident/ListScreen.tsx'
import { MOST_LISTED } from '../../../../screens/incident/prepare.ts'
import { ProblemPage } from '../../../../shared/Problem.tsx'

export const metadata: Metadata = { title: 'Incidents' }

export default async function Page({ params }: { params: Promise<{ bodyId: string }> }) {
  const { bodyId } = await params
  const query = { bodyId, limit: MOST_LISTED }
  const first = await firstData(() =>
    Promise.all([call('getOverview', { params: { bodyId } }), call('listIncidents', { query })]),
  )
  if ('problem' in first) return <ProblemPage problem={first.problem} />
  const [{ body, facility }, incidents] = first.data
  return <IncidentListScreen body={body} facility={facility} initial={incidents} at={new Date().toISOString()} />
}

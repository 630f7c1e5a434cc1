import type { Metadata } from 'next'
import { cache } from 'react'
import { call, loaded } from '../../../../../lib/api.ts'
import { firstData } from '../../../../../lib/first.ts'
import { titleOf } from '../../../../../screens/incident/prepare.ts'
import { IncidentScreen } from '../../../../../screens/incident/Screen.tsx'
import { ProblemPage } from '../../../../../shared/Problem.tsx'

interface Given {
  params: Promise<{ bodyId: string; incidentId: string }>
}

const load = cache((bodyId: string, incidentId: string) =>
  firstData(() => call('getIncident', { params: { bodyId, incidentId } })),
)

export async function generateMetadata({ params }: Given): Promise<Metadata> {
  const { bodyId, incidentId } = await params
  const first = await load(bodyId, incidentId)
  return { title: 'data' in first ? `${titleOf(first.data)}, ${first.data.bodyName}` : 'Incident' }
}

export default async function Page({ params }: Given) {
  const { bodyId, incidentId } = await params
  const [first, known] = await Promise.all([
    load(bodyId, incidentId),
    loaded(() => call('getSnapshots', { query: { bodyId: [bodyId] } })),
  ])
  if ('problem' in first) return <ProblemPage problem={first.problem} />
  return (
    <IncidentScreen
      initial={first.data}
      snapshots={'data' in known ? known.data : undefined}
      at={new Date().toISOString()}
    />
  )
}

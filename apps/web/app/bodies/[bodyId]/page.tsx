import type { Metadata } from 'next'
import { cache } from 'react'
import { call, loaded } from '../../../lib/api.ts'
import { firstData } from '../../../lib/first.ts'
import { BodyScreen } from '../../../screens/body/Screen.tsx'
import { ProblemPage } from '../../../shared/Problem.tsx'

interface Given {
  params: Promise<{ bodyId: string }>
}

const load = cache((bodyId: string) => firstData(() => call('getOverview', { params: { bodyId } })))

export async function generateMetadata({ params }: Given): Promise<Metadata> {
  const first = await load((await params).bodyId)
  return { title: 'data' in first ? `${first.data.body.name}, ${first.data.facility.name}` : 'Body of water' }
}

export default async function Page({ params }: Given) {
  const { bodyId } = await params
  const [first, known] = await Promise.all([
    load(bodyId),
    loaded(() => call('getSnapshots', { query: { bodyId: [bodyId] } })),
  ])
  if ('problem' in first) return <ProblemPage problem={first.problem} />
  return (
    <BodyScreen
      initial={first.data}
      snapshots={'data' in known ? known.data : undefined}
      at={new Date().toISOString()}
    />
  )
}

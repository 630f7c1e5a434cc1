import type { Metadata } from 'next'
import { cache } from 'react'
import { call } from '../../../lib/api.ts'
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
  const first = await load((await params).bodyId)
  if ('problem' in first) return <ProblemPage problem={first.problem} />
  return <BodyScreen initial={first.data} at={new Date().toISOString()} />
}

import type { Metadata } from 'next'
import { call } from '../../../../../lib/api.ts'
import { firstData } from '../../../../../lib/first.ts'
import { NewWorkScreen } from '../../../../../screens/work/NewScreen.tsx'
import { ProblemPage } from '../../../../../shared/Problem.tsx'

export const metadata: Metadata = { title: 'Log work' }

export default async function Page({ params }: { params: Promise<{ bodyId: string }> }) {
  const { bodyId } = await params
  const first = await firstData(async () => {
    const overview = await call('getOverview', { params: { bodyId } })
    return { overview, plant: await call('getPlant', { params: { facilityId: overview.facility.id } }) }
  })
  if ('problem' in first) return <ProblemPage problem={first.problem} />
  const { overview, plant } = first.data
  return <NewWorkScreen overview={overview} feeders={plant.feeders.filter((feeder) => feeder.bodyId === bodyId)} />
}

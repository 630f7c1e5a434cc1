import type { Metadata } from 'next'
import { call } from '../../../../../../lib/api.ts'
import { firstData } from '../../../../../../lib/first.ts'
import { CorrectWorkScreen } from '../../../../../../screens/work/CorrectScreen.tsx'
import { ProblemPage } from '../../../../../../shared/Problem.tsx'

export const metadata: Metadata = { title: 'Correct work' }

export default async function Page({ params }: { params: Promise<{ bodyId: string; workId: string }> }) {
  const { bodyId, workId } = await params
  const first = await firstData(async () => {
    const [overview, { versions }] = await Promise.all([
      call('getOverview', { params: { bodyId } }),
      call('getWork', { params: { bodyId, workId } }),
    ])
    // a feeder that is gone may still be named by what is corrected
    const plant = await call('getPlant', { params: { facilityId: overview.facility.id }, query: { retired: 'true' } })
    return { overview, versions, plant }
  })
  if ('problem' in first) return <ProblemPage problem={first.problem} />
  const { overview, versions, plant } = first.data
  const feeders = plant.feeders.filter((feeder) => feeder.bodyId === bodyId)
  return <CorrectWorkScreen overview={overview} feeders={feeders} versions={versions} at={new Date().toISOString()} />
}

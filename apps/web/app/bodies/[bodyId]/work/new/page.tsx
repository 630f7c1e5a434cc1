import type { Metadata } from 'next'
import { call } from '../../../../../lib/api.ts'
import { firstData } from '../../../../../lib/first.ts'
import { NewWorkScreen } from '../../../../../screens/work/NewScreen.tsx'
import { ProblemPage } from '../../../../../shared/Problem.tsx'

export const metadata: Metadata = { title: 'Log work' }

interface Given {
  params: Promise<{ bodyId: string }>
  searchParams: Promise<{ orpSetPointMv?: string | string[] }>
}

export default async function Page({ params, searchParams }: Given) {
  const [{ bodyId }, { orpSetPointMv }] = await Promise.all([params, searchParams])
  const first = await firstData(async () => {
    const overview = await call('getOverview', { params: { bodyId } })
    return { overview, plant: await call('getPlant', { params: { facilityId: overview.facility.id } }) }
  })
  if ('problem' in first) return <ProblemPage problem={first.problem} />
  const { overview, plant } = first.data
  const feeders = plant.feeders.filter((feeder) => feeder.bodyId === bodyId)
  const moved = typeof orpSetPointMv === 'string' ? orpSetPointMv : ''
  return <NewWorkScreen overview={overview} feeders={feeders} orpSetPointMv={moved} />
}

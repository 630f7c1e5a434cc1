import type { Metadata } from 'next'
import { cache } from 'react'
import { call } from '../../../lib/api.ts'
import { firstData } from '../../../lib/first.ts'
import { profileOptions } from '../../../lib/profiles.ts'
import { PlantScreen } from '../../../screens/facilities/PlantScreen.tsx'
import { ProblemPage } from '../../../shared/Problem.tsx'

interface Given {
  params: Promise<{ facilityId: string }>
}

const load = cache((facilityId: string) => firstData(() => call('getPlant', { params: { facilityId } })))

export async function generateMetadata({ params }: Given): Promise<Metadata> {
  const first = await load((await params).facilityId)
  return { title: 'data' in first ? first.data.facility.name : 'Facility' }
}

export default async function Page({ params }: Given) {
  const first = await load((await params).facilityId)
  if ('problem' in first) return <ProblemPage problem={first.problem} />
  return <PlantScreen initial={first.data} profiles={await profileOptions()} at={new Date().toISOString()} />
}

import type { Metadata } from 'next'
import { call } from '../../../lib/api.ts'
import { firstData } from '../../../lib/first.ts'
import { ImportScreen } from '../../../screens/imports/ImportScreen.tsx'
import { ProblemPage } from '../../../shared/Problem.tsx'

export const metadata: Metadata = { title: 'Import' }

export default async function Page({ params }: { params: Promise<{ importId: string }> }) {
  const { importId } = await params
  const first = await firstData(async () => {
    const detail = await call('getImport', { params: { importId } })
    return { detail, plant: await call('getPlant', { params: { facilityId: detail.facilityId } }) }
  })
  if ('problem' in first) return <ProblemPage problem={first.problem} />
  return <ImportScreen initial={first.data.detail} plant={first.data.plant} at={new Date().toISOString()} />
}

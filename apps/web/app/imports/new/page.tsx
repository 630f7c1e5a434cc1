import type { Metadata } from 'next'
import { call, loaded } from '../../../lib/api.ts'
import { NewImportScreen } from '../../../screens/imports/NewScreen.tsx'

export const metadata: Metadata = { title: 'Load a controller export' }

export default async function Page({ searchParams }: { searchParams: Promise<{ facilityId?: string }> }) {
  const { facilityId } = await searchParams
  const plant = facilityId ? await loaded(() => call('getPlant', { params: { facilityId } })) : null
  return <NewImportScreen facility={plant && 'data' in plant ? plant.data.facility : null} />
}

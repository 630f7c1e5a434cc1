import type { Metadata } from 'next'
import { call } from '../../lib/api.ts'
import { firstData } from '../../lib/first.ts'
import { ImportsScreen } from '../../screens/imports/ListScreen.tsx'
import { ProblemPage } from '../../shared/Problem.tsx'

export const metadata: Metadata = { title: 'Imports' }
export const dynamic = 'force-dynamic'

export default async function Page() {
  const first = await firstData(() => call('listImports', { query: { limit: 100 } }))
  if ('problem' in first) return <ProblemPage problem={first.problem} />
  return <ImportsScreen initial={first.data} at={new Date().toISOString()} />
}

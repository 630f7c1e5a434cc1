import type { Metadata } from 'next'
import { call } from '../../lib/api.ts'
import { firstData } from '../../lib/first.ts'
import { GatewaysScreen } from '../../screens/gateways/Screen.tsx'
import { ProblemPage } from '../../shared/Problem.tsx'

export const metadata: Metadata = { title: 'Gateways' }
export const dynamic = 'force-dynamic'

export default async function Page() {
  const first = await firstData(() => call('listGateways', {}))
  if ('problem' in first) return <ProblemPage problem={first.problem} />
  return <GatewaysScreen initial={first.data} at={new Date().toISOString()} />
}

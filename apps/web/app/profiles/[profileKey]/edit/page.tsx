import type { Metadata } from 'next'
import { notFound } from 'next/navigation'
import { call } from '../../../../lib/api.ts'
import { firstData } from '../../../../lib/first.ts'
import { EditorScreen } from '../../../../screens/profiles/EditorScreen.tsx'
import { ProblemPage } from '../../../../shared/Problem.tsx'

export const metadata: Metadata = { title: 'Change a code profile' }

export default async function Page({ params }: { params: Promise<{ profileKey: string }> }) {
  const profileKey = decodeURIComponent((await params).profileKey)
  const first = await firstData(() => call('getProfile', { params: { profileKey } }))
  if ('problem' in first) return <ProblemPage problem={first.problem} />
  const { parent, root } = first.data
  // a published code is not changed, only derived from
  if (!parent || !root) notFound()
  return <EditorScreen parent={parent} root={root} detail={first.data} />
}

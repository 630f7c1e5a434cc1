import type { Metadata } from 'next'
import { call, loaded } from '../lib/api.ts'
import { PAGE_SIZE } from '../screens/triage/page-size.ts'
import { apiQuery, readView } from '../screens/triage/query.ts'
import { TriageScreen } from '../screens/triage/Screen.tsx'
import { ProblemPage } from '../shared/Problem.tsx'

export const metadata: Metadata = { title: 'Morning triage' }

type Search = Record<string, string | string[] | undefined>

export default async function Page({ searchParams }: { searchParams: Promise<Search> }) {
  const view = readView(toSearch(await searchParams))
  const first = await loaded(() => call('getTriage', { query: apiQuery(view, 0, PAGE_SIZE) }))
  return 'problem' in first ? <ProblemPage problem={first.problem} /> : <TriageScreen initial={first.data} />
}

const toSearch = (search: Search) =>
  new URLSearchParams(Object.entries(search).flatMap(([key, words]) => [words ?? []].flat().map((word) => [key, word])))

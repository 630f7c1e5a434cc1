import type { Problem } from '@sightglass/contract'
import { notFound } from 'next/navigation'
import { loaded } from './api.ts'

/** A page's first data, or the problem to show. What there is not, and what is no id, is a page that there is not. */
export async function firstData<Data>(load: () => Promise<Data>): Promise<{ data: Data } | { problem: Problem }> {
  const first = await loaded(load)
  if ('problem' in first && (first.problem.status === 404 || first.problem.status === 400)) notFound()
  return first
}

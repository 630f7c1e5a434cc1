'use client'
import { QueryClient, QueryClientProvider } from '@tanstack/react-query'
import { type ReactNode, useState } from 'react'
import { ApiError } from '../lib/api.ts'
import type { System } from './measure.ts'
import { UnitsProvider } from './Units.tsx'

// What the caller did wrong stays wrong when it is tried again; a server that is away may come back.
const mayRecover = (count: number, error: Error) =>
  count < 2 && !(error instanceof ApiError && error.problem.status < 500)

export function Providers({ system, children }: { system: System; children: ReactNode }) {
  const [client] = useState(
    () =>
      new QueryClient({ defaultOptions: { queries: { staleTime: 5_000, retry: mayRecover, networkMode: 'always' } } }),
  )
  return (
    <QueryClientProvider client={client}>
      <UnitsProvider initial={system}>{children}</UnitsProvider>
    </QueryClientProvider>
  )
}

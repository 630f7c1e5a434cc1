'use client'
import type { Endpoints } from '@sightglass/contract'
import { useQuery } from '@tanstack/react-query'
import { type Answer, call, type Given } from '../lib/api.ts'

export const keyOf = (name: keyof Endpoints, given: object = {}) => [name, given] as const

/** A read of the API that begins with what the server rendered. */
export function useCall<Name extends keyof Endpoints>(
  name: Name,
  given: Given<Endpoints[Name]>,
  options: {
    initial?: Answer<Name>
    enabled?: boolean
    every?: number | ((data: Answer<Name> | undefined) => number | false)
  } = {},
) {
  const { every } = options
  return useQuery<Answer<Name>>({
    queryKey: keyOf(name, given),
    queryFn: ({ signal }) => call(name, { ...given, signal } as never),
    initialData: options.initial,
    enabled: options.enabled,
    refetchInterval: typeof every === 'function' ? (query) => every(query.state.data) : every,
    refetchOnWindowFocus: true,
  })
}

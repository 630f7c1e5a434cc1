import {
  type Endpoint,
  type Endpoints,
  endpoints,
  type ImportDetail,
  type Problem,
  problem,
} from '@sightglass/contract'
import type { z } from 'zod'

/** The only place of the web that talks to the API: in the browser through `/api`, on the server straight to it. */
export const apiUrl = () =>
  typeof window === 'undefined' ? (process.env.API_URL ?? 'http://127.0.0.1:4401').replace(/\/$/, '') : '/api'

type Needed<E, Key extends string> = E extends { [K in Key]: infer S extends z.ZodType }
  ? { [K in Key]: z.input<S> }
  : unknown
type Query<E> = E extends { query: infer S extends z.ZodType } ? { query?: z.input<S> } : unknown
/** What a call of the contract's endpoint needs. */
export type Given<E> = Needed<E, 'params'> & Needed<E, 'body'> & Query<E> & { signal?: AbortSignal }
export type Answer<Name extends keyof Endpoints> = z.output<Endpoints[Name]['answer']>

/** Every failure of a call: what the API answered, or that it did not. */
export class ApiError extends Error {
  readonly problem: Problem
  constructor(given: Problem) {
    super(given.detail ?? given.title)
    this.problem = given
  }
  get kind() {
    return this.problem.type.split('/').at(-1) ?? 'internal'
  }
}

/** @throws ApiError with the problem details of the answer; `unreachable` when there was none */
export async function call<Name extends keyof Endpoints>(
  name: Name,
  ...[given]: Record<string, never> extends Given<Endpoints[Name]>
    ? [given?: Given<Endpoints[Name]>]
    : [given: Given<Endpoints[Name]>]
): Promise<Answer<Name>> {
  const endpoint: Endpoint = endpoints[name]
  const parts = (given ?? {}) as Parts
  const address = `${apiUrl()}${pathOf(endpoint.path, parts.params)}${queryOf(parts.query)}`
  const response = await fetch(address, {
    method: endpoint.method,
    signal: parts.signal,
    cache: 'no-store',
    ...(parts.body !== undefined && {
      body: JSON.stringify(parts.body),
      headers: { 'content-type': 'application/json' },
    }),
  }).catch((error: unknown) => {
    if (parts.signal?.aborted) throw error
    throw new ApiError(unreachable(address))
  })
  if (!response.ok) throw new ApiError(problemOf(await response.text(), response.status, address))
  return (response.status === 204 ? null : await response.json()) as Answer<Name>
}

interface Parts {
  params?: Record<string, string>
  query?: Record<string, unknown>
  body?: unknown
  signal?: AbortSignal
}

const pathOf = (path: string, params: Record<string, string> = {}) =>
  path.replace(/:(\w+)/g, (_, key: string) => encodeURIComponent(params[key] ?? ''))

/** Lists are sent as repeated words; a lone word with a comma is sent twice, because one is split at its commas. */
export function queryOf(query: Record<string, unknown> = {}) {
  const search = new URLSearchParams()
  for (const [key, value] of Object.entries(query)) {
    const words = (Array.isArray(value) ? value : [value])
      .filter((word) => word !== undefined && word !== '')
      .map(String)
    for (const word of words.length === 1 && words[0]?.includes(',') ? [...words, ...words] : words)
      search.append(key, word)
  }
  const text = search.toString()
  return text && `?${text}`
}

export function problemOf(text: string, status: number, instance: string): Problem {
  try {
    return problem.parse(JSON.parse(text))
  } catch {
    const detail = `The server answered ${status} without saying why.`
    return { type: '/problems/internal', title: 'The server failed', status, detail, instance, requestId: '' }
  }
}

export const unreachable = (instance: string): Problem => ({
  type: '/problems/unreachable',
  title: 'The Sightglass API does not answer',
  status: 503,
  detail: 'Nothing was stored or lost. Check that it is running and that this computer is connected, then try again.',
  instance,
  requestId: '',
})

/** A page's first data on the server: the answer, or the problem to show. */
export async function loaded<Data>(load: () => Promise<Data>): Promise<{ data: Data } | { problem: Problem }> {
  try {
    return { data: await load() }
  } catch (error) {
    if (error instanceof ApiError) return { problem: error.problem }
    throw error
  }
}

/** Uploads a controller export; `onProgress` gets the share that has been sent, 0 to 1. */
export function uploadExport(
  given: { facilityId: string; person: string; file: File; signal?: AbortSignal },
  onProgress: (share: number) => void,
): Promise<ImportDetail> {
  const form = new FormData()
  form.append('facilityId', given.facilityId)
  form.append('person', given.person)
  form.append('file', given.file)
  const address = `${apiUrl()}${endpoints.uploadExport.path}`
  return new Promise((resolve, reject) => {
    const request = new XMLHttpRequest()
    request.open('POST', address)
    request.upload.onprogress = ({ loaded: sent, total }) => onProgress(total ? sent / total : 0)
    request.onload = () =>
      request.status === endpoints.uploadExport.status
        ? resolve(JSON.parse(request.responseText))
        : reject(new ApiError(problemOf(request.responseText, request.status, address)))
    request.onerror = () => reject(new ApiError(unreachable(address)))
    request.onabort = () => reject(new DOMException('The upload was stopped', 'AbortError'))
    given.signal?.addEventListener('abort', () => request.abort())
    request.send(form)
  })
}

export const rejectsUrl = (importId: string) => `/api/imports/${importId}/rejects.csv`

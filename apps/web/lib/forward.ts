import { apiUrl, unreachable } from './api.ts'

// Hop-by-hop headers belong to one connection; the body is decoded here, so its coding and length are not passed on.
const NOT_FORWARDED = ['connection', 'keep-alive', 'transfer-encoding', 'upgrade', 'host', 'content-length', 'expect']
const NOT_RETURNED = ['connection', 'keep-alive', 'transfer-encoding', 'content-encoding', 'content-length']

/** Hands a request on to the API as it streams in. Not a rewrite in next.config: that would fix API_URL at build time. */
export async function forward(request: Request): Promise<Response> {
  const { pathname, search } = new URL(request.url)
  const path = pathname.replace(/^\/api/, '')
  const headers = new Headers(request.headers)
  for (const name of NOT_FORWARDED) headers.delete(name)
  try {
    const answer = await fetch(`${apiUrl()}${path}${search}`, {
      method: request.method,
      headers,
      body: request.body,
      redirect: 'manual',
      cache: 'no-store',
      signal: request.signal,
      duplex: 'half',
    } as RequestInit)
    const returned = new Headers(answer.headers)
    for (const name of NOT_RETURNED) returned.delete(name)
    const location = returned.get('location')
    if (location?.startsWith('/')) returned.set('location', `/api${location}`)
    return new Response(answer.body, { status: answer.status, headers: returned })
  } catch {
    const problem = unreachable(`/api${path}`)
    return Response.json(problem, { status: 503, headers: { 'content-type': 'application/problem+json' } })
  }
}

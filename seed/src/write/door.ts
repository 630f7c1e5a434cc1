import type { Endpoint } from '@sightglass/contract'
import type { FastifyInstance } from 'fastify'
import type { z } from 'zod'

type Input<Schema> = Schema extends z.ZodType ? z.input<Schema> : undefined
type Output<Schema> = Schema extends z.ZodType ? z.output<Schema> : undefined

/** Calls one endpoint of the API inside this process; an answer that is not the endpoint's own is an error that says why. */
export async function call<const E extends Endpoint>(
  app: FastifyInstance,
  endpoint: E,
  given: { params?: Input<E['params']>; body?: Input<E['body']> },
): Promise<Output<E['answer']>> {
  const params = (given.params ?? {}) as Record<string, string>
  const url = endpoint.path.replace(/:(\w+)/g, (_, name: string) => encodeURIComponent(params[name] ?? ''))
  const answer = await app.inject({
    method: endpoint.method,
    url,
    ...(given.body && { payload: given.body as object }),
  })
  if (answer.statusCode !== endpoint.status) throw new Error(`${endpoint.method} ${url}: ${answer.body}`)
  return answer.json() as Output<E['answer']>
}

/** Works through a list, so many at a time, in order of the list. */
export async function inTurns<T>(list: readonly T[], atOnce: number, work: (item: T) => Promise<void>): Promise<void> {
  const waiting = [...list]
  const worker = async () => {
    for (let item = waiting.shift(); item !== undefined; item = waiting.shift()) await work(item)
  }
  await Promise.all(Array.from({ length: atOnce }, worker))
}

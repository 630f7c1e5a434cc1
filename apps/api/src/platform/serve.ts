import type { Endpoint } from '@sightglass/contract'
import type { FastifyInstance, FastifyReply, FastifyRequest, RouteShorthandOptions } from 'fastify'
import type { z } from 'zod'

type Output<Schema> = Schema extends z.ZodType ? z.output<Schema> : undefined

/** What a handler gets: the parts of the request that the contract has checked. */
export interface Call<E extends Endpoint> {
  params: Output<E['params']>
  query: Output<E['query']>
  body: Output<E['body']>
  request: FastifyRequest
  reply: FastifyReply
}

/** An answer that the database has already written as JSON: it goes out as it is. */
export class JsonText {
  readonly text: string
  constructor(text: string) {
    this.text = text
  }
}

/** Serves one endpoint of the contract: its schemas check the request and shape the answer. */
export function serve<const E extends Endpoint>(
  app: FastifyInstance,
  endpoint: E,
  handler: (call: Call<E>) => Promise<z.input<E['answer']> | JsonText>,
  options: RouteShorthandOptions & { tag?: string } = {},
) {
  const { tag, ...rest } = options
  app.route({
    ...rest,
    method: endpoint.method,
    url: endpoint.path,
    schema: {
      summary: endpoint.summary,
      tags: [tag ?? endpoint.path.split('/')[1] ?? 'api'],
      ...(endpoint.params && { params: endpoint.params }),
      ...(endpoint.query && { querystring: endpoint.query }),
      ...(endpoint.body && { body: endpoint.body }),
      response: { [endpoint.status]: endpoint.answer },
    },
    handler: async (request, reply) => {
      reply.status(endpoint.status)
      const { params, query, body } = request as unknown as Pick<Call<E>, 'params' | 'query' | 'body'>
      const answer = await handler({ params, query, body, request, reply })
      return answer instanceof JsonText ? reply.type('application/json; charset=utf-8').send(answer.text) : answer
    },
  })
}

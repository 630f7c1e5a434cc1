import type { z } from 'zod'

type Shape = z.ZodType

/** One call of the API, known to both sides: the server takes its schemas from here, the web its types. */
export interface Endpoint {
  method: 'GET' | 'POST' | 'PATCH' | 'DELETE'
  /** Fastify's form: `/bodies/:bodyId`. */
  path: string
  summary: string
  params?: Shape
  query?: Shape
  body?: Shape
  /** The successful answer by status code; a schema of null stands for no content. */
  status: number
  answer: Shape
}

export const endpoint = <const E extends Endpoint>(given: E) => given

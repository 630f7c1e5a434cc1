import { z } from 'zod'

/** Every error answer, RFC 9457 (application/problem+json), with what is wrong field by field. */
export const problem = z.object({
  type: z.string(),
  title: z.string(),
  status: z.number().int(),
  detail: z.string().optional(),
  instance: z.string().optional(),
  requestId: z.string(),
  fields: z.array(z.object({ path: z.string(), message: z.string() })).optional(),
})
export type Problem = z.infer<typeof problem>

/** The kinds of problem; `type` of an answer is `/problems/<key>`. */
export const PROBLEM_KINDS = {
  invalid: { status: 400, title: 'The request is not in the right form' },
  unauthorized: { status: 401, title: 'The gateway token is missing or not valid' },
  forbidden: { status: 403, title: 'This may not be done from there' },
  notFound: { status: 404, title: 'There is no such thing' },
  conflict: { status: 409, title: 'This contradicts what is stored' },
  tooLarge: { status: 413, title: 'The request is too large' },
  unsupported: { status: 415, title: 'The request is in a format that is not understood' },
  unusual: { status: 422, title: 'A value is unusual: confirm it or correct it' },
  tooMany: { status: 429, title: 'Too many requests' },
  internal: { status: 500, title: 'The server failed' },
  unavailable: { status: 503, title: 'The database does not answer' },
} as const
export type ProblemKind = keyof typeof PROBLEM_KINDS

import { PROBLEM_KINDS, type Problem, type ProblemKind } from '@sightglass/contract'
import type { FastifyError, FastifyInstance } from 'fastify'
import { hasZodFastifySchemaValidationErrors, isResponseSerializationError } from 'fastify-type-provider-zod'

type Fields = NonNullable<Problem['fields']>

/** Thrown by any verb; translated to an answer here and nowhere else. */
export class ProblemError extends Error {
  constructor(
    readonly kind: ProblemKind,
    readonly detail: string,
    readonly fields?: Fields,
  ) {
    super(detail)
  }
}

/** @example throw notFound('body', bodyId) */
export const notFound = (thing: string, id: string) => new ProblemError('notFound', `There is no ${thing} ${id}.`)
export const conflict = (detail: string, fields?: Fields) => new ProblemError('conflict', detail, fields)
export const invalid = (detail: string, fields?: Fields) => new ProblemError('invalid', detail, fields)

const answerOf = (
  kind: ProblemKind,
  detail: string | undefined,
  requestId: string,
  instance: string,
  fields?: Fields,
) => ({
  type: `/problems/${kind}`,
  ...PROBLEM_KINDS[kind],
  detail,
  instance,
  requestId,
  fields,
})

const CONNECTION_CODES = new Set([
  'ECONNREFUSED',
  'ECONNRESET',
  'ENOTFOUND',
  'ETIMEDOUT',
  '57P01',
  '57P03',
  '08006',
  '53300',
])

interface DatabaseError {
  code?: string
  detail?: string
  constraint?: string
  cause?: unknown
}

/** The database's own code, also where Prisma has wrapped it. */
function databaseCode(error: unknown): string | undefined {
  for (let seen: unknown = error; seen && typeof seen === 'object'; seen = (seen as DatabaseError).cause) {
    const { code } = seen as DatabaseError
    const original = (seen as { originalCode?: string }).originalCode
    if (original) return original
    if (code) return code
  }
  return undefined
}

function classify(error: FastifyError | ProblemError): [ProblemKind, string | undefined, Fields | undefined] {
  if (error instanceof ProblemError) return [error.kind, error.detail, error.fields]
  if (hasZodFastifySchemaValidationErrors(error)) {
    const where = error.validationContext ?? 'body'
    const fields = error.validation.map((issue) => ({
      path: [where, ...issue.instancePath.split('/').filter(Boolean)].join('.'),
      message: issue.message ?? 'is not valid',
    }))
    return ['invalid', fields.map(({ path, message }) => `${path}: ${message}`).join('; '), fields]
  }
  if (error.statusCode === 413) return ['tooLarge', error.message, undefined]
  if (error.statusCode === 429) return ['tooMany', error.message, undefined]
  if (error.statusCode === 404) return ['notFound', error.message, undefined]
  if (error.statusCode && error.statusCode >= 400 && error.statusCode < 500)
    return ['invalid', error.message, undefined]
  const code = databaseCode(error)
  if (code === '23505' || code === 'P2002')
    return ['conflict', 'Something with this name or id is there already.', undefined]
  if (code === '23503' || code === 'P2003')
    return ['conflict', 'This refers to something that does not exist.', undefined]
  if (code && (CONNECTION_CODES.has(code) || code === 'P1001'))
    return ['unavailable', 'The database does not answer. Nothing was stored; try again in a moment.', undefined]
  return ['internal', 'Something went wrong on the server; the request id finds it in the log.', undefined]
}

/** One shape for every error: RFC 9457 problem details. */
export function registerProblems(app: FastifyInstance) {
  app.setErrorHandler((error: FastifyError, request, reply) => {
    const [kind, detail, fields] = classify(error)
    const problem = answerOf(kind, detail, request.id, request.url, fields)
    if (problem.status >= 500) {
      const cause = isResponseSerializationError(error) ? { err: error, cause: error.cause } : { err: error }
      request.log.error(cause, 'request failed')
    }
    if (kind === 'unauthorized') reply.header('www-authenticate', 'Bearer')
    return reply.status(problem.status).type('application/problem+json').send(JSON.stringify(problem))
  })
  app.setNotFoundHandler((request, reply) => {
    const problem = answerOf('notFound', `There is no ${request.method} ${request.url}.`, request.id, request.url)
    return reply.status(404).type('application/problem+json').send(JSON.stringify(problem))
  })
}

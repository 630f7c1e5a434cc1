import { PROBLEM_KINDS, type Problem, type ProblemKind } from '@sightglass/contract'
import type { FastifyError, FastifyInstance } from 'fastify'
import {
  hasZodFastifySchemaValidationErrors,
  isResponseSerializationError,
  type ZodFastifySchemaValidationError,
} from 'fastify-type-provider-zod'
import {
  brokenRule,
  databaseCode,
  isAway,
  SENT_BACK,
  UNIQUE,
  UNIQUE_RULES,
  UNKNOWN_REFERENCE,
  UNSTORABLE,
} from './failures.ts'

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

/** For what is wrong with one field. @example throw invalidAt('body.at', 'lies in the future') */
export const invalidAt = (path: string, message: string) => invalid(`${path}: ${message}`, [{ path, message }])
export const conflictAt = (path: string, message: string) => conflict(`${path}: ${message}`, [{ path, message }])
/** An id that a client made stands for something else already. */
export const idTaken = () => conflictAt('body.id', 'Something else is stored under this id: use a new one.')

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

type Classified = [kind: ProblemKind, detail: string | undefined, fields?: Fields]

function classify(error: FastifyError | ProblemError): Classified {
  if (error instanceof ProblemError) return [error.kind, error.detail, error.fields]
  if (hasZodFastifySchemaValidationErrors(error)) return wrongShape(error)
  return ofHttp(error) ?? ofDatabase(error) ?? ['internal', 'The request id finds what went wrong in the log.']
}

interface WrongShape {
  validation: ZodFastifySchemaValidationError[]
  validationContext?: string | undefined
}

function wrongShape({ validation, validationContext = 'body' }: WrongShape): Classified {
  const fields = validation.map(({ instancePath, message = 'is not valid' }) => ({
    path: [validationContext, ...instancePath.split('/').filter(Boolean)].join('.'),
    message,
  }))
  return ['invalid', fields.map(({ path, message }) => `${path}: ${message}`).join('; '), fields]
}

const KIND_OF_STATUS: Record<number, ProblemKind> = {
  404: 'notFound',
  413: 'tooLarge',
  415: 'unsupported',
  429: 'tooMany',
}

function ofHttp({ statusCode = 500, message }: FastifyError): Classified | undefined {
  if (statusCode < 400 || statusCode >= 500) return undefined
  return [KIND_OF_STATUS[statusCode] ?? 'invalid', message]
}

function ofDatabase(error: unknown): Classified | undefined {
  const code = databaseCode(error)
  if (code === UNIQUE || code === 'P2002') {
    const rule = UNIQUE_RULES[brokenRule(error) ?? '']
    return rule
      ? ['conflict', `${rule.path}: ${rule.message}`, [rule]]
      : ['conflict', 'Something with this name or id is there already.']
  }
  if (code === UNKNOWN_REFERENCE || code === 'P2003')
    return ['conflict', 'This refers to something that does not exist.']
  if (code && UNSTORABLE.has(code))
    return ['invalid', 'A text holds a character that cannot be stored (a NUL character, or half of a pair).']
  if (code && SENT_BACK.has(code))
    return ['unavailable', 'Two requests were in each other’s way. Nothing of this one was stored; send it again.']
  if (isAway(error, code))
    return ['unavailable', 'The database does not answer. Nothing was stored; try again in a moment.']
  return undefined
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

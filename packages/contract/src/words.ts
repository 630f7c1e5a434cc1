import { z } from 'zod'

type Issue = z.core.$ZodRawIssue

/** What a schema says where it has no message of its own; one place for all, so that every refusal speaks alike. */
export function refusalWords(issue: Issue): string {
  if (issue.input === undefined && (issue.code === 'invalid_type' || issue.code === 'invalid_value'))
    return 'must be given'
  switch (issue.code) {
    case 'invalid_type':
      return `must be ${KINDS[issue.expected] ?? issue.expected}`
    case 'invalid_value':
      return `${issue.values.length === 1 ? 'must be' : 'is not one of'} ${issue.values.join(', ')}`
    case 'too_big':
      return `must ${issue.exact ? exactly(issue.origin, issue.maximum) : most(issue)}`
    case 'too_small':
      return `must ${issue.exact ? exactly(issue.origin, issue.minimum) : least(issue)}`
    case 'invalid_format':
      return `is not ${FORMATS[issue.format] ?? 'in the right form'}`
    case 'not_multiple_of':
      return `must be a multiple of ${issue.divisor}`
    case 'unrecognized_keys':
      return `does not know ${issue.keys.map((key) => `“${key}”`).join(', ')}`
    case 'invalid_union':
      return 'has none of the forms that it may have'
    default:
      return 'is not valid'
  }
}

const KINDS: Record<string, string> = {
  string: 'a text',
  number: 'a number',
  int: 'a whole number',
  boolean: 'true or false',
  array: 'a list',
  object: 'an object',
  record: 'an object',
  date: 'a date',
}

const FORMATS: Record<string, string> = {
  email: 'an e-mail address',
  url: 'an address (URL)',
  uuid: 'an id (UUID)',
  datetime: 'a time (write it as 2026-11-25T06:00:00Z)',
  date: 'a date (write it as 2026-11-25)',
}

/** Of what a text or a list has a number; numbers themselves have none. */
const COUNTED: Record<string, [one: string, many: string]> = {
  string: ['character', 'characters'],
  array: ['entry', 'entries'],
  set: ['entry', 'entries'],
}
const counted = (origin: string, bound: number | bigint) =>
  COUNTED[origin] && `${bound} ${COUNTED[origin][Number(bound) === 1 ? 0 : 1]}`

const exactly = (origin: string, bound: number | bigint) =>
  counted(origin, bound) ? `have exactly ${counted(origin, bound)}` : `be exactly ${bound}`

function most({ origin, maximum, inclusive }: Extract<Issue, { code: 'too_big' }>) {
  const count = counted(origin, maximum)
  return count ? `have at most ${count}` : `be ${inclusive ? 'at most' : 'under'} ${maximum}`
}

function least({ origin, minimum, inclusive }: Extract<Issue, { code: 'too_small' }>) {
  const count = counted(origin, minimum)
  if (count) return Number(minimum) === 1 ? 'not be empty' : `have at least ${count}`
  return `be ${inclusive ? 'at least' : 'above'} ${minimum}`
}

z.config({ customError: refusalWords })

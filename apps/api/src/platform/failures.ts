/** What breaking a unique rule of the database means to a person, and the field of the request that did it. */
export const UNIQUE_RULES: Record<string, { path: string; message: string }> = {
  facility_name_key: { path: 'body.name', message: 'Another facility has this name already.' },
  equipment_room_name_key: { path: 'body.name', message: 'The facility has an equipment room of this name already.' },
  body_name_key: { path: 'body.name', message: 'The facility has a body of water of this name already.' },
  controller_name_key: { path: 'body.name', message: 'The equipment room has a controller of this name already.' },
  drum_name_key: { path: 'body.name', message: 'The equipment room has a drum of this name already.' },
  channel_body_quantity_key: {
    path: 'body.quantity',
    message: 'This body hears this quantity from a channel already: retire that channel first.',
  },
  feeder_body_role_key: {
    path: 'body.role',
    message: 'This body has a feeder in this role already: retire that feeder or choose another role.',
  },
  code_profile_name_key: { path: 'body.name', message: 'Another code profile has this name already.' },
  code_profile_pkey: { path: 'body.name', message: 'Another code profile has a name like this already.' },
  gateway_name_key: { path: 'body.name', message: 'Another gateway has this name already.' },
  reading_replaces_key: { path: 'params.readingId', message: 'This version has been replaced already.' },
  work_replaces_key: { path: 'params.workId', message: 'This version has been replaced already.' },
}

/** PostgreSQL's codes: https://www.postgresql.org/docs/current/errcodes-appendix.html */
export const UNIQUE = '23505'
export const UNKNOWN_REFERENCE = '23503'
/** Text that PostgreSQL cannot hold: a NUL, or half of a surrogate pair. */
export const UNSTORABLE = new Set(['22021', '22P05', '22P02'])
/** Two writers were in each other's way; one was sent back. */
export const SENT_BACK = new Set(['40P01', '40001', '55P03'])
const AWAY = new Set([
  'ECONNREFUSED',
  'ECONNRESET',
  'ENOTFOUND',
  'ETIMEDOUT',
  'EPIPE',
  '57P01', // admin_shutdown
  '57P02', // crash_shutdown
  '57P03', // cannot_connect_now
  '08006', // connection_failure
  '53300', // too_many_connections
  'P1001', // Prisma: cannot reach the server
  'P1017', // Prisma: the server closed the connection
  'P2024', // Prisma: no connection became free
  'P2028', // Prisma: the transaction did not start in time
])
// the pg driver gives these no code
const AWAY_WORDS = /Connection terminated|timeout exceeded when trying to connect|connection timeout|not queryable/i

interface Failure {
  code?: string
  originalCode?: string
  message?: string
  constraint?: string | { index?: string }
  cause?: unknown
  meta?: { driverAdapterError?: unknown }
}

/** An error and all that it wraps, the outermost first: Prisma wraps what its driver wraps. */
function* layers(error: unknown): Generator<Failure> {
  for (let seen = error; seen && typeof seen === 'object'; ) {
    const failure = seen as Failure
    yield failure
    seen = failure.meta?.driverAdapterError ?? failure.cause
  }
}

/** The database's own code, or else Prisma's. */
export function databaseCode(error: unknown): string | undefined {
  const all = [...layers(error)]
  return all.find(({ originalCode }) => originalCode)?.originalCode ?? all.find(({ code }) => code)?.code
}

/** The name of the constraint that was broken. */
export function brokenRule(error: unknown): string | undefined {
  for (const { constraint } of layers(error)) {
    if (typeof constraint === 'string') return constraint
    if (constraint?.index) return constraint.index
  }
  return undefined
}

export const isAway = (error: unknown, code: string | undefined) =>
  (code !== undefined && AWAY.has(code)) || [...layers(error)].some(({ message }) => AWAY_WORDS.test(message ?? ''))

import type { FastifyBaseLogger } from 'fastify'
import type { Config } from '../config.ts'
import type { Database } from './database.ts'

export interface Deps {
  database: Database
  logger: FastifyBaseLogger
  /** The one clock; tests pass their own. */
  now: () => Date
  /** Leaves the bodies that a write touched due, unjudged: for who writes a whole company and has it judged at the end. */
  judgeLater?: boolean
}

/** What a capability gets to work with. */
export interface Context extends Deps {
  config: Config
}

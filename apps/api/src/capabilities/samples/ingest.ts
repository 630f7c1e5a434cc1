import type { Deps } from '../../app.ts'
import type { Queryable } from '../../platform/database.ts'
import type { Ingested, SampleStretch } from './stretch.ts'

export interface IngestOptions {
  /** Compares and counts only: nothing is stored. */
  check?: boolean
  /** Runs in the same transaction, after the samples and their hours and before the commit. */
  alsoStore?: (client: Queryable, ingested: Ingested) => Promise<void>
  /** How long to wait for another input that writes the same bodies; without it, as long as that takes. */
  waitMs?: number
  signal?: AbortSignal
}

/**
 * The one door through which samples come in: imports, pushes and the seed. All of the input is stored or nothing, however
 * long it is; memory stays constant, and what comes next is fetched while the database writes.
 * @param bodyIds every body that the input may speak of; each must be in use, and have an active channel for each quantity
 * @throws ProblemError `conflict` for a retired body or channel, `unavailable` when `waitMs` is over
 */
export async function ingestSamples(
  deps: Deps,
  bodyIds: readonly string[],
  stretches: Iterable<SampleStretch> | AsyncIterable<SampleStretch>,
  options: IngestOptions = {},
): Promise<Ingested> {
  void [deps, bodyIds, stretches, options]
  throw new Error('not there yet')
}

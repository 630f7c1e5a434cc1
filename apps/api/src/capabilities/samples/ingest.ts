import type { Quantity } from '@sightglass/chemistry'
import type pg from 'pg'
import type { Deps } from '../../platform/context.ts'
import { inTransaction, type Queryable } from '../../platform/database.ts'
import { conflict, notFound, ProblemError } from '../../platform/problems.ts'
import { assessTouched, markDue } from '../assessment/index.ts'
import { chunksOf } from './chunks.ts'
import { copySamples } from './copy.ts'
import { hoursOf, TouchedHours } from './hours.ts'
import * as q from './queries.ts'
import type { Ingested, MergedStretch, SampleStretch } from './stretch.ts'

export interface IngestOptions {
  /** Compares and counts only: nothing is stored. */
  check?: boolean
  /** Runs in the same transaction, after the samples and their hours and before the commit. */
  alsoStore?: (client: pg.ClientBase, ingested: Ingested) => Promise<void>
  /** How long to wait for another input that writes the same bodies; without it, as long as that takes. */
  waitMs?: number
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
  const chunks = chunksOf(stretches)
  try {
    const input = await store(deps, bodyIds, chunks, options)
    await assessTouched(deps, input.touchedBodyIds)
    return input.ingested
  } finally {
    // whatever happened, the source closes what it has open
    await chunks.return(undefined)
  }
}

async function store(
  deps: Deps,
  bodyIds: readonly string[],
  chunks: AsyncGenerator<MergedStretch[]>,
  options: IngestOptions,
): Promise<Input> {
  // the first chunk is there before a connection is taken: short inputs hold one connection at a time
  let next = await chunks.next()
  const partitions = new Partitions(deps, options.check ?? false)
  await partitions.ensure(next.value ?? [])
  return inTransaction(deps.database.pool, async (client) => {
    await prepare(client, bodyIds, options)
    const input = new Input(client, refuseUnfit(bodyIds, await q.selectBodiesInUse(client, bodyIds)), options)
    while (!next.done) {
      const writing = input.write(next.value)
      try {
        next = await chunks.next()
      } finally {
        // a failure while reading must not leave a copy under way on the connection
        await Promise.allSettled([writing])
      }
      await writing
      await partitions.ensure(next.value ?? [])
    }
    await input.finish(deps.now())
    return input
  })
}

async function prepare(client: Queryable, bodyIds: readonly string[], { check, waitMs }: IngestOptions) {
  await q.setLocal(client, 'work_mem', '32MB')
  await q.setLocal(client, 'jit', 'off')
  if (check) return void (await q.createChecked(client))
  if (waitMs !== undefined) await q.setLocal(client, 'lock_timeout', String(waitMs))
  await q.lockBodies(client, bodyIds).catch((error: { code?: string }) => {
    if (error.code !== LOCK_TIMEOUT) throw error
    throw new ProblemError(
      'unavailable',
      'Another import is storing samples of the same body. Nothing was stored; send it again in a moment.',
    )
  })
  await q.setLocal(client, 'lock_timeout', '0')
}
const LOCK_TIMEOUT = '55P03'

/** What each body may hear. */
function refuseUnfit(bodyIds: readonly string[], bodies: readonly q.BodyInUse[]): Map<string, q.BodyInUse> {
  const known = new Map(bodies.map((body) => [body.id, body]))
  for (const id of bodyIds) {
    const body = known.get(id)
    if (!body) throw notFound('body of water', id)
    if (body.retired) throw conflict(`${body.name} is retired: no more samples are stored for it.`)
  }
  return known
}

/** Months that the input needs; made on a connection of their own, since attaching a partition waits for nobody then. */
class Partitions {
  readonly #there = new Set<number>()
  constructor(
    readonly deps: Deps,
    readonly unneeded: boolean,
  ) {}

  async ensure(chunk: readonly MergedStretch[]) {
    if (this.unneeded) return
    const missing = new Map<number, Date>()
    for (const { stretch } of chunk)
      for (const hour of hoursOf(stretch.atMs, stretch.count)) {
        const at = new Date(hour * 3_600_000)
        const month = at.getUTCFullYear() * 12 + at.getUTCMonth()
        if (!this.#there.has(month)) missing.set(month, at)
      }
    if (missing.size === 0) return
    await q.ensurePartitions(this.deps.database.pool, [...missing.values()])
    for (const month of missing.keys()) this.#there.add(month)
  }
}

/** One input on its way into the database, inside its transaction. */
class Input {
  readonly ingested: Ingested = { stored: 0, same: 0, differing: 0, bodies: [] }
  readonly #hours = new TouchedHours()
  readonly #bodies = new Map<string, Ingested['bodies'][number]>()
  readonly #table: string

  constructor(
    readonly client: pg.ClientBase,
    readonly known: Map<string, q.BodyInUse>,
    readonly options: IngestOptions,
  ) {
    this.#table = options.check ? q.CHECKED : 'sample'
  }

  get touchedBodyIds() {
    return this.options.check ? [] : this.#hours.bodyIds
  }

  async write(chunk: readonly MergedStretch[]) {
    for (const { stretch, same, differing } of chunk) {
      this.#refuseChannels(stretch)
      this.#count(stretch)
      this.ingested.same += same
      this.ingested.differing += differing
    }
    const stretches = chunk.map(({ stretch }) => stretch)
    if (await this.#meetsOthers(stretches)) await this.#merge(stretches)
    else await this.#append(stretches)
    for (const { release } of stretches) release?.()
  }

  async finish(now: Date) {
    this.ingested.bodies = [...this.#bodies.values()]
    if (this.options.check) return
    await this.#hours.rollUp(this.client)
    await this.options.alsoStore?.(this.client, this.ingested)
    await markDue(this.client, this.#hours.bodyIds, now)
  }

  async #meetsOthers(stretches: readonly SampleStretch[]) {
    const spans = stretches.map(spanOf)
    if (await q.isOccupied(this.client, this.#table, spans)) return true
    return this.options.check === true && (await q.isOccupied(this.client, 'sample', spans))
  }

  /** Nothing is stored there yet: straight in. */
  async #append(stretches: readonly SampleStretch[]) {
    await copySamples(this.client, this.#table, stretches)
    for (const { bodyId, atMs, count } of stretches) {
      this.ingested.stored += count
      if (!this.options.check) this.#hours.add(bodyId, hoursOf(atMs, count))
    }
  }

  async #merge(stretches: readonly SampleStretch[]) {
    await q.createStaged(this.client)
    await copySamples(this.client, q.STAGED, stretches)
    if (this.options.check) await q.bringStored(this.client)
    for (const { bodyId, stored, same, differing, hours } of await q.mergeStaged(this.client, this.#table)) {
      this.ingested.stored += stored
      this.ingested.same += same
      this.ingested.differing += differing
      this.#hours.add(bodyId, hours)
    }
  }

  #refuseChannels({ bodyId, count, columns }: SampleStretch) {
    const body = this.known.get(bodyId)
    if (!body) throw new Error(`samples of body ${bodyId}, which was not announced`)
    for (const quantity of Object.keys(columns) as Quantity[])
      if (
        !body.quantities.includes(quantity) &&
        columns[quantity]?.subarray(0, count).some((value) => !Number.isNaN(value))
      )
        throw conflict(`${body.name} has no channel in use for ${quantity}: add the channel, or leave its column out.`)
  }

  #count(stretch: SampleStretch) {
    const { bodyId, fromMs, toMs } = spanOf(stretch)
    const counted = this.#bodies.get(bodyId) ?? { bodyId, samples: 0, fromMs, toMs }
    counted.samples += stretch.count
    counted.fromMs = Math.min(counted.fromMs, fromMs)
    counted.toMs = Math.max(counted.toMs, toMs)
    this.#bodies.set(bodyId, counted)
  }
}

/** @param stretch in order of time, not empty */
const spanOf = ({ bodyId, atMs, count }: SampleStretch): q.Span => ({
  bodyId,
  fromMs: atMs[0] as number,
  toMs: atMs[count - 1] as number,
})

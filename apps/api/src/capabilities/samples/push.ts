import { createHash } from 'node:crypto'
import { QUANTITIES, type Quantity } from '@sightglass/chemistry'
import {
  outsideHardRange,
  QUANTITY_RANGES,
  type Reject,
  type samplePush,
  type samplePushed,
} from '@sightglass/contract'
import type { z } from 'zod'
import type { Deps } from '../../platform/context.ts'
import { brokenRule } from '../../platform/failures.ts'
import { conflict } from '../../platform/problems.ts'
import { unlikelySampleTime } from './clock.ts'
import * as q from './gateway-queries.ts'
import { ingestSamples } from './ingest.ts'
import type { SampleStretch } from './stretch.ts'

type Batch = z.output<typeof samplePush>
type Sample = Batch['samples'][number]
type Answer = z.output<typeof samplePushed>

/** A gateway can send again in a moment; it must not keep a connection waiting behind a long import. */
const WAIT_MS = 5000

/** Takes a batch of a gateway. The same batch again changes nothing and gets the same answer; another
 *  batch under the same id is refused. */
export async function pushSamples(deps: Deps, gatewayId: string, batch: Batch): Promise<Answer> {
  const content = contentOf(batch)
  const before = await answered(deps, gatewayId, batch.batchId, content)
  if (before) return before
  const bodyIds = [...new Set(batch.samples.map(({ bodyId }) => bodyId.toLowerCase()))]
  const spoken = await q.selectGatewayChannels(deps.database.pool, gatewayId, bodyIds)
  const heard = new Map(spoken.map(({ bodyId, quantities }) => [bodyId, quantities]))
  const { good, rejected } = sort(batch.samples, heard, deps.now())
  const answer: Answer = { batchId: batch.batchId, repeated: false, stored: 0, same: 0, differing: 0, rejected }
  try {
    await ingestSamples(deps, [...good.keys()], stretchesOf(good), {
      waitMs: WAIT_MS,
      async alsoStore(client, { stored, same, differing }) {
        Object.assign(answer, { stored, same, differing })
        await q.insertBatch(client, { id: batch.batchId, gatewayId, content, answer, at: deps.now() })
      },
    })
    return answer
  } catch (error) {
    // two came at once under this id: the other one was first
    const now = brokenRule(error) === 'push_batch_pkey' && (await answered(deps, gatewayId, batch.batchId, content))
    if (now) return now
    throw error
  }
}

async function answered(deps: Deps, gatewayId: string, batchId: string, content: Buffer): Promise<Answer | null> {
  const batch = await q.selectBatch(deps.database.pool, batchId)
  if (!batch) return null
  if (batch.gatewayId !== gatewayId)
    throw conflict('Another gateway has sent a batch with this id: make a new id for each batch.', [
      { path: 'body.batchId', message: 'is the id of another gateway’s batch' },
    ])
  if (!batch.content.equals(content))
    throw conflict('A batch with this id and other samples was taken before: send these samples under a new id.', [
      { path: 'body.batchId', message: 'is the id of a batch with other samples' },
    ])
  return { ...(batch.answer as Answer), repeated: true }
}

/** What a batch says, as a hash: however its ids, times and keys are written, and in the order of its samples. */
function contentOf({ samples }: Batch): Buffer {
  const said = samples.map(({ bodyId, at, values }) => [
    bodyId.toLowerCase(),
    Date.parse(at),
    QUANTITIES.map((quantity) => values[quantity] ?? null),
  ])
  return createHash('sha256').update(JSON.stringify(said)).digest()
}

/** Parts the samples that can be stored, by body, from those that cannot, each with its reason. */
function sort(samples: readonly Sample[], heard: ReadonlyMap<string, readonly Quantity[]>, now: Date) {
  const good = new Map<string, Sample[]>()
  const rejected: Reject[] = []
  samples.forEach((sample, index) => {
    const bodyId = sample.bodyId.toLowerCase()
    const trouble = troubleOf(sample, heard.get(bodyId), now)
    if (trouble) rejected.push({ line: index + 1, ...trouble })
    else good.set(bodyId, [...(good.get(bodyId) ?? []), sample])
  })
  return { good, rejected }
}

function troubleOf(sample: Sample, heard: readonly Quantity[] | undefined, now: Date): Omit<Reject, 'line'> | null {
  if (!heard)
    return {
      column: 'bodyId',
      value: sample.bodyId,
      reason: 'No controller of this gateway serves this body of water.',
    }
  const time = unlikelySampleTime(Date.parse(sample.at), +now)
  if (time) return { column: 'at', value: sample.at, reason: time }
  for (const [quantity, value] of Object.entries(sample.values) as [Quantity, number | boolean][]) {
    if (!heard.includes(quantity))
      return {
        column: quantity,
        value: String(value),
        reason: 'No channel in use of this gateway’s controllers carries it.',
      }
    const outside = outsideHardRange(QUANTITY_RANGES[quantity], Number(value))
    if (outside) return { column: quantity, value: String(value), reason: outside }
  }
  return null
}

const stretchesOf = (good: ReadonlyMap<string, readonly Sample[]>): SampleStretch[] =>
  [...good].map(([bodyId, samples]) => ({
    bodyId,
    count: samples.length,
    atMs: Float64Array.from(samples, ({ at }) => Date.parse(at)),
    columns: Object.fromEntries(
      QUANTITIES.filter((quantity) => samples.some(({ values }) => values[quantity] !== undefined)).map((quantity) => [
        quantity,
        Float64Array.from(samples, ({ values }) => Number(values[quantity] ?? Number.NaN)),
      ]),
    ),
  }))

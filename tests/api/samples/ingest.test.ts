import fc from 'fast-check'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { SampleStretch } from '../../../apps/api/src/capabilities/samples/index.ts'
import { ingestSamples } from '../../../apps/api/src/index.ts'
import { QUANTITIES, type Quantity } from '../../../packages/chemistry/src/index.ts'
import {
  makeBody,
  makeChannel,
  makeController,
  makeFacility,
  makeRoom,
  post,
  startTestApi,
  type TestApi,
} from '../support/company.ts'
import { type PlainSample, plainHours } from './plain-hours.ts'
import { differences, storedHours, storedSamples } from './stored.ts'

let api: TestApi
let roomId: string
let facilityId: string
beforeAll(async () => {
  api = await startTestApi()
  facilityId = (await makeFacility(api)).id
  roomId = (await makeRoom(api, facilityId)).id
})
afterAll(() => api.stop())

async function bodyWithChannels(quantities: readonly Quantity[] = QUANTITIES) {
  const body = await makeBody(api, facilityId, { equipmentRoomId: roomId })
  const controller = await makeController(api, roomId)
  const channels = []
  for (const quantity of quantities) channels.push(await makeChannel(api, controller.id, body.id, quantity))
  return { bodyId: body.id, channels }
}

function stretchOf(bodyId: string, samples: readonly PlainSample[]): SampleStretch {
  const columns = Object.fromEntries(
    QUANTITIES.map((quantity) => [
      quantity,
      Float64Array.from(samples, ({ values }) => values[quantity] ?? Number.NaN),
    ]),
  )
  return { bodyId, count: samples.length, atMs: Float64Array.from(samples, ({ atMs }) => atMs), columns }
}
const ingest = (bodyId: string, ...batches: PlainSample[][]) =>
  ingestSamples(
    api.deps,
    [bodyId],
    batches.map((samples) => stretchOf(bodyId, samples)),
  )

const T = Date.UTC(2026, 10, 20, 3, 0)
const at = (minutes: number, values: PlainSample['values']): PlainSample => ({ atMs: T + minutes * 60_000, values })

describe('the first stored value', () => {
  it('stays; an empty channel is filled; another value is counted and not taken', async () => {
    const { bodyId } = await bodyWithChannels()
    const first = await ingest(bodyId, [at(0, { ph: 7.4 }), at(5, { ph: 7.5, orpMv: 700 })])
    expect(first).toMatchObject({ stored: 2, same: 0, differing: 0 })
    const second = await ingest(bodyId, [at(0, { ph: 7.4, orpMv: 710 }), at(5, { ph: 7.9 }), at(10, { ph: 7.6 })])
    expect(second).toMatchObject({ stored: 2, same: 0, differing: 1 })
    expect((await storedSamples(api, bodyId)).map(({ values }) => values)).toEqual([
      { ph: 7.4, orpMv: 710 },
      { ph: 7.5, orpMv: 700 },
      { ph: 7.6 },
    ])
  })

  it('wins inside one input as well, and complementary channels of one time are joined', async () => {
    const { bodyId } = await bodyWithChannels()
    const counts = await ingest(bodyId, [
      at(0, { ph: 7.4 }),
      at(0, { orpMv: 700 }),
      at(0, { ph: 7.4 }),
      at(0, { ph: 8 }),
      at(-5, { ph: 7.3 }),
    ])
    expect(counts).toMatchObject({ stored: 2, same: 1, differing: 1 })
    expect(counts.bodies).toEqual([{ bodyId, samples: 2, fromMs: T - 300_000, toMs: T }])
    expect(await storedSamples(api, bodyId)).toEqual([at(-5, { ph: 7.3 }), at(0, { ph: 7.4, orpMv: 700 })])
  })

  it('makes the same input again change nothing, not even by a rewrite', async () => {
    const { bodyId } = await bodyWithChannels()
    const samples = Array.from({ length: 50 }, (_, index) => at(index * 5, { ph: 7.2 + index / 1000, flowOn: 1 }))
    await ingest(bodyId, samples)
    const versions = async () =>
      (
        await api.db.pool.query(
          `SELECT ctid, xmin, at FROM sample WHERE body_id = $1 UNION ALL SELECT ctid, xmin, hour FROM sample_hour WHERE body_id = $1`,
          [bodyId],
        )
      ).rows
    const before = await versions()
    expect(await ingest(bodyId, [...samples].reverse())).toMatchObject({ stored: 0, same: 50, differing: 0 })
    expect(await versions()).toEqual(before)
  })
})

describe('the hourly roll-up', () => {
  it('counts a sample until the next one of its hour, at most 15 minutes, and never past the hour', async () => {
    const { bodyId } = await bodyWithChannels()
    await ingest(bodyId, [
      at(0, { sanitizerFeedPct: 90, flowOn: 0, phFeedPct: 20 }),
      at(10, { sanitizerFeedPct: 100, flowOn: 1, phFeedPct: 0 }),
      at(55, { sanitizerFeedPct: 100, flowOn: 0 }),
    ])
    expect(await storedHours(api, bodyId)).toMatchObject([
      {
        samples: 3,
        coveredMin: 10 + 15 + 5,
        sanitizerFeedMin: 9 + 15 + 5,
        phFeedMin: 2,
        noFlowMin: 15,
        feedWithoutFlowMin: 9 + 5,
        bothFeedsMin: 1,
        sanitizerSamples: 3,
        phSamples: 1,
        bothSamples: 1,
        backupFeedMin: null,
        phMean: null,
      },
    ])
  })

  it('counts both feeds at once only for what cannot have been in turns', async () => {
    const { bodyId } = await bodyWithChannels()
    await ingest(bodyId, [
      at(0, { sanitizerFeedPct: 60, phFeedPct: 40 }),
      at(10, { sanitizerFeedPct: 80, phFeedPct: 50 }),
      at(20, { sanitizerFeedPct: 100, phFeedPct: 100 }),
      at(30, { sanitizerFeedPct: 100, phFeedPct: 0 }),
    ])
    expect(await storedHours(api, bodyId)).toMatchObject([{ bothFeedsMin: 0 + 3 + 10 + 0, bothSamples: 3 }])
  })

  it('knows no minutes without flow where no switch reports, and none of feed where no feed reports', async () => {
    const { bodyId } = await bodyWithChannels()
    await ingest(bodyId, [at(0, { ph: 7.4, flowOn: 0 }), at(60, { ph: 7.4, phFeedPct: 10 })])
    expect(await storedHours(api, bodyId)).toMatchObject([
      { noFlowMin: 15, feedWithoutFlowMin: null, phFeedMin: null, bothFeedsMin: null, bothSamples: null },
      { noFlowMin: null, feedWithoutFlowMin: null, phFeedMin: 1.5, bothFeedsMin: null },
    ])
  })

  it('after any batches in any order equals the one computed plainly from all samples', async () => {
    const value = (most: number) => fc.option(fc.integer({ min: 0, max: most }), { nil: undefined, freq: 3 })
    const sample = fc.record({
      minute: fc.integer({ min: 0, max: 400 }),
      values: fc.record({
        ph: value(14),
        orpMv: value(900),
        freeChlorineMgL: value(9),
        tempC: value(40),
        flowLMin: value(900),
        flowOn: value(1),
        sanitizerFeedPct: value(100),
        backupFeedPct: value(100),
        phFeedPct: value(100),
        phSetPoint: value(9),
        orpSetPointMv: value(800),
      }),
    })
    await fc.assert(
      fc.asyncProperty(
        fc.array(fc.array(sample, { minLength: 1, maxLength: 40 }), { minLength: 1, maxLength: 5 }),
        async (batches) => {
          const { bodyId } = await bodyWithChannels()
          const known = new Map<number, PlainSample>()
          for (const batch of batches) {
            const samples = batch.map(({ minute, values }) =>
              at(minute, Object.fromEntries(Object.entries(values).filter(([, v]) => v !== undefined))),
            )
            await ingest(bodyId, samples)
            for (const { atMs, values } of samples)
              known.set(atMs, { atMs, values: { ...values, ...known.get(atMs)?.values } })
          }
          const expected = [...known.values()].sort((a, b) => a.atMs - b.atMs)
          expect(await storedSamples(api, bodyId)).toEqual(expected)
          expect(differences(await storedHours(api, bodyId), plainHours(expected))).toEqual([])
        },
      ),
      { numRuns: 40 },
    )
  })

  it('is kept true by two inputs for one body at once', async () => {
    const { bodyId } = await bodyWithChannels()
    const all = Array.from({ length: 120 }, (_, index) =>
      at(index, { ph: 7 + (index % 7) / 10, phFeedPct: index % 100 }),
    )
    const parts = [0, 1, 2, 3].map((part) => all.filter((_, index) => index % 4 === part))
    await Promise.all(parts.map((part) => ingest(bodyId, part)))
    expect(differences(await storedHours(api, bodyId), plainHours(all))).toEqual([])
  })
})

describe('a check', () => {
  it('counts what would come in, and stores nothing', async () => {
    const { bodyId } = await bodyWithChannels()
    await ingest(bodyId, [at(0, { ph: 7.4 }), at(5, { ph: 7.5 })])
    const stretch = stretchOf(bodyId, [at(0, { ph: 7.4 }), at(5, { ph: 8 }), at(10, { ph: 7.6 }), at(10, { ph: 7.6 })])
    const counts = await ingestSamples(api.deps, [bodyId], [stretch], { check: true })
    expect(counts).toMatchObject({ stored: 1, same: 2, differing: 1 })
    expect(await storedSamples(api, bodyId)).toHaveLength(2)
    expect(await ingest(bodyId, [at(0, { ph: 7.4 })])).toMatchObject({ stored: 0, same: 1 })
  })
})

describe('it refuses', () => {
  it('a retired body, a retired channel and an unknown body, and stores nothing', async () => {
    const { bodyId, channels } = await bodyWithChannels(['ph', 'orpMv'])
    await post(api, `/channels/${channels[1]?.id}/retire`)
    await expect(ingest(bodyId, [at(0, { ph: 7.4, orpMv: 700 })])).rejects.toMatchObject({ kind: 'conflict' })
    expect(await ingest(bodyId, [at(0, { ph: 7.4 })])).toMatchObject({ stored: 1 })
    await post(api, `/bodies/${bodyId}/retire`)
    await expect(ingest(bodyId, [at(5, { ph: 7.4 })])).rejects.toMatchObject({ kind: 'conflict' })
    await expect(ingest('0199b0c4-7a1e-7000-8000-0000000000ff', [at(0, { ph: 7 })])).rejects.toMatchObject({
      kind: 'notFound',
    })
    expect(await storedSamples(api, bodyId)).toHaveLength(1)
  })

  it('everything when what comes later fails', async () => {
    const { bodyId } = await bodyWithChannels()
    async function* broken() {
      yield stretchOf(
        bodyId,
        Array.from({ length: 60_000 }, (_, index) => at(index, { ph: 7 })),
      )
      throw new Error('the file ends here')
    }
    await expect(ingestSamples(api.deps, [bodyId], broken())).rejects.toThrow('the file ends here')
    expect(await storedSamples(api, bodyId)).toEqual([])
  })
})

it('marks the bodies in the same transaction and assesses them after it', async () => {
  const { bodyId } = await bodyWithChannels()
  await ingest(bodyId, [at(0, { ph: 7.4 })])
  const { rows } = await api.db.pool.query('SELECT assessed_at FROM standing WHERE body_id = $1', [bodyId])
  expect(rows).toEqual([{ assessed_at: api.clock.now }])
})

it('makes the months that an input needs, and only those', async () => {
  const { bodyId } = await bodyWithChannels()
  await ingest(bodyId, [
    { atMs: Date.UTC(2003, 4, 5), values: { ph: 7 } },
    { atMs: Date.UTC(2019, 6, 5), values: { ph: 7 } },
  ])
  const { rows } = await api.db.pool.query(
    `SELECT inhrelid::regclass::text AS part FROM pg_inherits WHERE inhparent = 'sample'::regclass ORDER BY 1`,
  )
  const parts = rows.map(({ part }) => part)
  expect(parts).toContain('sample_2003_05')
  expect(parts).toContain('sample_2019_07')
  expect(parts).not.toContain('sample_2010_01')
})

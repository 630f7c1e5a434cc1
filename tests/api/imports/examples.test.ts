// The example exports of the demo company, each detected and imported without a person's help.
import type { Quantity } from '@sightglass/chemistry'
import { afterAll, beforeAll, expect, it } from 'vitest'
import { storedSamples } from '../samples/stored.ts'
import { bringIn, example, type ImportApi, place, startImportApi } from './exports.ts'

let api: ImportApi
beforeAll(async () => {
  api = await startImportApi()
})
afterAll(() => api.stop())

const BASE: Quantity[] = ['ph', 'orpMv', 'tempC', 'flowOn', 'sanitizerFeedPct', 'phFeedPct']
const WITH_SET_POINTS: Quantity[] = [...BASE, 'phSetPoint', 'orpSetPointMv']

it.each([
  ['terrace-pool-plain.csv', [[0, WITH_SET_POINTS, 864]], 864, []],
  ['atrium-pool-decimal-comma.csv', [[1, BASE, 864]], 864, []],
  ['atrium-spa-twelve-hour.tsv', [[2, BASE, 864]], 864, []],
  ['terrace-pool-report.txt', [[0, BASE, 576]], 576, []],
  ['atrium-pool-long.csv', [[1, BASE, 288]], 1728, []],
  [
    'atrium-two-bodies.txt',
    [
      [1, BASE, 432],
      [2, BASE, 432],
    ],
    864,
    [],
  ],
  ['terrace-pool-messy.csv', [[0, BASE, 279]], 292, [22, 23, 37, 52, 66, 82, 83, 97, 222, 223, 293]],
  ['terrace-pool-autumn-night.csv', [[0, BASE, 432]], 432, []],
] as [string, [body: number, quantities: Quantity[], samples: number][], number, number[]][])(
  '%s',
  async (name, expected, rows, rejectedLines) => {
    const { facilityId, bodies } = await place(api, ['Terrace pool', 'Atrium pool', 'Atrium spa'])
    const { uploaded, checked, done } = await bringIn(api, facilityId, await example(name), undefined, name)
    expect(uploaded.detection?.questions).toEqual([])
    expect(done).toMatchObject({ state: 'done', counts: { rows, rejected: rejectedLines.length, differing: 0 } })
    expect(checked.counts).toEqual(done.counts)
    expect(done.firstRejects.map(({ line }) => line)).toEqual(rejectedLines)
    for (const [index, bodyId] of bodies.entries()) {
      const [, quantities = [], samples = 0] = expected.find(([body]) => body === index) ?? []
      const stored = await storedSamples(api, bodyId)
      expect(stored).toHaveLength(samples)
      expect(new Set(stored.flatMap(({ values }) => Object.keys(values)))).toEqual(new Set(quantities))
      for (const { values } of stored) if (values.tempC !== undefined) expect(values.tempC).toBeGreaterThan(20)
    }
  },
)

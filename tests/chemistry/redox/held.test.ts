import { fitRedox, setPointAdvice } from '@sightglass/chemistry'
import { describe, expect, it } from 'vitest'
import { daysAgo, heldPairs, NOW, record } from './support.ts'

const setPoints = [{ atMs: daysAgo(60), orpMv: 770 }]
const WELL = { state: 'well', sinceMs: null, reasons: [], evidence: [] } as const
const AIM = { targetMgL: 2, orpMinMv: null, orpMaxMv: null, phSetPoint: null }
const judged = (pairs: ReturnType<typeof heldPairs>) => {
  const given = record({ pairs, setPoints })
  const model = fitRedox(given, NOW)
  return { model, advice: setPointAdvice(given, model, AIM, WELL, NOW) }
}

describe('where a controller holds the ORP', () => {
  const pairs = heldPairs(60, () => 770)

  it.each([
    ['the cell stood', -200],
    ['something was fed by hand', 90],
  ])('one pair from when %s bends nothing', (_why, byMv) => {
    const odd = pairs.map((one, i) =>
      i === pairs.length - 2 && one.orp ? { ...one, orp: { ...one.orp, value: one.orp.value + byMv } } : one,
    )
    const [sound, disturbed] = [judged(pairs), judged(odd)]
    expect(disturbed.model.pairsUsed).toBe(sound.model.pairsUsed - 1)
    expect(disturbed.model.correlation).toBe(sound.model.correlation)
    expect(disturbed.model.slopeMv.value / sound.model.slopeMv.value).toBeCloseTo(1, 1)
    const [now, before] = [disturbed.advice.holdsTargetMv?.value, sound.advice.holdsTargetMv?.value]
    expect(Math.abs((now ?? 0) - (before ?? Number.NaN))).toBeLessThan(2)
  })

  it('does not call an ORP that hardly moves one that does not follow', () => {
    expect(judged(pairs).model.correlation).not.toBe('none')
  })
})

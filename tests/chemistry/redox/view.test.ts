import { assessRedox, expectedOrp, noRedoxView, type RedoxRecord, redoxView } from '@sightglass/chemistry'
import { describe, expect, it } from 'vitest'
import { AIM, DAY, daysAgo, heldPairs, NOW, pair, pairsOf, record, shows, WATER, work } from './support.ts'

function view(
  given: Partial<RedoxRecord>,
  { showsOrp = true, logged = [] as { atMs: number; orpMv: number }[], urgent = true, nowMs = NOW } = {},
) {
  const whole = record(given)
  const assessment = assessRedox(whole, AIM, nowMs)
  return { ...redoxView({ record: whole, assessment, aim: AIM, logged, showsOrp, urgent }), model: assessment.model }
}
const setPoints = [{ atMs: daysAgo(60), orpMv: 770 }]
const held = { pairs: heldPairs(40, () => 770), setPoints }
const texts = (phrases: readonly { text: string }[]) => phrases.map(({ text }) => text).join(' ')

describe('the curve', () => {
  it('is the relation in the water of now: ORP rises with the acid, within its band, across all pairs and the target', () => {
    const { relation, model } = view(held)
    const curve = relation?.curve ?? []
    expect(curve.length).toBeGreaterThan(10)
    for (const [at, point] of curve.entries()) {
      const before = curve[at - 1]
      if (before) {
        expect(point.acidMgL).toBeGreaterThan(before.acidMgL)
        expect(point.orpMv.value).toBeGreaterThan(before.orpMv.value)
      }
      expect(point.orpMv.low).toBeLessThan(point.orpMv.value)
      expect(point.orpMv.high).toBeGreaterThan(point.orpMv.value)
      expect(point.orpMv).toEqual(
        expectedOrp(model, { ...(relation?.water ?? WATER), sanitizerMgL: point.sanitizerMgL }),
      )
    }
    for (const { acidMgL } of relation?.points ?? []) {
      expect(acidMgL).toBeGreaterThan(curve[0]?.acidMgL ?? Number.NaN)
      expect(acidMgL).toBeLessThan(curve.at(-1)?.acidMgL ?? Number.NaN)
    }
  })

  it('is theory with a wide band without a pair, and not there without a test', () => {
    const untold = view({ pairs: [pair(daysAgo(1), {}, { orpMv: null })] })
    expect(untold.relation?.told.text).toMatch(/theory alone/)
    expect(untold.relation?.points).toEqual([])
    expect(untold.relation?.curve.length).toBeGreaterThan(5)
    expect(view({}).relation).toBeNull()
  })
})

describe('pairs', () => {
  it('stand beside the curve as they would at the pH of now', () => {
    const off = { ...WATER, ph: 7.9 }
    const { relation, model } = view({ ...held, pairs: [...heldPairs(20, () => 770), pair(daysAgo(30), off)] })
    const point = relation?.points.find(({ atMs }) => atMs === daysAgo(30))
    const now = relation?.water.ph ?? Number.NaN
    expect(point?.orpMv).toBeCloseTo(shows(off), 6)
    expect((point?.besideCurveMv ?? 0) - (point?.orpMv ?? 0)).toBeCloseTo(
      model.phMv.value * (now - (point?.ph ?? Number.NaN)),
      0,
    )
  })

  it('say what the probe would show as it was, so that what is lost since stays in sight', () => {
    const lost = (ago: number) => (ago < 12 ? 30 : 0)
    const pairs = Array.from({ length: 36 }, (_, at) => {
      const ago = 36 - at
      const water = { ...WATER, sanitizerMgL: 2 + 0.8 * Math.sin(ago) }
      return pair(daysAgo(ago), water, { orpMv: shows(water) - lost(ago) })
    })
    const { relation, drift, breaks } = view({ pairs })
    const residual = (from: number, to: number) => {
      const some = relation?.points.filter(({ atMs }) => atMs >= daysAgo(from) && atMs < daysAgo(to)) ?? []
      return some.reduce((sum, one) => sum + one.residualMv, 0) / some.length
    }
    expect(residual(36, 14)).toBeCloseTo(0, 0)
    expect(residual(10, 0)).toBeGreaterThan(-34)
    expect(residual(10, 0)).toBeLessThan(-26)
    expect(drift?.told.text).toMatch(/shows \{0\} less than it did, at once/)
    expect(breaks).toEqual([{ atMs: daysAgo(11), kind: null, mv: expect.anything() }])
    expect(relation?.lastBreakMs).toBe(daysAgo(11))
    expect(relation?.points.filter(({ sinceBreak }) => sinceBreak)).toHaveLength(11)
  })

  it('that go on as before say so, and no more than they can', () => {
    expect(view(held).drift?.told.text).toMatch(/^ORP still means what it meant/)
    expect(view({ ...held, pairs: heldPairs(2, 770) }).drift?.told.text).toMatch(/^Too few pairs/)
    const little = { ...held, pairs: heldPairs(60, 770, { drift: (ago) => (ago < 20 ? -8 : 0) }) }
    const { drift } = view(little)
    expect(drift?.alarm).toBe(false)
    expect(drift?.told.text).toMatch(/shows \{0\} less than it did: too little to act on/)
  })

  it('that lie far from all others are named as doubted', () => {
    const pairs = heldPairs(40, () => 770)
    const wild = { ...WATER, sanitizerMgL: 9 }
    const { relation } = view({ setPoints, pairs: [...pairs, pair(daysAgo(0.5), wild, { orpMv: 770 })] })
    expect(relation?.points.filter(({ doubted }) => doubted).map(({ atMs }) => atMs)).toEqual([daysAgo(0.5)])
  })
})

describe('what nobody tested', () => {
  const untested = (pairs: RedoxRecord['pairs']) =>
    pairs.map((one) => ({ ...one, test: { ...one.test, tempC: null, tdsMgL: null, cyanuricAcidMgL: null } }))

  it('has no values from and to in what moved ORP, and is named in the water of the curve', () => {
    const { drift, relation } = view({ ...held, pairs: untested(held.pairs) })
    expect(relation?.untested).toEqual(['stabilizer', 'temperature', 'dissolvedSolids'])
    const parts = drift?.attribution?.parts ?? []
    expect(parts.find(({ factor }) => factor === 'ph')).toMatchObject({ from: 7.4, to: 7.4 })
    for (const factor of relation?.untested ?? [])
      expect(parts.find((one) => one.factor === factor)).toMatchObject({ from: null, to: null })
  })

  it('is not what moved ORP when a first test comes: what it was before nobody knows', () => {
    const measured = held.pairs.map((one, at) =>
      at < 30 ? one : { ...one, test: { ...one.test, cyanuricAcidMgL: { value: 70, atMs: one.atMs } } },
    )
    const { drift } = view({ ...held, pairs: measured, cyanuricAcidUsed: true })
    const part = drift?.attribution?.parts.find(({ factor }) => factor === 'stabilizer')
    expect(part?.from).toBeNull()
    expect(part?.to).toBeCloseTo(70, 0)
    expect(drift?.attribution?.main).not.toBe('stabilizer')
    expect(texts(drift?.reasons ?? [])).not.toMatch(/Cyanuric acid went/)
  })

  it('is a temperature whose last test is older than two months', () => {
    const old = { value: 30, atMs: daysAgo(75) }
    const pairs = held.pairs.map((one) => ({ ...one, test: { ...one.test, tempC: old } }))
    const { drift, relation } = view({ ...held, pairs })
    expect(relation?.untested).toContain('temperature')
    expect(drift?.attribution?.parts.find(({ factor }) => factor === 'temperature')?.to).toBeNull()
  })
})

describe('water that changed under a sound probe', () => {
  it('is said of the water: the heading does not say that ORP means what it meant', () => {
    const climbs = (ago: number) => ({ cyanuricAcidMgL: ago < 25 ? 80 : 20 })
    const { drift } = view({ cyanuricAcidUsed: true, pairs: pairsOf(40, { days: 40, at: climbs, noiseMv: 0.3 }) })
    expect(drift?.attribution?.main).toBe('stabilizer')
    expect(texts(drift?.reasons ?? [])).toMatch(/Cyanuric acid went from .* the same reading now stands \{2\} lower/)
    expect(drift?.told.text).toMatch(/it is the water that changed\.$/)
    const total = drift?.evidence.find(({ label }) => label === 'ORP for one reading, change')
    expect(total?.quantity.value).toBe(drift?.attribution?.totalMv.value)
  })
})

describe('old tests tell how it was', () => {
  const later = (days: number) => view(held, { nowMs: NOW + days * DAY })

  it('after more than two weeks, with how long ago', () => {
    const { drift, phProbe } = later(20)
    expect(drift?.told.text).toMatch(/^When last tested, \{1\} ago, ORP still meant what it had meant/)
    expect(drift?.told.quantities[1]).toEqual({ value: 20, unit: 'd' })
    expect(phProbe?.told.text).toMatch(/^When last tested, \{2\} ago, display and test kit agreed/)
    expect(phProbe?.told.quantities[2]).toEqual({ value: 20, unit: 'd' })
    expect(texts(phProbe?.reasons ?? [])).toMatch(/^Leave the pH set point alone/)
  })

  it('and say nothing of what the probe shows now', () => {
    const lost = (ago: number) => (ago < 12 ? -40 : 0)
    const lower = { pairs: pairsOf(40, { days: 36, drift: lost }) }
    const inDays = (days: number) => view(lower, { nowMs: NOW + days * DAY }).drift
    expect(texts(inDays(0)?.reasons ?? [])).toMatch(/the probe now shows/)
    expect(inDays(0)?.told.text).toMatch(/^In the same water ORP now shows/)
    expect(inDays(18)?.attribution?.main).toBe('unexplained')
    expect(texts(inDays(18)?.reasons ?? [])).not.toMatch(/the probe now shows/)
    expect(inDays(18)?.told.text).toMatch(/^When last tested, .*ORP showed \{0\} less in the same water than before/)
  })

  it('up to then how it is', () => {
    const { drift, phProbe } = later(13.9)
    expect(drift?.told.text).toMatch(/^ORP still means what it meant/)
    expect(phProbe?.told.text).toMatch(/display and test kit agree\.$/)
  })
})

describe('break points', () => {
  it('are work that may change what ORP is, with the step that the pairs show; a set point is none', () => {
    const { breaks, relation, setPoint } = view(
      {
        ...held,
        work: [work('orpProbeCleaned', 20), work('phCalibrated', 15), work('stabilizerAdded', 10)],
      },
      { logged: [{ atMs: daysAgo(3), orpMv: 765 }] },
    )
    expect(breaks.map(({ kind, atMs }) => [kind, atMs])).toEqual([['orpProbeCleaned', daysAgo(20)]])
    expect(relation?.lastBreakMs).toBe(daysAgo(20))
    expect(setPoint?.logged).toEqual([{ atMs: daysAgo(3), orpMv: 765 }])
  })
})

describe('what is missing is said with how to get it', () => {
  it('a pair, a channel, cyanuric acid, the set point', () => {
    const bare = view({ cyanuricAcidUsed: true, pairs: [pair(daysAgo(1), {}, { orpMv: null })] }, { showsOrp: false })
    expect(texts(bare.missing)).toMatch(/No test kit reading beside an ORP yet: enter a test with the ORP/)
    expect(texts(bare.missing)).toMatch(/No controller channel carries ORP/)
    expect(texts(bare.missing)).toMatch(/Cyanuric acid was never tested/)
    expect(texts(bare.missing)).toMatch(/The ORP set point is not known/)
    expect(bare.setPoint).toMatchObject({ action: 'cannotTell', byMv: null })
  })

  it('nothing where all is there', () => {
    expect(view(held).missing).toEqual([])
  })

  it('and what the view rests on', () => {
    expect(view(held).basis).toEqual({ tests: 40, pairs: 40, hours: 0, work: 0, fromMs: held.pairs[0]?.atMs })
    expect(noRedoxView(NOW, { text: 'Retired.', quantities: [] })).toMatchObject({
      missing: [{ text: 'Retired.' }],
      relation: null,
      setPoint: null,
      basis: { fromMs: null },
    })
  })
})

describe('the set point', () => {
  it('says by how much today, with the cautions of a move', () => {
    const pairs = heldPairs(40, () => 740)
    const { setPoint } = view({ pairs, setPoints: [{ atMs: daysAgo(60), orpMv: 740 }] })
    expect(setPoint?.action).toBe('move')
    expect(setPoint?.byMv).toBe((setPoint?.todayMv ?? 0) - 740)
    expect(setPoint?.cautions).toContain('retestBeforeBathers')
    expect(setPoint?.targetMgL).toBe(AIM.targetMgL)
  })

  it('calls for no move where no finding does', () => {
    const given = { pairs: heldPairs(40, () => 740), setPoints: [{ atMs: daysAgo(60), orpMv: 740 }] }
    const [calls, quiet] = [true, false].map((urgent) => view(given, { urgent }).setPoint)
    expect(texts(calls?.reasons ?? [])).toMatch(/Move the ORP set point from/)
    expect(quiet).toMatchObject({ urgent: false, todayMv: calls?.todayMv })
    expect(texts(quiet?.reasons ?? [])).not.toMatch(/Move the ORP set point|Clean the ORP probe first/)
    expect(texts(quiet?.reasons ?? [])).toMatch(/No finding asks for another set point.*Never adjust the ORP probe/)
  })
})

describe('the pH probe', () => {
  it('comes with every test that it was held against', () => {
    const pairs = [8, 6, 4, 2].map((ago) => pair(daysAgo(ago), {}, { shownPh: 7.5 }))
    const { phProbe } = view({ pairs, work: [work('phCalibrated', 20)] })
    expect(phProbe?.gaps).toHaveLength(4)
    expect(phProbe?.gaps[0]).toMatchObject({ atMs: NOW - 8 * DAY, testedPh: 7.4, shownPh: 7.5 })
    expect(phProbe?.gaps[0]?.apart).toBeCloseTo(0.1, 9)
    expect(phProbe?.calibratedMs).toEqual([daysAgo(20)])
    expect(phProbe?.told.text).toMatch(/over the test kit: they agree/)
  })
})

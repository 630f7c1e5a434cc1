// What the page of a body shows beside its tests; the numbers themselves are checked where they are worked out.
import { derivedValues, type Parameter, type Snapshot } from '@sightglass/chemistry'
import { describe, expect, it } from 'vitest'
import { GOOD, NOW, profile, snapshot, tested, withValues } from '../support.ts'

const things = (given: Snapshot) => derivedValues(given, profile(), NOW).map(({ thing }) => thing)
const numberOf = (given: Snapshot, thing: string) =>
  derivedValues(given, profile(), NOW).find((derived) => derived.thing === thing)?.value

describe('derived values', () => {
  it('are combined chlorine and the saturation index, as of the tests that they rest on', () => {
    const given = withValues({ freeChlorineMgL: 2, totalChlorineMgL: 2.6 })
    expect(things(given)).toEqual(['combinedChlorineMgL', 'saturationIndex'])
    expect(numberOf(given, 'combinedChlorineMgL')).toBeCloseTo(0.6, 9)
    for (const { atMs } of derivedValues(given, profile(), NOW)) expect(atMs).toBe(given.lastTestAtMs)
  })

  it('take no difference of two tests for combined chlorine', () => {
    const { totalChlorineMgL, ...others } = GOOD
    const given = snapshot({ tests: { ...tested(others, 2), ...tested({ totalChlorineMgL }, 5) } })
    expect(things(given)).toEqual(['saturationIndex'])
  })

  it('say nothing of combined chlorine in water with bromine', () => {
    expect(things(withValues({}, { sanitizerSystem: 'bromine' }))).toEqual(['saturationIndex'])
  })

  it.each<Parameter>(['ph', 'tempC', 'totalAlkalinityMgL', 'calciumHardnessMgL'])(
    'tell no index without %s',
    (missing) => {
      expect(things(withValues({ [missing]: undefined }))).toEqual(['combinedChlorineMgL'])
    },
  )

  it('grow more corrosive as pH falls', () => {
    const index = (ph: number) => numberOf(withValues({ ph }), 'saturationIndex') ?? Number.NaN
    expect(index(7)).toBeLessThan(index(7.4))
    expect(index(7.4)).toBeLessThan(index(7.8))
  })

  it('are none where nothing was measured', () => {
    expect(things(snapshot({ tests: {} }))).toEqual([])
  })
})

// The bench of faults in small: fixed plants, loose floors. npm run bench:faults has the figures.
import { CAUSES, FINDING_KINDS } from '@sightglass/chemistry'
import { describe, expect, it } from 'vitest'
import { FAULT_CASES, type FaultCase, type FaultName } from '../../seed/src/faults/catalogue.ts'
import { lifeOf, PLANT_KINDS, type PlantKind } from '../../seed/src/faults/plants.ts'
import { type CaseResult, judgeCase, judgeHealthy } from '../bench/faults/judge.ts'
import { observe } from '../bench/faults/observe.ts'
import { judgeSeason } from '../bench/faults/season.ts'
import { DAY } from './support.ts'

const names = Object.keys(FAULT_CASES) as FaultName[]
const caseOf = (name: FaultName): FaultCase => FAULT_CASES[name]
const inGroup = (...groups: FaultCase['group'][]) => names.filter((name) => groups.includes(caseOf(name).group))

describe('the catalogue of faults', () => {
  it('holds more than twenty, on plants of every kind', () => {
    expect(names.length).toBeGreaterThan(40)
    const befallen = new Set(names.flatMap((name) => caseOf(name).on))
    expect([...befallen].sort()).toEqual(Object.keys(PLANT_KINDS).sort())
  })

  it.each(names)('%s tells its story, the findings that show it and causes that exist', (name) => {
    const { story, on, expect: expected, causes = [], group } = caseOf(name)
    expect(story.length).toBeGreaterThan(15)
    expect(on.length).toBeGreaterThan(0)
    if (group !== 'decoy') expect(expected.length).toBeGreaterThan(0)
    expect(expected.filter((kind) => !(kind in FINDING_KINDS))).toEqual([])
    expect(causes.filter((cause) => !(CAUSES as readonly string[]).includes(cause))).toEqual([])
  })

  it('gives the same plant again for the same seed, with gaps, wrong tests and late visits of its own', () => {
    const life = () => lifeOf('spa', 'again', Date.UTC(2026, 5, 1), 20)
    expect(life()).toEqual(life())
    const faithful = { ...life(), record: { gapsPerDay: 0, gapMin: 0, wrongTests: 0, missedTests: 0, levelError: 0 } }
    const careless = {
      ...life(),
      record: { gapsPerDay: 3, gapMin: 40, wrongTests: 0.3, missedTests: 0.3, levelError: 0.02 },
    }
    const [whole, gappy] = [observe(faithful, []), observe(careless, [])]
    expect(gappy.samples.length).toBeLessThan(whole.samples.length * 0.97)
    expect(gappy.readings.length).toBeLessThan(whole.readings.length)
    const wrong = gappy.readings.filter(({ values }) => Math.abs((values.ph ?? 7.4) - 7.4) > 0.25).length
    expect(wrong).toBeGreaterThan(2)
  })

  it('lets nothing of the truth into what is judged by', () => {
    const observed = observe(lifeOf('indoorPool', 'honest', Date.UTC(2026, 5, 1), 10), [])
    const reported = new Set(observed.life.plant.controller?.channels)
    const shown = Object.entries(observed.samples[500] ?? {}).filter(([, value]) => value !== null)
    expect(shown.map(([name]) => name).filter((name) => name !== 'atMs' && !reported.has(name as never))).toEqual([])
  })
})

const EVERY_HOURS = 3

/** One plant of each fault, of the kinds that it can befall in turn. */
const judged = new Map<FaultName, CaseResult>()
function resultOf(name: FaultName): CaseResult {
  const { on } = caseOf(name)
  const kind = on[names.indexOf(name) % on.length] as PlantKind
  const result = judged.get(name) ?? judgeCase(name, kind, 'tests/0', EVERY_HOURS)
  judged.set(name, result)
  return result
}

describe('seeded plants with a fault of feed or flow', () => {
  it.each(inGroup('feed', 'flow'))('%s is said within two days', (name) => {
    expect(resultOf(name).delayHours).not.toBeNull()
    expect(resultOf(name).delayHours).toBeLessThanOrEqual(48)
  })

  it('are found nine times out of ten within a day, and rarely put down to something else', () => {
    const all = inGroup('feed', 'flow').map(resultOf)
    const inTime = all.filter(({ delayHours }) => delayHours !== null && delayHours <= 24)
    expect(inTime.length / all.length).toBeGreaterThan(0.88)
    expect(all.filter(({ wrongCause }) => wrongCause).length / all.length).toBeLessThan(0.15)
    expect(all.filter(({ others }) => others.length > 0).length / all.length).toBeLessThan(0.15)
  })
})

describe('seeded plants with a hazard', () => {
  it.each(inGroup('hazard'))('%s is said within two samples', (name) => {
    const { delayHours } = resultOf(name)
    expect(delayHours).not.toBeNull()
    expect(delayHours).toBeLessThanOrEqual(10 / 60 + 1e-9)
  })
})

describe('seeded plants on which nothing is wrong', () => {
  it('raise hardly anything', () => {
    const kinds: PlantKind[] = ['outdoorPool', 'bromineSpa']
    const healthy = kinds.map((kind) => judgeHealthy(kind, 'tests/0', EVERY_HOURS))
    const alarms = healthy.flatMap((one) => one.alarms).filter(({ kind }) => kind !== 'controllerSilent')
    // a rate of 0.1 for each body and month would be about 0.3 here
    expect(alarms.map(({ kind }) => kind).length).toBeLessThanOrEqual(1)
  })

  it('are not blamed for crowds', () => {
    expect(resultOf('crowds').others).toEqual([])
  })
})

describe('a season of set points', () => {
  it('follows the advice better than the last difference, and that better than nothing', () => {
    const within = (policy: Parameters<typeof judgeSeason>[0]) => {
      const kinds: PlantKind[] = ['outdoorLapPool']
      return kinds.reduce((sum, kind) => sum + judgeSeason(policy, kind, 'tests/0').weeksWithin, 0) / kinds.length
    }
    const [alone, difference, advice] = [within('alone'), within('difference'), within('advice')]
    expect(advice).toBeGreaterThan(difference)
    expect(difference).toBeGreaterThan(alone)
    expect(advice).toBeGreaterThan(0.7)
  })
})

it('keeps the days of a life in order', () => {
  const { tests, visits, fromMs, toMs } = lifeOf('wading', 'order', Date.UTC(2026, 5, 1), 30)
  for (const times of [tests.map(({ atMs }) => atMs), visits]) {
    expect(times).toEqual([...times].sort((a, b) => a - b))
    expect(times.every((atMs) => atMs > fromMs && atMs < toMs + 2 * DAY)).toBe(true)
  }
})

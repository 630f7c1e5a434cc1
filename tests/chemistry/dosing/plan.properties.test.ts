import {
  afterDose,
  CHEMICALS,
  type DosePlan,
  dosePlan,
  OutOfRange,
  type PlanRequest,
  type WantedThing,
  type Water,
  waterState,
} from '@sightglass/chemistry'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { paceOf } from '../../../packages/chemistry/src/dosing/pace.ts'
import { anyRequest, anyWater } from './given.ts'

const RUNS = { numRuns: 400 }

/** The plan, or null where the tests contradict each other or a dose leads beyond what can be reckoned. */
function planOf(request: PlanRequest): DosePlan | null {
  try {
    return dosePlan(request)
  } catch (error) {
    if (error instanceof OutOfRange) return null
    throw error
  }
}

/** The water before each step. */
const befores = (request: PlanRequest, { steps }: DosePlan): Water[] => [
  request.water,
  ...steps.slice(0, -1).map(({ after }) => after.water),
]

describe('any plan', { timeout: 120_000 }, () => {
  it('is made for any water whose tests agree', () => {
    fc.assert(
      fc.property(anyRequest, (request) => {
        expect(planOf(request)).not.toBeNull()
      }),
      RUNS,
    )
  })

  it('holds no number that is none, and no dose of nothing', () => {
    fc.assert(
      fc.property(anyRequest, (request) => {
        const plan = planOf(request)
        for (const number of numbersIn(plan)) expect(Number.isFinite(number)).toBe(true)
        for (const step of plan?.steps ?? []) {
          if (step.kind === 'dose') expect(step.amount.massG).toBeGreaterThan(0)
          if (step.kind === 'replace') expect(step.share > 0 && step.share <= 1).toBe(true)
        }
      }),
      RUNS,
    )
  })

  it('moves the water by no addition further than its pace allows', () => {
    fc.assert(
      fc.property(anyRequest, (request) => {
        const plan = planOf(request)
        if (!plan) return
        const { limits } = paceOf(request.volumeL, request.flowLMin)
        plan.steps.forEach((step, index) => {
          if (step.kind !== 'dose') return
          let water = befores(request, plan)[index] as Water
          const chemical = request.chemicals.find(({ key }) => key === step.chemical)
          expect(chemical).toBeDefined()
          if (!chemical) return
          for (let part = 0; part < step.parts; part++) {
            const next = afterDose(water, request.volumeL, { chemical, massG: step.amount.massG / step.parts })
            expect(Math.abs(next.ph - water.ph)).toBeLessThanOrEqual(limits.ph + 1e-6)
            expect(next.freeChlorineMgL - water.freeChlorineMgL).toBeLessThanOrEqual(limits.freeChlorineMgL + 1e-6)
            expect(next.bromineMgL - water.bromineMgL).toBeLessThanOrEqual(limits.bromineMgL + 1e-6)
            expect(water.totalAlkalinityMgL - next.totalAlkalinityMgL).toBeLessThanOrEqual(
              limits.acidAlkalinityMgL + 1e-6,
            )
            expect(next.totalAlkalinityMgL - water.totalAlkalinityMgL).toBeLessThanOrEqual(
              limits.totalAlkalinityMgL + 1e-6,
            )
            expect(next.calciumHardnessMgL - water.calciumHardnessMgL).toBeLessThanOrEqual(
              limits.calciumHardnessMgL + 1e-6,
            )
            water = next
          }
          // breakpoint takes up chlorine besides
          if (step.after.water.combinedChlorineMgL === water.combinedChlorineMgL) {
            expect(step.after.water.ph).toBeCloseTo(water.ph, 6)
          }
        })
      }),
      RUNS,
    )
  })

  it('uses only what is at hand, never what is for reference, and no cyanuric acid where it is forbidden', () => {
    fc.assert(
      fc.property(anyRequest, (request) => {
        for (const step of planOf(request)?.steps ?? []) {
          if (step.kind !== 'dose') continue
          expect(request.chemicals.map(({ key }) => key)).toContain(step.chemical)
          const chemical = CHEMICALS[step.chemical]
          expect(chemical.referenceOnly).toBe(false)
          if (request.forbidden) expect(chemical.perKg.cyanuricAcidMmolL).toBe(0)
        }
      }),
      RUNS,
    )
  })

  it('ends inside the ranges, or says what stays outside', () => {
    fc.assert(
      fc.property(anyRequest, (request) => {
        const plan = planOf(request)
        if (!plan || plan.remains.length > 0) return
        for (const [thing, range] of Object.entries(request.wanted.ranges)) {
          if (request.untested?.includes(thing as keyof Water)) continue
          const value =
            thing === 'saturationIndex'
              ? plan.after.saturationIndex
              : plan.after.water[thing as Exclude<WantedThing, 'saturationIndex'>]
          if (value === null) continue
          if (request.body.sanitizerSystem === 'bromine' && thing === 'freeChlorineMgL') continue
          const slack = SLACK[thing as WantedThing]
          if (range.min !== null) expect(value, thing).toBeGreaterThanOrEqual(range.min - slack)
          if (range.max !== null) expect(value, thing).toBeLessThanOrEqual(range.max + slack)
        }
      }),
      { numRuns: 1500 },
    )
  })

  it('asks for as much more as the body is larger', () => {
    fc.assert(
      fc.property(anyRequest, fc.constantFrom(0.01, 7, 300), (request, times) => {
        const larger = {
          ...request,
          volumeL: request.volumeL * times,
          flowLMin: request.flowLMin && request.flowLMin * times,
        }
        const [plan, other] = [planOf(request), planOf(larger)]
        const shape = (one: DosePlan | null) =>
          one?.steps.map((step) => (step.kind === 'dose' ? step.chemical : step.kind))
        expect(shape(other)).toEqual(shape(plan))
        plan?.steps.forEach((step, index) => {
          const same = other?.steps[index]
          if (step.kind === 'dose' && same?.kind === 'dose') {
            expect(same.amount.massG / step.amount.massG / times).toBeCloseTo(1, 6)
            expect(same.parts).toBe(step.parts)
          }
        })
      }),
      { numRuns: 150 },
    )
  })

  it('is empty and leaves nothing when it is followed and made again, as far as it did not say so', () => {
    fc.assert(
      fc.property(anyRequest, (request) => {
        const plan = planOf(request)
        if (!plan || plan.remains.length > 0) return
        const again = planOf({ ...request, wanted: widened(request.wanted), water: plan.after.water })
        expect(again?.steps.map(({ purpose }) => purpose.text) ?? []).toEqual([])
      }),
      RUNS,
    )
  })

  it('never has acid and chlorine, or calcium and carbonate, follow each other without a wait of half an hour at least', () => {
    fc.assert(
      fc.property(anyRequest, (request) => {
        const steps = planOf(request)?.steps ?? []
        for (const step of steps) expect(step.waitMin).toBeGreaterThanOrEqual(30)
      }),
      RUNS,
    )
  })
})

// what a step may move out of its range beside what it is for, without another dose for it
const SLACK: Record<WantedThing, number> = {
  freeChlorineMgL: 1e-6,
  bromineMgL: 1e-6,
  combinedChlorineMgL: 1e-6,
  ph: 0.05,
  totalAlkalinityMgL: 2,
  calciumHardnessMgL: 5,
  cyanuricAcidMgL: 2,
  tdsMgL: 50,
  saturationIndex: 0.05,
}

/** Ranges that take in what a step may move beyond them. */
const widened = (wanted: PlanRequest['wanted']): PlanRequest['wanted'] => ({
  ...wanted,
  ranges: Object.fromEntries(
    Object.entries(wanted.ranges).map(([thing, range]) => {
      const slack = SLACK[thing as WantedThing]
      return [thing, { ...range, min: range.min && range.min - slack, max: range.max && range.max + slack }]
    }),
  ),
})

function* numbersIn(thing: unknown): Generator<number> {
  if (typeof thing === 'number') yield thing
  else if (thing && typeof thing === 'object') for (const value of Object.values(thing)) yield* numbersIn(value)
}

describe('the state of any water', () => {
  it('is told in finite numbers or not at all', () => {
    fc.assert(
      fc.property(anyWater, (water) => {
        for (const number of numbersIn(waterState(water))) expect(Number.isFinite(number)).toBe(true)
      }),
      RUNS,
    )
  })
})

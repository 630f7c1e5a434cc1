import {
  type BodyFacts,
  CHEMICAL_KEYS,
  CHEMICALS,
  type Chemical,
  type ChemicalKey,
  carbonateSystem,
  dosePlan,
  OutOfRange,
  type PlanRequest,
  PROFILES,
  type Water,
  wantedRanges,
} from '@sightglass/chemistry'
import fc from 'fast-check'
import { POOL, profile } from '../support.ts'

/** Values with which nothing is to be done. */
export const GOOD_WATER: Water = {
  tempC: 27,
  ph: 7.4,
  totalAlkalinityMgL: 90,
  calciumHardnessMgL: 250,
  cyanuricAcidMgL: 0,
  boronMgL: 0,
  tdsMgL: 1200,
  freeChlorineMgL: 2.5,
  combinedChlorineMgL: 0.1,
  bromineMgL: 0,
  sulfateMgL: 0,
}

const USUAL_KEYS: readonly ChemicalKey[] = [
  'sodiumHypochloriteTrade12',
  'hydrochloricAcid31',
  'sodiumBicarbonate',
  'sodiumCarbonate',
  'calciumChloride77',
]
export const these = (...keys: ChemicalKey[]): readonly Chemical[] => keys.map((key) => CHEMICALS[key])
export const USUAL = these(...USUAL_KEYS)

/** A plan for good water but for what is named, in a pool of 300,000 L that turns over in 5.6 hours, by the default profile. */
export function planned(
  water: Partial<Water>,
  {
    body = {},
    key = 'cdc-mahc',
    ...given
  }: { body?: Partial<BodyFacts>; key?: string } & Partial<Omit<PlanRequest, 'body'>> = {},
) {
  const facts = { ...POOL, ...body }
  const all = { ...GOOD_WATER, ...water }
  return dosePlan({
    water: all,
    wanted: wantedRanges(profile(key), facts, all),
    volumeL: facts.volumeL ?? 300_000,
    flowLMin: facts.flowLMin,
    body: facts,
    chemicals: USUAL,
    ...given,
  })
}

const real = (min: number, max: number) => fc.double({ min, max, noNaN: true })

/** Waters that a pool can hold; tests that contradict each other are left out. */
export const anyWater: fc.Arbitrary<Water> = fc
  .record({
    tempC: real(3, 42),
    ph: real(6.2, 9),
    totalAlkalinityMgL: real(10, 400),
    calciumHardnessMgL: real(5, 1500),
    cyanuricAcidMgL: fc.oneof(fc.constant(0), real(0, 200)),
    boronMgL: fc.oneof(fc.constant(0), real(0, 50)),
    tdsMgL: real(200, 8000),
    freeChlorineMgL: fc.oneof(real(0, 5), real(0, 40)),
    combinedChlorineMgL: fc.oneof(real(0, 0.5), real(0, 8)),
    bromineMgL: fc.constant(0),
    sulfateMgL: real(0, 500),
  })
  .filter(isConsistent)

export function isConsistent(water: Water): boolean {
  try {
    return carbonateSystem(water).alkalinity.carbonate > 2
  } catch (error) {
    if (error instanceof OutOfRange) return false
    throw error
  }
}

const anyBody = fc.record({
  useClass: fc.constantFrom('pool', 'spa', 'wading', 'splash', 'therapy'),
  setting: fc.constantFrom('indoor', 'outdoor'),
  sanitizerSystem: fc.constantFrom('hypochlorite', 'erosion', 'saltGenerator', 'bromine'),
  cyanuricAcidUsed: fc.boolean(),
  volumeL: fc.constantFrom(400, 2_000, 40_000, 300_000, 2_500_000),
  turnoverH: fc.option(fc.constantFrom(0.3, 2, 6, 8, 12)),
}) as fc.Arbitrary<Omit<BodyFacts, 'flowLMin'> & { volumeL: number; turnoverH: number | null }>

/** Any plan that could be asked for: any body, any published profile, anything at hand. */
export const anyRequest: fc.Arbitrary<PlanRequest & { forbidden: boolean }> = fc
  .record({
    water: anyWater,
    bromineMgL: real(0, 12),
    body: anyBody,
    profile: fc.constantFrom(...PROFILES),
    keys: fc.oneof(fc.constant(USUAL_KEYS), fc.uniqueArray(fc.constantFrom(...CHEMICAL_KEYS), { maxLength: 12 })),
    untested: fc.subarray(['calciumHardnessMgL', 'cyanuricAcidMgL', 'combinedChlorineMgL', 'tdsMgL'] as const),
  })
  .map(({ water, bromineMgL, body, profile: code, keys, untested }) => {
    const { turnoverH, ...facts } = body
    const flowLMin = turnoverH === null ? null : facts.volumeL / (60 * turnoverH)
    const all = { ...facts, flowLMin }
    const brominated = facts.sanitizerSystem === 'bromine' ? { ...water, bromineMgL, freeChlorineMgL: 0 } : water
    const wanted = wantedRanges(code, all, brominated)
    return {
      water: brominated,
      wanted,
      volumeL: facts.volumeL,
      flowLMin,
      body: all,
      chemicals: these(...keys),
      untested,
      forbidden: wanted.cyanuricAcidForbidden !== null,
    }
  })

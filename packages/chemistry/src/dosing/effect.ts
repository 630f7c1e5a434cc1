import { type Addition, afterAddition, strongOf } from '../balance/additions.ts'
import { waterState } from '../balance/waterState.ts'
import { MG_CACO3_PER_MEQ, MOLAR_MASS } from '../constants.ts'
import { BROMINE_PER_CHLORINE } from '../disinfection/bromine.ts'
import { inRange, within } from '../errors.ts'
import { asMgL, basesAt, carbonatesFrom } from '../speciation/carbonate.ts'
import { solutionOf } from '../speciation/solution.ts'
import { checkedWater, type Water } from '../water.ts'
import type { Chemical } from './catalogue.ts'
import type { Amount, WaterState } from './plan.types.ts'

/** A chemical and how much of it. */
export interface Dose {
  chemical: Chemical
  massG: number
}

/** Volume over which doses are reckoned, litres: a bucket to a lagoon. */
const VOLUME_L = [1, 1e9] as const
const MOST_MASS_G = 1e9

/** An amount as it is weighed or measured out. */
export const amountOf = ({ densityKgL }: Chemical, massG: number): Amount => ({
  massG,
  volumeL: densityKgL === null ? null : massG / 1000 / densityKgL,
})

/** Grams of a measured volume; solids and gases are weighed → OutOfRange. */
export const massOfVolume = ({ densityKgL, name }: Chemical, volumeL: number): number =>
  volumeL * 1000 * within(`density of ${name.toLowerCase()} in kg/L`, densityKgL ?? Number.NaN, 0, 3)

/**
 * The water once a chemical has dissolved and mixed, with all that it also does: pH, alkalinity, salt, sulfate, calcium, cyanuric
 * acid. Closed system: nothing lost to the air yet, no chlorine used up yet.
 * @param volumeL litres of the body, 1 to 10⁹
 * @throws OutOfRange where the water would leave the ranges of `Water`
 */
export function afterDose(water: Water, volumeL: number, { chemical, massG }: Dose): Water {
  within('volume in L', volumeL, ...VOLUME_L)
  within('amount in g', massG, 0, MOST_MASS_G)
  if (massG === 0) return water
  return afterAddition(water, additionOf(chemical, massG / 1000 / volumeL, water))
}

/** What each litre gets of a chemical at `kgPerL`. */
function additionOf({ perKg, family }: Chemical, kgPerL: number, water: Water): Addition {
  const added: Required<Addition> = { ...perKg }
  for (const key of Object.keys(perKg) as (keyof Addition)[]) added[key] = perKg[key] * kgPerL
  if (family === 'reducer') return reducing(added, water)
  // an acid cannot take out more dissolved solids than there are
  added.dissolvedSolidsMgL = Math.max(-water.tdsMgL, added.dissolvedSolidsMgL)
  return added
}

/** Thiosulfate stops where nothing is left to take up: what is too much waits for the next chlorine. */
function reducing(added: Required<Addition>, water: Water): Addition {
  const takesMgL = -added.availableChlorineMgL
  const freeMgL = Math.min(takesMgL, water.freeChlorineMgL)
  const bromineMgL = Math.min((takesMgL - freeMgL) * BROMINE_PER_CHLORINE, water.bromineMgL)
  const used = (freeMgL + bromineMgL / BROMINE_PER_CHLORINE) / takesMgL
  return {
    ...added,
    availableChlorineMgL: -freeMgL,
    bromineMgL: -bromineMgL,
    alkalinityMeqL: added.alkalinityMeqL * used,
    sulfateMgL: added.sulfateMgL * used,
  }
}

/** What a dose can be reckoned towards. */
export const DOSED_THINGS = [
  'ph',
  'totalAlkalinityMgL',
  'calciumHardnessMgL',
  'cyanuricAcidMgL',
  'boronMgL',
  'freeChlorineMgL',
  'bromineMgL',
  'tdsMgL',
] as const
export type DosedThing = (typeof DOSED_THINGS)[number]

/**
 * How much of a chemical brings one value of the water to what is wanted.
 * @returns null where this chemical cannot: it moves the value the other way, not at all, or not that far
 */
export function amountFor(
  water: Water,
  volumeL: number,
  chemical: Chemical,
  thing: DosedThing,
  wanted: number,
): Amount | null {
  within('volume in L', volumeL, ...VOLUME_L)
  if (wanted === water[thing]) return amountOf(chemical, 0)
  const kgPerL =
    thing === 'ph'
      ? kgPerLForPh(water, chemical, wanted)
      : thing === 'totalAlkalinityMgL'
        ? kgPerLForAlkalinity(water, chemical, wanted)
        : (wanted - water[thing]) / movesPerKg(chemical, thing)
  if (kgPerL === null || !(kgPerL > 0) || kgPerL === Number.POSITIVE_INFINITY) return null
  const massG = kgPerL * 1000 * volumeL
  return massG <= MOST_MASS_G ? amountOf(chemical, massG) : null
}

/** mg/L of a value that is only mixed, for each kg/L. */
function movesPerKg({ perKg }: Chemical, thing: Exclude<DosedThing, 'ph' | 'totalAlkalinityMgL'>): number {
  switch (thing) {
    case 'calciumHardnessMgL':
      return perKg.calciumMmolL * MOLAR_MASS.calciumCarbonate
    case 'cyanuricAcidMgL':
      return perKg.cyanuricAcidMmolL * MOLAR_MASS.cyanuricAcid
    case 'boronMgL':
      return perKg.boronMmolL * MOLAR_MASS.boron
    case 'freeChlorineMgL':
      return perKg.availableChlorineMgL
    case 'bromineMgL':
      return perKg.bromineMgL
    case 'tdsMgL':
      return perKg.dissolvedSolidsMgL
  }
}

// a base per litre beyond which nothing here is a dose
const MOST_MEQL = 60
const MOST_ROUNDS = 40
const EVEN = 1e-10

/** kg/L at which pH comes out as wanted. At a known pH the balance of bases is nearly a straight line in the amount: what is
 * added is what carbonate, cyanurate, borate and hypochlorite hold there more than they do now. */
function kgPerLForPh(water: Water, { perKg }: Chemical, ph: number): number | null {
  const start = strongOf(checkedWater(water))
  const basePerKg = perKg.alkalinityMeqL / 1000
  const carbonPerKg = perKg.inorganicCarbonMmolL / 1000
  const strength = Math.max(Math.abs(basePerKg), carbonPerKg)
  if (strength === 0) return null
  const hydrogen = 10 ** -ph
  let kgPerL = 0
  let totalAlkalinityMgL = water.totalAlkalinityMgL
  for (let round = 0; round < MOST_ROUNDS; round++) {
    const so = mixedIn(water, perKg, kgPerL)
    if (!so) return null
    const base = start.base + basePerKg * kgPerL
    const carbon = start.carbon + carbonPerKg * kgPerL
    const solution = solutionOf({ ...so, totalAlkalinityMgL })
    const { hydroxide, borate, cyanurate, hypohalite } = basesAt(solution, hydrogen)
    const alkalinityBefore = totalAlkalinityMgL
    totalAlkalinityMgL = asMgL(base - hypohalite)
    const held = carbon > 0 ? carbonatesFrom(solution, hydrogen, { carbon }).alkalinity : 0
    const perCarbon = carbon > 0 ? held / carbon : 0
    const missing = held + hydroxide + borate + cyanurate + hypohalite - base
    const slope = basePerKg - perCarbon * carbonPerKg
    // no amount of bicarbonate brings water past the pH at which it neither gives nor takes H+
    if (Math.abs(slope) < 1e-3 * strength) return null
    const next = kgPerL + missing / slope
    if (!(next >= 0) || next * strength * 1000 > MOST_MEQL) return null
    const settled = Math.abs(totalAlkalinityMgL - alkalinityBefore) < 0.01
    if (settled && Math.abs(next - kgPerL) * strength < EVEN) return next
    kgPerL = next
  }
  return null
}

/** What of the water is only mixed, at an amount; null beyond the ranges of `Water`. */
function mixedIn(water: Water, perKg: Required<Addition>, kgPerL: number): Water | null {
  const so: Water = {
    ...water,
    calciumHardnessMgL: water.calciumHardnessMgL + perKg.calciumMmolL * kgPerL * MOLAR_MASS.calciumCarbonate,
    cyanuricAcidMgL: water.cyanuricAcidMgL + perKg.cyanuricAcidMmolL * kgPerL * MOLAR_MASS.cyanuricAcid,
    boronMgL: water.boronMgL + perKg.boronMmolL * kgPerL * MOLAR_MASS.boron,
    freeChlorineMgL: water.freeChlorineMgL + perKg.availableChlorineMgL * kgPerL,
    bromineMgL: water.bromineMgL + perKg.bromineMgL * kgPerL,
    tdsMgL: Math.max(0, water.tdsMgL + perKg.dissolvedSolidsMgL * kgPerL),
  }
  return inRange(() => checkedWater(so))
}

/** kg/L at which the titrated alkalinity comes out as wanted: the plain proportion, and a little for what hypochlorite shifts. */
function kgPerLForAlkalinity(water: Water, chemical: Chemical, wantedMgL: number): number | null {
  const mgLPerKg = chemical.perKg.alkalinityMeqL * MG_CACO3_PER_MEQ
  if (mgLPerKg === 0) return null
  let kgPerL = 0
  let reached = water.totalAlkalinityMgL
  for (let round = 0; round < MOST_ROUNDS; round++) {
    kgPerL += (wantedMgL - reached) / mgLPerKg
    if (!(kgPerL > 0)) return null
    const after = inRange(() => afterAddition(water, additionOf(chemical, kgPerL, water)))
    if (!after) return null
    reached = after.totalAlkalinityMgL
    if (Math.abs(wantedMgL - reached) < 0.01) return kgPerL
  }
  return null
}

/** What if: some values of the water otherwise, some chemicals added. Nothing of it is kept.
 * @throws OutOfRange where the water would leave the ranges of `Water` */
export function whatIf(
  water: Water,
  volumeL: number,
  { moved = {}, doses = [] }: { moved?: Partial<Water>; doses?: readonly Dose[] },
): WaterState {
  return waterState(doses.reduce((so, dose) => afterDose(so, volumeL, dose), { ...water, ...moved }))
}

import { molarMass, type SubstanceKey } from './substances.ts'

/** kg/L and composition (share of the weight) of chemicals that are sold as solutions, by their strength. */
export interface Solution {
  densityKgL: number
  composition: Partial<Record<SubstanceKey, number>>
}

/** Sodium hydroxide left in hypochlorite so that it keeps, share of the weight. Common practice, no source: 0.2 to 0.5 %. */
const EXCESS_HYDROXIDE = 0.003

// 120 g/L: 1.157 without sodium hydroxide, 1.160 with 0.2 %, 1.168 with 0.73 % of it, 20 °C (a maker's data sheet, second hand)
const DENSITY_PER_GPL = 0.157 / 120
const DENSITY_PER_HYDROXIDE = 1.5

/** Sodium hypochlorite by its trade per cent: available chlorine in g/L ÷ 10. As made from chlorine and caustic, it holds as
 * many mol of sodium chloride. Trade and weight per cent: Handbook of Chlorination (1972) as cited by a distributor. */
export function hypochloriteByTrade(tradePct: number): Solution {
  const densityKgL = 1 + 10 * tradePct * DENSITY_PER_GPL + DENSITY_PER_HYDROXIDE * EXCESS_HYDROXIDE
  const molPerKg = (10 * tradePct) / molarMass('chlorine') / densityKgL
  return {
    densityKgL,
    composition: {
      sodiumHypochlorite: (molPerKg * molarMass('sodiumHypochlorite')) / 1000,
      sodiumChloride: (molPerKg * molarMass('sodiumChloride')) / 1000,
      sodiumHydroxide: EXCESS_HYDROXIDE,
    },
  }
}

/** Sodium hypochlorite by weight per cent of NaOCl, as labels for households and registration print it. */
export function hypochloriteByWeight(weightPct: number): Solution {
  const gramsPerKg = (10 * weightPct * molarMass('chlorine')) / molarMass('sodiumHypochlorite')
  const withoutChlorine = 1 + DENSITY_PER_HYDROXIDE * EXCESS_HYDROXIDE
  const gramsPerL = (gramsPerKg * withoutChlorine) / (1 - gramsPerKg * DENSITY_PER_GPL)
  return hypochloriteByTrade(gramsPerL / 10)
}

/** Hydrochloric acid: 29.72 % is 1.1504, 31.50 % 1.1588 and 34.24 % 1.1730 kg/L (old encyclopedic dictionary, 15 °C); a straight line to
 * water runs through all three within 0.0003. */
export const hydrochloricAcid = (weightPct: number): Solution => ({
  densityKgL: 1 + 0.00505 * weightPct,
  composition: { hydrogenChloride: weightPct / 100 },
})

/** Weight % and kg/L at 20 °C. 100 %: globalspec.com reference 10728, chapter 3; the others from memory. */
const SULFURIC = [
  [0, 0.998],
  [10, 1.066],
  [20, 1.139],
  [30, 1.219],
  [40, 1.303],
  [50, 1.395],
  [60, 1.498],
  [70, 1.61],
  [80, 1.727],
  [90, 1.814],
  [94, 1.831],
  [98, 1.836],
  [100, 1.8305],
] as const
export const sulfuricAcid = (weightPct: number): Solution => ({
  densityKgL: between(SULFURIC, weightPct),
  composition: { sulfuricAcid: weightPct / 100 },
})

/** Weight % and kg/L at 20 °C, from memory. */
const CAUSTIC = [
  [0, 0.998],
  [10, 1.109],
  [20, 1.219],
  [30, 1.328],
  [40, 1.43],
  [50, 1.525],
] as const
export const causticSoda = (weightPct: number): Solution => ({
  densityKgL: between(CAUSTIC, weightPct),
  composition: { sodiumHydroxide: weightPct / 100 },
})

/** Straight lines between the rows. */
function between(rows: readonly (readonly [number, number])[], x: number): number {
  const upper = rows.findIndex(([at]) => at >= x)
  const [x1, y1] = rows[Math.max(upper, 1)] as [number, number]
  const [x0, y0] = rows[Math.max(upper, 1) - 1] as [number, number]
  return y0 + ((x - x0) / (x1 - x0)) * (y1 - y0)
}

import {
  afterDose,
  amountFor,
  CHEMICAL_KEYS,
  CHEMICAL_SOURCES,
  CHEMICALS,
  type Chemical,
  type ChemicalKey,
  chlorineConsumed,
  type DosePlan,
  renderPhrase,
  type Water,
} from '@sightglass/chemistry'
import { GOOD_WATER, planned } from './given.ts'

const round = (value: number, decimals: number) => Number(value.toFixed(decimals)).toString().replace('-', '−')

/** What 1 kg brings beside its equivalents, in the words of the page. */
function besides({ perKg }: Chemical): string {
  const parts: [number, string][] = [
    [perKg.availableChlorineMgL / 1e6, 'kg of available chlorine'],
    [perKg.bromineMgL / 1e6, 'kg of bromine'],
    [perKg.cyanuricAcidMmolL * 129.0746e-6, 'kg of cyanuric acid'],
    [perKg.inorganicCarbonMmolL / 1000, 'mol of carbon'],
    [perKg.calciumMmolL * 100.0869e-6, 'kg of hardness as CaCO3'],
    [perKg.boronMmolL * 10.81e-6, 'kg of boron'],
    [perKg.sulfateMgL / 1e6, 'kg of sulfate'],
  ]
  return parts
    .filter(([amount]) => amount !== 0)
    .map(([amount, what]) =>
      amount < 0 ? `takes up ${round(-amount, 3)} ${what.replace('available ', '')}` : `${round(amount, 3)} ${what}`,
    )
    .join(', ')
}

/** One row for each chemical, as it stands on the page. */
export const chemicalRows = (): string[] =>
  CHEMICAL_KEYS.map((key) => {
    const chemical = CHEMICALS[key]
    const cells = [
      chemical.name,
      chemical.strength || 'pure',
      chemical.densityKgL === null ? '' : round(chemical.densityKgL, 3),
      round(chemical.perKg.alkalinityMeqL / 1000, 2),
      besides(chemical),
      CHEMICAL_SOURCES[key],
    ]
    return `| ${cells.join(' | ')} |`
  })

const plainWater: Water = { ...GOOD_WATER, freeChlorineMgL: 0 }
const acid = (key: ChemicalKey) => {
  const amount = amountFor(plainWater, 100_000, CHEMICALS[key], 'totalAlkalinityMgL', 80)
  const after = afterDose(plainWater, 100_000, { chemical: CHEMICALS[key], massG: amount?.massG ?? 0 })
  return { amount, after }
}

/** Acids that take 10 mg/L of alkalinity from 100,000 L: what differs and what does not. */
export const acidRows = (): string[] =>
  (['hydrochloricAcid31', 'hydrochloricAcid15', 'sulfuricAcid93', 'sulfuricAcid38', 'sodiumBisulfate'] as const).map(
    (key) => {
      const { amount, after } = acid(key)
      const { name, strength } = CHEMICALS[key]
      const litres = amount?.volumeL ?? null
      const cells = [
        `${name}, ${strength}`,
        round((amount?.massG ?? Number.NaN) / 1000, 2),
        litres === null ? '' : round(litres, 2),
        round(after.ph, 2),
        round(after.totalAlkalinityMgL, 1),
        round(after.sulfateMgL, 1),
      ]
      return `| ${cells.join(' | ')} |`
    },
  )

/** 3 mg/L of chlorine from each, into good water without any: pH at first, and once it is used up. */
export const chlorineRows = (): string[] =>
  (
    [
      'sodiumHypochloriteTrade12',
      'calciumHypochlorite65',
      'lithiumHypochlorite',
      'dichlor',
      'trichlor',
      'chlorineGas',
    ] as const
  ).map((key) => {
    const amount = amountFor(plainWater, 100_000, CHEMICALS[key], 'freeChlorineMgL', 3)
    const after = afterDose(plainWater, 100_000, { chemical: CHEMICALS[key], massG: amount?.massG ?? 0 })
    const later = chlorineConsumed(after, after.freeChlorineMgL)
    return `| ${CHEMICALS[key].name} | ${[after.ph, later.ph].map((ph) => round(ph, 2)).join(' | ')} | ${round(later.totalAlkalinityMgL, 1)} | ${round(later.cyanuricAcidMgL, 1)} |`
  })

/** The worked example: a pool of 300,000 L whose flow is 900 L/min. */
export const EXAMPLE: Partial<Water> = {
  freeChlorineMgL: 0.4,
  ph: 8,
  totalAlkalinityMgL: 50,
  calciumHardnessMgL: 120,
  tdsMgL: 1000,
}

export function exampleLines(plan: DosePlan = planned(EXAMPLE)): string[] {
  return plan.steps.map((step, index) => {
    if (step.kind !== 'dose') throw new Error('the example doses only')
    const { water } = step.after
    const amount =
      step.amount.volumeL === null ? `${round(step.amount.massG / 1000, 1)} kg` : `${round(step.amount.volumeL, 2)} L`
    const parts = step.parts > 1 ? ` in ${step.parts} parts, ${step.betweenMin} min apart` : ''
    const left = `pH ${water.ph.toFixed(2)}, alkalinity ${round(water.totalAlkalinityMgL, 1)}, hardness ${round(water.calciumHardnessMgL, 0)}, free chlorine ${round(water.freeChlorineMgL, 1)}, index ${round(step.after.saturationIndex ?? Number.NaN, 2)}`
    return `${index + 1}. ${renderPhrase(step.purpose, 'metric')} ${step.label}: ${amount}${parts}; wait ${step.waitMin} min. Leaves ${left}.`
  })
}

import { CHEMICALS, type ChemicalKey, type Dose, massOfVolume, type ReaderUnit, unitsOf } from '@sightglass/chemistry'
import type { System } from './measure.ts'

/** A chemical and an amount as a person gives them. */
export interface DoseEntry {
  id: string
  chemical: ChemicalKey
  /** In litres for what is measured out, in grams for what is weighed; null while the field is empty. */
  amount: number | null
  /** The reader's unit, by its label. */
  unit: string
}

/** How an amount of a chemical is entered: liquids by volume, the rest by weight, in the reader's units. */
export const amountUnits = (chemical: ChemicalKey, system: System): readonly ReaderUnit[] =>
  unitsOf(CHEMICALS[chemical].state === 'liquid' ? 'L' : 'g', system)

/** The reader's unit of a dose; the usual one where the reader has changed units since. */
export const unitOfDose = ({ chemical, unit }: DoseEntry, system: System): ReaderUnit => {
  const units = amountUnits(chemical, system)
  return units.find(({ label }) => label === unit) ?? (units.at(-1) as ReaderUnit)
}

/** What was entered as the chemistry reckons with it; what has no amount yet is left out. */
export const dosesOf = (entries: readonly DoseEntry[]): Dose[] =>
  entries.flatMap(({ chemical: key, amount }) => {
    const chemical = CHEMICALS[key]
    if (!amount) return []
    return { chemical, massG: chemical.state === 'liquid' ? massOfVolume(chemical, amount) : amount }
  })

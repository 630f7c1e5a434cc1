import type { Addition } from '../balance/additions.ts'
import { ATOMIC_MASS, type Element, MOLAR_MASS } from '../constants.ts'

type Formula = Partial<Record<Element, number>>

/** A pure substance and what one mol of it does once it is dissolved. */
interface Substance {
  formula: Formula
  /** Equivalents of base, counted as in `Addition`; below 0 for acids. */
  alkalinity?: number
  /** mol of CO2, HCO3− and CO3²− together. */
  carbon?: number
  /** mol of Cl2 that the free chlorine counts as. */
  chlorine?: number
  /** mol of Br2 that the bromine counts as. */
  bromine?: number
  /** mol of H3Cy. */
  cyanuric?: number
}

/** Thiosulfate takes up chlorine in two ways; this share of it goes all the way to sulfate, so that 1.9 mg of crystals take
 * up 1 mg of chlorine: S2O3²− + 4 HOCl + H2O = 2 SO4²− + 4 Cl− + 6 H+ beside 2 S2O3²− + HOCl + H+ = S4O6²− + Cl− + H2O.
 * Field value at pH 7: Disinfection of Pipelines and Storage Facilities Field Guide, table 7-2; that it speaks of crystals
 * (Na2S2O3·5H2O) is our reading. */
export const THIOSULFATE_MG_PER_MG_CHLORINE = 1.9

const massOf = (formula: Formula): number =>
  Object.entries(formula).reduce((sum, [element, count]) => sum + ATOMIC_MASS[element as Element] * count, 0)

const THIOSULFATE: Formula = { Na: 2, S: 2, O: 3 }
export const PENTAHYDRATE_SHARE = massOf(THIOSULFATE) / (massOf(THIOSULFATE) + 5 * massOf({ H: 2, O: 1 }))
const CHLORINE_PER_THIOSULFATE =
  massOf(THIOSULFATE) / PENTAHYDRATE_SHARE / THIOSULFATE_MG_PER_MG_CHLORINE / massOf({ Cl: 2 })
const TO_SULFATE = (CHLORINE_PER_THIOSULFATE - 0.5) / 3.5

export const SUBSTANCES = {
  sodiumHypochlorite: { formula: { Na: 1, O: 1, Cl: 1 }, alkalinity: 1, chlorine: 1 },
  calciumHypochlorite: { formula: { Ca: 1, O: 2, Cl: 2 }, alkalinity: 2, chlorine: 2 },
  lithiumHypochlorite: { formula: { Li: 1, O: 1, Cl: 1 }, alkalinity: 1, chlorine: 1 },
  chlorine: { formula: { Cl: 2 }, alkalinity: -1, chlorine: 1 },
  trichlor: { formula: { C: 3, N: 3, O: 3, Cl: 3 }, chlorine: 3, cyanuric: 1 },
  dichlor: { formula: { Na: 1, C: 3, N: 3, O: 3, Cl: 2 }, alkalinity: 1, chlorine: 2, cyanuric: 1 },
  bromochlorohydantoin: { formula: { C: 5, H: 6, N: 2, O: 2, Br: 1, Cl: 1 }, bromine: 2 },
  hydrogenChloride: { formula: { H: 1, Cl: 1 }, alkalinity: -1 },
  sulfuricAcid: { formula: { H: 2, S: 1, O: 4 }, alkalinity: -2 },
  sodiumBisulfate: { formula: { Na: 1, H: 1, S: 1, O: 4 }, alkalinity: -1 },
  carbonDioxide: { formula: { C: 1, O: 2 }, carbon: 1 },
  sodiumBicarbonate: { formula: { Na: 1, H: 1, C: 1, O: 3 }, alkalinity: 1, carbon: 1 },
  sodiumCarbonate: { formula: { Na: 2, C: 1, O: 3 }, alkalinity: 2, carbon: 1 },
  sodiumHydroxide: { formula: { Na: 1, O: 1, H: 1 }, alkalinity: 1 },
  calciumHydroxide: { formula: { Ca: 1, O: 2, H: 2 }, alkalinity: 2 },
  calciumChloride: { formula: { Ca: 1, Cl: 2 } },
  sodiumChloride: { formula: { Na: 1, Cl: 1 } },
  sodiumSulfate: { formula: { Na: 2, S: 1, O: 4 } },
  potassiumSulfate: { formula: { K: 2, S: 1, O: 4 } },
  cyanuricAcid: { formula: { C: 3, H: 3, N: 3, O: 3 }, cyanuric: 1 },
  boricAcid: { formula: { H: 3, B: 1, O: 3 } },
  borax: { formula: { Na: 2, B: 4, O: 7 }, alkalinity: 2 },
  sodiumThiosulfate: {
    formula: THIOSULFATE,
    alkalinity: 0.5 * (1 - TO_SULFATE) - 6 * TO_SULFATE,
    chlorine: -CHLORINE_PER_THIOSULFATE,
  },
} as const satisfies Record<string, Substance>
export type SubstanceKey = keyof typeof SUBSTANCES

/** g/mol. */
export const molarMass = (key: SubstanceKey): number => massOf(SUBSTANCES[key].formula)

/** What 1 kg of a mixture brings into water: the fields of an addition per litre, as meq, mmol and mg for each kg. */
export function contentOf(composition: Partial<Record<SubstanceKey, number>>): Required<Addition> {
  const content = { ...NOTHING }
  for (const [key, share] of Object.entries(composition)) {
    const {
      formula,
      alkalinity = 0,
      carbon = 0,
      chlorine = 0,
      bromine = 0,
      cyanuric = 0,
    }: Substance = SUBSTANCES[key as SubstanceKey]
    const mmol = (share / massOf(formula)) * 1e6
    const { Ca = 0, B = 0, S = 0 } = formula
    const sulfate = key === 'sodiumThiosulfate' ? 2 * TO_SULFATE : S
    content.alkalinityMeqL += mmol * alkalinity
    content.inorganicCarbonMmolL += mmol * carbon
    content.calciumMmolL += mmol * Ca
    content.cyanuricAcidMmolL += mmol * cyanuric
    content.boronMmolL += mmol * B
    content.availableChlorineMgL += mmol * chlorine * MOLAR_MASS.chlorine
    content.bromineMgL += mmol * bromine * MOLAR_MASS.bromine
    content.sulfateMgL += mmol * sulfate * massOf({ S: 1, O: 4 })
    content.dissolvedSolidsMgL += mmol * solidsOf(formula, alkalinity - chlorine, cyanuric)
  }
  return content
}

const NOTHING: Required<Addition> = {
  alkalinityMeqL: 0,
  inorganicCarbonMmolL: 0,
  calciumMmolL: 0,
  cyanuricAcidMmolL: 0,
  boronMmolL: 0,
  availableChlorineMgL: 0,
  bromineMgL: 0,
  sulfateMgL: 0,
  dissolvedSolidsMgL: 0,
}

/** g/mol of what stays in the water once the chlorine is used up: metals, chlorine as chloride, sulfate, boric and cyanuric
 * acid, and alkalinity as HCO3−, of which an acid drives as much out as carbon dioxide. */
function solidsOf(formula: Formula, alkalinity: number, cyanuric: number) {
  const { Na = 0, Ca = 0, Li = 0, K = 0, Cl = 0, Br = 0, S = 0, B = 0 } = formula
  const strong = massOf({ Na, Ca, Li, K, Cl, Br, S, O: 4 * S })
  const weak = massOf({ B, H: 3 * B, O: 3 * B }) + cyanuric * MOLAR_MASS.cyanuricAcid
  return strong + weak + alkalinity * MOLAR_MASS.hydrogenCarbonate
}

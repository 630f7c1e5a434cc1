/** Molar masses, g/mol, from IUPAC standard atomic weights (abridged). */
export const MOLAR_MASS = {
  calcium: 40.078,
  sodium: 22.98977,
  chloride: 35.453,
  hydrogenCarbonate: 61.0168,
  calciumCarbonate: 100.0869,
  chlorine: 70.906,
  bromine: 159.808,
  sulfate: 96.06,
  nitrogen: 14.007,
  cyanuricAcid: 129.0746,
  boron: 10.81,
} as const

/** mg of CaCO3 for each milliequivalent of alkalinity. */
export const MG_CACO3_PER_MEQ = MOLAR_MASS.calciumCarbonate / 2

/** Atomic masses, g/mol, of what the chemicals dosed are made of. IUPAC standard atomic weights, abridged. */
export const ATOMIC_MASS = {
  H: 1.008,
  Li: 6.94,
  B: 10.81,
  C: 12.011,
  N: 14.007,
  O: 15.999,
  Na: 22.98977,
  S: 32.06,
  Cl: 35.453,
  K: 39.098,
  Ca: 40.078,
  Br: 79.904,
} as const
export type Element = keyof typeof ATOMIC_MASS

/** Molar masses, g/mol, from IUPAC standard atomic weights (abridged). */
export const MOLAR_MASS = {
  calcium: 40.078,
  sodium: 22.98977,
  chloride: 35.453,
  hydrogenCarbonate: 61.0168,
  calciumCarbonate: 100.0869,
  chlorine: 70.906,
  cyanuricAcid: 129.0746,
  boron: 10.81,
} as const

/** mg of CaCO3 for each milliequivalent of alkalinity. */
export const MG_CACO3_PER_MEQ = MOLAR_MASS.calciumCarbonate / 2

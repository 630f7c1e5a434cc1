import { within } from './errors.ts'

/** The water of one body at one moment, as the chemistry reckons with it. Concentrations are mg/L, per litre counted as per kg. */
export interface Water {
  /** 0–50 °C. */
  tempC: number
  /** 3–11: what a dose may lead to; what a test kit tells apart is narrower. */
  ph: number
  /** As CaCO3, what a titration finds: carbonate, hydroxide, cyanurate and borate together, without hypochlorite. −500 to 2000:
   * below 0 acid has used it all up, and that much base would bring it back. */
  totalAlkalinityMgL: number
  /** As CaCO3. 0–5000. */
  calciumHardnessMgL: number
  /** 0–1000. */
  cyanuricAcidMgL: number
  /** mg/L of boron, not of boric acid. 0–200. */
  boronMgL: number
  /** Total dissolved solids. 0–50,000. */
  tdsMgL: number
  /** As Cl2, what DPD reads: hypochlorous acid, hypochlorite and what cyanurate holds. 0–200. */
  freeChlorineMgL: number
  /** As Cl2. 0–100. */
  combinedChlorineMgL: number
  /** As Br2. 0–200. */
  bromineMgL: number
  /** Sulfate that doses have brought; the sulfate of the fill water is not known here. 0–50,000. */
  sulfateMgL: number
}

/** What pH, alkalinity and saturation follow from. */
export type BufferedWater = Omit<Water, 'combinedChlorineMgL' | 'bromineMgL' | 'sulfateMgL'>

export const WATER_RANGE = {
  tempC: [0, 50],
  ph: [3, 11],
  totalAlkalinityMgL: [-500, 2000],
  calciumHardnessMgL: [0, 5000],
  cyanuricAcidMgL: [0, 1000],
  boronMgL: [0, 200],
  tdsMgL: [0, 50_000],
  freeChlorineMgL: [0, 200],
  combinedChlorineMgL: [0, 100],
  bromineMgL: [0, 200],
  sulfateMgL: [0, 50_000],
} as const satisfies Record<keyof Water, readonly [number, number]>

const NAMES: Record<keyof Water, string> = {
  tempC: 'water temperature in °C',
  ph: 'pH',
  totalAlkalinityMgL: 'total alkalinity in mg/L',
  calciumHardnessMgL: 'calcium hardness in mg/L',
  cyanuricAcidMgL: 'cyanuric acid in mg/L',
  boronMgL: 'boron in mg/L',
  tdsMgL: 'total dissolved solids in mg/L',
  freeChlorineMgL: 'free chlorine in mg/L',
  combinedChlorineMgL: 'combined chlorine in mg/L',
  bromineMgL: 'bromine in mg/L',
  sulfateMgL: 'sulfate in mg/L',
}

/** The same water, or OutOfRange for the first of its values that the equations were not made for. */
export function checkedWater<Some extends Partial<Water>>(water: Some): Some {
  for (const key of Object.keys(WATER_RANGE) as (keyof Water)[]) {
    const [min, max] = WATER_RANGE[key]
    if (key in water) within(NAMES[key], water[key] as number, min, max)
  }
  return water
}

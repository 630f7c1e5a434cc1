/** The water of one body at one moment, as the chemistry reckons with it. Concentrations are mg/L, per litre counted as per kg. */
export interface Water {
  /** 0–50 °C. */
  tempC: number
  /** 4–10.5: what a dose may lead to; what a test kit tells apart is narrower. */
  ph: number
  /** As CaCO3, what a titration finds: carbonate, hydroxide, cyanurate and borate together, without hypochlorite. 0–2000. */
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
  /** Sulfate that doses have brought; the sulfate of the fill water is not known here. */
  sulfateMgL: number
}

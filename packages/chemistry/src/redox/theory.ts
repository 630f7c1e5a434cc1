import { celsiusToKelvin } from '../quantities.ts'
import { chlorineSpecies } from '../speciation/chlorine.ts'
import type { Oxidant, RedoxWater } from './types.ts'

/** Gas constant and Faraday constant, exact since 2019. */
const GAS_J_MOL_K = 8.31446261815324
const FARADAY_C_MOL = 96485.33212

/** Nernst slope, mV for ten times the activity: ln10·R·T/(n·F); 59.16 for one electron at 25 °C, 29.58 for two.
 * @param tempC °C above absolute zero; @param electrons those of the half reaction */
export const nernstSlopeMv = (tempC: number, electrons: number): number =>
  (1000 * Math.LN10 * GAS_J_MOL_K * celsiusToKelvin(tempC)) / (electrons * FARADAY_C_MOL)

/**
 * What is believed of a probe before its own pairs are seen: of `mean` each, ± `sd`. Theory gives the middle, for
 * HOCl + H+ + 2e− = Cl− + H2O; how wide it is, is judgement: real probes answer from a third of theory to more than twice.
 */
export interface Belief {
  mean: number
  sd: number
}
export interface Beliefs {
  /** ORP in the water of `ORP_KNOWN_IN`, mV. */
  offset: Belief
  /** mV for ten times the acid. */
  slope: Belief
  /** mV for one pH more with the same acid. */
  ph: Belief
  /** mV for each °C more with the same acid. */
  temp: Belief
  /** mV for ten times the dissolved solids. */
  solids: Belief
}

/** log10 of mg/L of hypochlorous acid, and pH, °C, in which `offset` holds: 0.45 mg/L of free chlorine at pH 7.2, 27 °C. */
export const ORP_KNOWN_IN = { logAcid: Math.log10(0.3), ph: 7.2, tempC: 27, tdsMgL: 1000 } as const

export const BELIEFS: Record<Oxidant, Beliefs> = {
  chlorine: {
    // DIN 19643-1 asks 750 mV in 0.3–0.6 mg/L at pH 6.5–7.3 (second source); reference electrodes alone part by 42 mV
    offset: { mean: 750, sd: 40 },
    slope: { mean: 29.6, sd: 15 },
    ph: { mean: -29.6, sd: 15 },
    // two electrons' slope falls by 1.0 mV/°C in this water, the reference (3 M KCl) by 0.7: together near nothing
    temp: { mean: 0, sd: 0.8 },
    // chloride is in the half reaction, but only part of the dissolved solids
    solids: { mean: -15, sd: 15 },
  },
  // nothing published was at hand: only the order of size of a redox electrode
  bromine: {
    offset: { mean: 700, sd: 80 },
    slope: { mean: 20, sd: 40 },
    ph: { mean: 0, sd: 40 },
    temp: { mean: 0, sd: 2 },
    solids: { mean: 0, sd: 30 },
  },
  chlorineDioxide: {
    offset: { mean: 700, sd: 80 },
    slope: { mean: 20, sd: 40 },
    ph: { mean: 0, sd: 40 },
    temp: { mean: 0, sd: 2 },
    solids: { mean: 0, sd: 30 },
  },
}

/** Less than this, mg/L, no test kit tells from none, and ORP no longer follows it. Common practice, no source. */
export const LEAST_SANITIZER_MGL: Record<Oxidant, number> = { chlorine: 0.1, bromine: 0.2, chlorineDioxide: 0.02 }

/** Where the equilibria hold; water outside of it is not judged. */
export const JUDGED_WATER = {
  sanitizerMgL: [0, 100],
  ph: [6, 9.5],
  cyanuricAcidMgL: [0, 1000],
  tempC: [0, 50],
  tdsMgL: [1, 50_000],
} as const

/** log10 of what ORP follows: hypochlorous acid in mg/L; for bromine and chlorine dioxide the reading itself. */
export function logAcidOf(oxidant: Oxidant, water: RedoxWater): number {
  if (oxidant !== 'chlorine') return Math.log10(water.sanitizerMgL)
  const { sanitizerMgL, ...rest } = water
  return Math.log10(chlorineSpecies({ freeChlorineMgL: sanitizerMgL, ...rest }).hypochlorousMgL)
}

/** What the relation multiplies with slope, pH, temperature and solids, as distances from a reference water. */
export function rowOf(logAcid: number, water: RedoxWater, reference: Reference): [number, number, number, number] {
  return [
    logAcid - reference.logAcid,
    water.ph - reference.ph,
    water.tempC - reference.tempC,
    Math.log10(water.tdsMgL / reference.tdsMgL),
  ]
}
export interface Reference {
  logAcid: number
  ph: number
  tempC: number
  tdsMgL: number
}

/** mV against the standard hydrogen electrode at 25 °C of what a probe's reference may be.
 * @source referenceElectrodes */
export const REFERENCE_ELECTRODES_MV = {
  standardHydrogen: 0,
  calomelSaturated: 241,
  silverChlorideSaturated: 197,
  silverChloride3M: 207,
  silverChloride4M: 200,
  silverChloride1M: 236,
} as const
export type ReferenceElectrode = keyof typeof REFERENCE_ELECTRODES_MV

/** One ORP told against another reference electrode, at 25 °C: published criteria differ by up to 44 mV by this alone. */
export const convertReference = (orpMv: number, from: ReferenceElectrode, to: ReferenceElectrode): number =>
  orpMv + REFERENCE_ELECTRODES_MV[from] - REFERENCE_ELECTRODES_MV[to]

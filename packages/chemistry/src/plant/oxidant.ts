import { chlorineSpecies } from '../speciation/chlorine.ts'
import type { SanitizerSystem } from '../vocabulary.ts'
import {
  BROMINE_ORP_STEP_MV,
  HYPOBROMOUS_PKA,
  IDEAL_SLOPE_MV,
  IDEAL_SLOPE_MV_PER_C,
  ORP_AT_HALF_MG_MV,
  ORP_BARE_AT_MG_L,
  ORP_BARE_MV,
} from './constants.ts'

/** The part of the sanitizer that is free acid, from 0 to 1, for a water that may hold cyanuric acid. */
export type FreeShare = (sanitizerMgL: number, cyanuricAcidMgL: number, ph: number, tempC: number) => number

/** Hypochlorous acid's share, from the full equilibrium with the chlorinated cyanurates. */
export const chlorineShare: FreeShare = (sanitizerMgL, cyanuricAcidMgL, ph, tempC) => {
  // the equilibrium is published for 5 to 35 °C and kept to 0 to 50; plants in trouble may leave its range of pH
  const water = {
    freeChlorineMgL: Math.min(200, Math.max(0.001, sanitizerMgL)),
    cyanuricAcidMgL,
    ph: Math.min(10, Math.max(5, ph)),
    tempC: Math.min(50, Math.max(0, tempC)),
  }
  return chlorineSpecies(water).hypochlorousMgL / water.freeChlorineMgL
}

const bromineShare: FreeShare = (_sanitizer, _cyanuric, ph) => 1 / (1 + 10 ** (ph - HYPOBROMOUS_PKA))

export const freeShareOf = (system: SanitizerSystem): FreeShare => (system === 'bromine' ? bromineShare : chlorineShare)

/** The same share again while the water has hardly changed: five-minute steps ask for it millions of times. */
export function remembered(share: FreeShare): FreeShare {
  let [atSanitizer, atCyanuric, atPh, atTemp, value] = [Number.NaN, 0, 0, 0, 0]
  return (sanitizerMgL, cyanuricAcidMgL, ph, tempC) => {
    const near =
      Math.abs(sanitizerMgL - atSanitizer) <= 0.01 * atSanitizer &&
      Math.abs(ph - atPh) < 0.005 &&
      Math.abs(cyanuricAcidMgL - atCyanuric) < 0.25 &&
      Math.abs(tempC - atTemp) < 0.1
    if (!near) {
      ;[atSanitizer, atCyanuric, atPh, atTemp] = [sanitizerMgL, cyanuricAcidMgL, ph, tempC]
      value = share(sanitizerMgL, cyanuricAcidMgL, ph, tempC)
    }
    return value
  }
}

/**
 * ORP of a clean probe, mV against Ag/AgCl: Nernst in the free acid and in pH, from a reference point out of memory.
 * `sensitivity` stretches the slope, because probes in pools answer more steeply than theory. Water without a
 * sanitizer falls back to what bare water shows.
 */
export function orpOf(acidMgL: number, ph: number, tempC: number, sensitivity: number, bromine: boolean): number {
  const slope = IDEAL_SLOPE_MV + IDEAL_SLOPE_MV_PER_C * (tempC - 25)
  const acid = Math.max(acidMgL, 1e-5)
  const poised =
    ORP_AT_HALF_MG_MV +
    (bromine ? BROMINE_ORP_STEP_MV : 0) +
    slope * (sensitivity * Math.log10(acid / 0.5) - (ph - 7.5))
  const weight = acid / (acid + ORP_BARE_AT_MG_L)
  return weight * poised + (1 - weight) * ORP_BARE_MV
}

/** What a clean probe would show with the sanitizer at `sanitizerMgL`: where a technician puts the set point. */
export function orpFor(
  system: SanitizerSystem,
  water: { sanitizerMgL: number; cyanuricAcidMgL: number; ph: number; tempC: number },
  sensitivity: number,
): number {
  const { sanitizerMgL, cyanuricAcidMgL, ph, tempC } = water
  const acid = sanitizerMgL * freeShareOf(system)(sanitizerMgL, cyanuricAcidMgL, ph, tempC)
  return orpOf(acid, ph, tempC, sensitivity, system === 'bromine')
}

import type { Citation, Unit } from '../finding.ts'
import type { Condition, LimitedThing, LimitRule } from '../profile.ts'
import type { SanitizerSystem, UseClass } from '../vocabulary.ts'

export const CHLORINE: readonly SanitizerSystem[] = ['hypochlorite', 'erosion', 'saltGenerator']
export const BROMINE: readonly SanitizerSystem[] = ['bromine']
/** Spas, wading pools and spray grounds stand together in the codes read; a splash pad is a spray ground. */
export const WARM_OR_SHALLOW: readonly UseClass[] = ['spa', 'wading', 'splash']

/** The stored unit of each thing that a limit can be set on. */
export const UNIT_OF: Record<LimitedThing, Unit> = {
  freeChlorineMgL: 'mg/L',
  totalChlorineMgL: 'mg/L',
  bromineMgL: 'mg/L',
  ph: 'pH',
  totalAlkalinityMgL: 'mg/L',
  calciumHardnessMgL: 'mg/L',
  cyanuricAcidMgL: 'mg/L',
  tempC: '°C',
  tdsMgL: 'mg/L',
  saltMgL: 'mg/L',
  combinedChlorineMgL: 'mg/L',
  cyanuricAcidToChlorineRatio: 'ratio',
  saturationIndex: 'SI',
  orpMv: 'mV',
}

/** One limit; its unit follows from the thing. */
export function limit(
  key: string,
  thing: LimitedThing,
  side: 'min' | 'max',
  value: number,
  effect: LimitRule['effect'],
  citation: Citation,
  when: Condition = {},
): LimitRule {
  return { key, thing, side, value, unit: UNIT_OF[thing], effect, when, citation }
}

import { dosingChecks } from '../dosing/checks.ts'
import type { Check } from './check.ts'
import { disinfectionChecks } from './disinfection.ts'
import { doseChecks } from './doses.ts'
import { equilibriaChecks } from './equilibria.ts'
import { redoxChecks } from './redox.ts'
import { saturationChecks } from './saturation.ts'
import { speciationChecks } from './speciation.ts'

/** In the order of the page that is made of them. */
export const CHECKS: readonly Check[] = [
  ...equilibriaChecks,
  ...doseChecks,
  ...saturationChecks,
  ...speciationChecks,
  ...disinfectionChecks,
  ...redoxChecks,
  ...dosingChecks,
]

import type { FeederRole } from '../vocabulary.ts'
import { alkalinityOf } from './carbonate.ts'
import { IDEAL_SLOPE_MV, MG_CACO3_PER_MEQ } from './constants.ts'
import type { Trouble } from './faults.ts'
import { type Feeder, refill } from './feeding.ts'
import type { Probes } from './observing.ts'
import type { PlantSpec, TestReading } from './spec.ts'
import { type Ledger, phOf, replace, type Water } from './water.ts'

export interface DrumReading {
  atMs: number
  role: FeederRole
  levelL: number
  deliveredL: number
}

/** What a technician does with the drums: reads each, and fills those under two thirds. */
export function tendDrums(feeders: readonly Feeder[], atMs: number, trouble: Readonly<Trouble>): DrumReading[] {
  return feeders
    .filter((feeder) => feeder.spec.drum)
    .map((feeder) => {
      const low = feeder.levelL < 0.66 * (feeder.spec.drum?.capacityL ?? 0)
      const deliveredL = low && !trouble.forgottenDrum[feeder.role] ? refill(feeder) : 0
      return { atMs, role: feeder.role, levelL: tenth(feeder.levelL), deliveredL: tenth(deliveredL) }
    })
}

const tenth = (litres: number) => Math.round(litres * 10) / 10

/** What a technician puts into the water: what is short of its target. */
export function tendBalance({ target, start }: PlantSpec, water: Water, trouble: Readonly<Trouble>): void {
  const shortMeqL = target.totalAlkalinityMgL / MG_CACO3_PER_MEQ - water.alkalinityMeqL
  if (shortMeqL > 5 / MG_CACO3_PER_MEQ) {
    // bicarbonate brings as much carbon as alkalinity
    water.alkalinityMeqL += shortMeqL
    water.carbonMmolL += shortMeqL
    water.tdsMgL += shortMeqL * 84
  }
  if (shortMeqL < -25 / MG_CACO3_PER_MEQ) water.spreading.acidMeqL += 0.1
  if (water.calciumHardnessMgL < target.calciumHardnessMgL - 30) water.calciumHardnessMgL = target.calciumHardnessMgL
  if (target.cyanuricAcidMgL > 0 && water.cyanuricAcidMgL < target.cyanuricAcidMgL - 8)
    water.cyanuricAcidMgL = target.cyanuricAcidMgL
  if (start.saltMgL > 1000 && water.saltMgL < start.saltMgL - 300 && trouble.saltLostMgLDay === 0) {
    water.tdsMgL += start.saltMgL - water.saltMgL
    water.saltMgL = start.saltMgL
  }
}

/** Fresh water when too much has gathered in the old. Returns whether that was done. */
export function renew(plant: PlantSpec, water: Water, ledger: Ledger): boolean {
  const { target, start } = plant
  const stale =
    water.tdsMgL > start.tdsMgL + 1000 ||
    water.cyanuricAcidMgL > Math.max(50, target.cyanuricAcidMgL * 1.5) ||
    water.calciumHardnessMgL > target.calciumHardnessMgL + 150
  if (stale) replace(plant, water, 0.4, ledger)
  return stale
}

/** The rule of the trade: the pH probe is calibrated, the ORP probe is only cleaned and its set point moves, a little at a time. */
export function tendProbes(
  plant: PlantSpec,
  probes: Probes,
  orpSetPointMv: number,
  written: TestReading,
  retested: TestReading,
): number {
  probes.days = 0
  // nobody calibrates before a second test; what was written down first stays written
  const apart = (retested.displayPh ?? probes.ph) - (retested.values.ph ?? probes.ph)
  const { values } = written
  if (Math.abs(apart) > 0.12) probes.phTrim += apart
  const measured = values.freeChlorineMgL ?? values.bromineMgL ?? plant.target.sanitizerMgL
  const decades = Math.log10(plant.target.sanitizerMgL / Math.max(0.1, measured))
  if (Math.abs(decades) < 0.1) return orpSetPointMv
  const move = Math.max(-8, Math.min(8, decades * IDEAL_SLOPE_MV))
  return Math.round(orpSetPointMv + move)
}

/** A body without a controller is held by hand: staff turn the pump up or down and add what is missing. */
export function tendByHand(
  plant: PlantSpec,
  water: Water,
  settings: { sanitizer: number; ph: number },
  reading: TestReading,
  ledger: Ledger,
): void {
  const target = plant.target.sanitizerMgL
  const measured = reading.values.freeChlorineMgL ?? reading.values.bromineMgL ?? target
  const turn = Math.max(0.6, Math.min(1.6, 1 + (0.35 * (target - measured)) / target))
  settings.sanitizer = Math.max(0.01, Math.min(1, settings.sanitizer * turn))
  if (measured < 0.7 * target) {
    water.spreading.sanitizerMgL += target - measured
    ledger.byHandMgL += target - measured
  }
  if (phOf(water) > plant.target.ph + 0.2) water.spreading.acidMeqL += acidTo(plant.target.ph, water)
}

/** meq of acid per litre that bring the pH down to a value. */
export function acidTo(ph: number, water: Water): number {
  const { alkalinityMeqL, carbonMmolL, cyanuricAcidMgL, buffer } = water
  return Math.max(0, alkalinityMeqL - alkalinityOf(carbonMmolL, 10 ** -ph, cyanuricAcidMgL, buffer))
}

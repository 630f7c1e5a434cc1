import { type Buffer, bufferAt, carbonDioxideMmolL, carbonOf, nextHydrogen } from './carbonate.ts'
import {
  BROMINE_PER_CHLORINE,
  BROMINE_SUN_SHARE,
  CHLORINE_G_PER_BATHER_HOUR,
  CO2_INDOORS_MMOL_L,
  CO2_OUTDOORS_MMOL_L,
  COMBINED_LOSS_PER_HOUR,
  COMBINED_SHARE,
  MG_CACO3_PER_MEQ,
  QUIET_LOSS_PER_HOUR,
  SHIELD_HALVES_AT_MG_L,
  SUN_LOSS_PER_HOUR,
} from './constants.ts'
import type { PlantSpec } from './spec.ts'

/** The water of one body, well mixed, and what is on its way into it. */
export interface Water {
  sanitizerMgL: number
  combinedMgL: number
  alkalinityMeqL: number
  carbonMmolL: number
  /** Activity of the hydrogen ion, mol/L. */
  hydrogen: number
  calciumHardnessMgL: number
  cyanuricAcidMgL: number
  tdsMgL: number
  saltMgL: number
  tempC: number
  buffer: Buffer
  /** Fed, and not yet spread through the pool; per litre of pool. */
  spreading: Parcel
  /** Fed while nothing flows: it waits in the pipe. */
  inPipe: Parcel
}

export interface Parcel {
  sanitizerMgL: number
  acidMeqL: number
  carbonMmolL: number
}

/** Where the sanitizer went, mg per litre of pool since the start; what is fed must be found again here or in the water. */
export interface Ledger {
  fedMgL: number
  /** Thrown in by hand. */
  byHandMgL: number
  usedMgL: number
  washedOutMgL: number
}

/** What acts on the water during one step. */
export interface Weathering {
  /** 0 to 1: sine of the sun's height times clearness; 0 indoors. */
  sun: number
  bathers: number
  heldAtC: number
}

const emptyParcel = (): Parcel => ({ sanitizerMgL: 0, acidMeqL: 0, carbonMmolL: 0 })

export function fillWater(plant: PlantSpec, tempC: number): Water {
  const { start } = plant
  const buffer = bufferAt(tempC, start.tdsMgL, start.calciumHardnessMgL)
  const hydrogen = 10 ** -start.ph
  const alkalinityMeqL = start.totalAlkalinityMgL / MG_CACO3_PER_MEQ
  return {
    sanitizerMgL: start.sanitizerMgL,
    combinedMgL: 0.1,
    alkalinityMeqL,
    carbonMmolL: carbonOf(alkalinityMeqL, hydrogen, start.cyanuricAcidMgL, buffer),
    hydrogen,
    calciumHardnessMgL: start.calciumHardnessMgL,
    cyanuricAcidMgL: start.cyanuricAcidMgL,
    tdsMgL: start.tdsMgL,
    saltMgL: start.saltMgL,
    tempC,
    buffer,
    spreading: emptyParcel(),
    inPipe: emptyParcel(),
  }
}

export const phOf = (water: Water) => -Math.log10(water.hydrogen)

/** The minutes in which a dose spreads through the pool: a sixth of the turnover, 3 at least. From memory: dye tests show a pool mixed within a fraction of its turnover. */
export const spreadingMinutes = (plant: Pick<PlantSpec, 'volumeL' | 'flowLMin'>) =>
  Math.max(3, plant.volumeL / plant.flowLMin / 6)

/** Speeds per minute that hold for the next five minutes. */
export interface Rates {
  spread: number
  loss: number
  /** mg/L of sanitizer that bathers use up in a minute. */
  batherMgL: number
  combinedLoss: number
  aeration: number
  airCarbonMmolL: number
}

/** Speeds from sun, bathers and warmth. */
export function ratesOf(plant: PlantSpec, water: Water, { sun, bathers }: Weathering, flowShare: number): Rates {
  const bromine = plant.sanitizerSystem === 'bromine'
  const shield = bromine ? BROMINE_SUN_SHARE : 1 / (1 + water.cyanuricAcidMgL / SHIELD_HALVES_AT_MG_L)
  // sunlight is used up on the way down: the deeper the water, the slower its mean
  const depthM = plant.volumeL / 1000 / plant.surfaceM2
  const sunLoss = SUN_LOSS_PER_HOUR * sun * shield * (2.5 / (1.5 + depthM))
  const quiet = QUIET_LOSS_PER_HOUR * 2 ** ((water.tempC - 27) / 12)
  const inside = plant.setting === 'indoor'
  const busy = bathers > 0 ? 1 : 0.5
  return {
    spread: flowShare * (1 - Math.exp(-1 / spreadingMinutes(plant))),
    loss: (sunLoss + quiet) / 60,
    batherMgL:
      (bathers * CHLORINE_G_PER_BATHER_HOUR * (bromine ? BROMINE_PER_CHLORINE : 1) * 1000) / plant.volumeL / 60,
    combinedLoss: (COMBINED_LOSS_PER_HOUR * (inside ? 1 : 1 + 2 * sun)) / 60,
    aeration: (plant.aerationPerHour * busy) / 60,
    airCarbonMmolL: inside ? CO2_INDOORS_MMOL_L : CO2_OUTDOORS_MMOL_L,
  }
}

/** One minute: what was fed spreads, the sanitizer is used, carbon dioxide leaves, the pH follows. */
export function passMinute(water: Water, rates: Rates, ledger: Ledger): void {
  const { spreading } = water
  const arrived = spreading.sanitizerMgL * rates.spread
  spreading.sanitizerMgL -= arrived
  const held = water.sanitizerMgL + arrived
  // bathers' demand slows down when little is left for it
  const bathers = rates.batherMgL * (held / (held + 0.3))
  const used = held * rates.loss + bathers
  water.sanitizerMgL = held - used
  ledger.usedMgL += used
  water.combinedMgL += bathers * COMBINED_SHARE - water.combinedMgL * rates.combinedLoss

  const acid = spreading.acidMeqL * rates.spread
  spreading.acidMeqL -= acid
  water.alkalinityMeqL -= acid
  const carbon = spreading.carbonMmolL * rates.spread
  spreading.carbonMmolL -= carbon
  const dissolved = carbonDioxideMmolL(water.carbonMmolL, water.hydrogen, water.buffer)
  water.carbonMmolL += carbon - rates.aeration * (dissolved - rates.airCarbonMmolL)
  water.hydrogen = nextHydrogen(
    water.hydrogen,
    water.alkalinityMeqL,
    water.carbonMmolL,
    water.cyanuricAcidMgL,
    water.buffer,
  )
}

/** One hour of slow things: fresh water in, old water out, evaporation, warmth, the buffer's constants. */
export function passHour(plant: PlantSpec, water: Water, { sun, heldAtC }: Weathering, ledger: Ledger): void {
  replace(plant, water, plant.freshPerDay / 24, ledger)
  // about 5 mm a day in the sun, 2 mm under a roof or at night (from memory): salts stay, the fill brings more
  const evaporated = ((sun > 0.2 ? 8 : 2) / 24 / 1000) * (plant.surfaceM2 / (plant.volumeL / 1000))
  water.calciumHardnessMgL += evaporated * plant.fill.calciumHardnessMgL
  water.tdsMgL += evaporated * plant.fill.tdsMgL
  water.alkalinityMeqL += (evaporated * plant.fill.totalAlkalinityMgL) / MG_CACO3_PER_MEQ
  water.carbonMmolL += (evaporated * plant.fill.totalAlkalinityMgL) / MG_CACO3_PER_MEQ
  water.tempC += (heldAtC - water.tempC) * 0.06
  water.buffer = bufferAt(water.tempC, water.tdsMgL, water.calciumHardnessMgL)
}

/** A part of the water goes and fill water takes its place (backwash, a drained spa). */
export function replace(plant: PlantSpec, water: Water, part: number, ledger: Ledger): void {
  const { fill } = plant
  const towards = (now: number, fresh: number) => now + (fresh - now) * part
  ledger.washedOutMgL += water.sanitizerMgL * part
  water.sanitizerMgL *= 1 - part
  water.combinedMgL *= 1 - part
  water.cyanuricAcidMgL *= 1 - part
  water.saltMgL *= 1 - part
  water.tdsMgL = towards(water.tdsMgL, fill.tdsMgL)
  water.calciumHardnessMgL = towards(water.calciumHardnessMgL, fill.calciumHardnessMgL)
  const fillAlkalinity = fill.totalAlkalinityMgL / MG_CACO3_PER_MEQ
  water.carbonMmolL = towards(water.carbonMmolL, carbonOf(fillAlkalinity, 10 ** -fill.ph, 0, water.buffer))
  water.alkalinityMeqL = towards(water.alkalinityMeqL, fillAlkalinity)
}

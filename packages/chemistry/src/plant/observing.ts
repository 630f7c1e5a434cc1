import { MG_CACO3_PER_MEQ } from './constants.ts'
import type { Trouble } from './faults.ts'
import { type FreeShare, orpOf } from './oxidant.ts'
import type { Random } from './random.ts'
import type { ControllerSpec, PlantSpec, ProbeSpec, TestReading } from './spec.ts'
import { phOf, type Water } from './water.ts'

/** The water in the flow cell, and what the probes make of it. */
export interface Probes {
  cellSanitizerMgL: number
  cellPh: number
  orpMv: number
  ph: number
  /** What a noisy probe adds at this moment, mV. */
  jumpMv: number
  /** What the noise has left over from the last sample: probes wander rather than jump. */
  wander: number
  /** Days since the probe was last cleaned. */
  days: number
  /** Set by calibration: what the technician took off. */
  phTrim: number
}

export function createProbes(water: Water, controller: ControllerSpec, share: FreeShare, bromine: boolean): Probes {
  const ph = phOf(water)
  const acid = water.sanitizerMgL * share(water.sanitizerMgL, water.cyanuricAcidMgL, ph, water.tempC)
  return {
    cellSanitizerMgL: water.sanitizerMgL,
    cellPh: ph,
    orpMv: orpOf(acid, ph, water.tempC, controller.orpProbe.sensitivity, bromine),
    ph,
    jumpMv: 0,
    wander: 0,
    days: 0,
    phTrim: 0,
  }
}

const STEP_MIN = 5
const approach = (now: number, goal: number, lagMin: number) => now + (goal - now) * (1 - Math.exp(-STEP_MIN / lagMin))

/** Five minutes at the probes. Without flow the cell's water stands: its sanitizer is used up in hours. */
export function observe(
  probes: Probes,
  water: Water,
  controller: ControllerSpec,
  share: FreeShare,
  bromine: boolean,
  flows: boolean,
  trouble: Readonly<Trouble>,
  random: Random,
): void {
  probes.days += STEP_MIN / 1440
  if (flows) {
    probes.cellSanitizerMgL = water.sanitizerMgL
    probes.cellPh = phOf(water)
  } else {
    probes.cellSanitizerMgL *= 0.97
  }
  const { cellSanitizerMgL, cellPh } = probes
  const acid = cellSanitizerMgL * share(cellSanitizerMgL, water.cyanuricAcidMgL, cellPh, water.tempC)
  const { orpProbe, phProbe } = controller
  const fouling = trouble.orpFouling
  const goal =
    orpOf(acid, cellPh, water.tempC, orpProbe.sensitivity, bromine) + drifted(orpProbe, probes.days) - 120 * fouling
  const { orpAged, phFlat } = trouble
  const aged = AGED_TOWARDS_MV + (goal - AGED_TOWARDS_MV) * (1 - orpAged) + trouble.orpOffMv
  // a cell whose strainer fills up is renewed slowly
  const slow = 1 + 5 * trouble.strainerFilling
  if (!trouble.orpStuck)
    probes.orpMv = approach(probes.orpMv, aged, orpProbe.lagMin * (1 + 4 * fouling + 6 * orpAged) * slow)
  const phGoal =
    7 +
    (cellPh - 7) * phProbe.sensitivity * (1 - phFlat) +
    drifted(phProbe, probes.days) +
    trouble.phOff -
    probes.phTrim
  if (!trouble.phStuck) probes.ph = approach(probes.ph, phGoal, phProbe.lagMin * (1 + 4 * phFlat) * slow)
  probes.wander = 0.9 * probes.wander + 0.44 * random.normal()
  probes.jumpMv = trouble.orpNoiseMv > 0 ? trouble.orpNoiseMv * random.normal() : 0
}

/** Where a worn-out ORP probe comes to rest whatever the water holds. From memory. */
const AGED_TOWARDS_MV = 650

const drifted = (probe: ProbeSpec, days: number) => probe.offset + probe.offsetPerDay * days

/** What the display shows: the probe with its noise. */
export const shownOrpMv = (probes: Probes, { orpProbe }: ControllerSpec, random: Random, stuck = false) =>
  Math.round(
    probes.orpMv + probes.jumpMv + (stuck ? 0 : orpProbe.noise) * (0.8 * probes.wander + 0.6 * random.normal()),
  )
export const shownPh = (probes: Probes, { phProbe }: ControllerSpec, random: Random, stuck = false) =>
  Math.round((probes.ph + (stuck ? 0 : phProbe.noise) * random.normal()) * 100) / 100

/** A test kit's reading: its step, and a hand that is not always steady. */
const kit = (value: number, relative: number, step: number, random: Random) =>
  Math.max(0, Math.round((value * (1 + relative * random.normal())) / step) * step)
const clean = (value: number) => Number(value.toFixed(2))

/** Staff read sanitizer, pH and temperature from a drop test; a technician's photometer measures everything. */
export function testByHand(
  by: TestReading['by'],
  atMs: number,
  plant: PlantSpec,
  water: Water,
  display: { ph: number; orpMv: number } | null,
  random: Random,
): TestReading {
  const step = by === 'staff' ? 0.2 : 0.05
  const free = clean(kit(water.sanitizerMgL, 0.04, step, random))
  const total = clean(free + kit(water.combinedMgL, 0.15, step, random))
  const values: TestReading['values'] = {
    ...(plant.sanitizerSystem === 'bromine'
      ? { bromineMgL: free }
      : { freeChlorineMgL: free, totalChlorineMgL: total }),
    ph: clean(
      Math.round((phOf(water) + 0.03 * random.normal()) * (by === 'staff' ? 10 : 20)) / (by === 'staff' ? 10 : 20),
    ),
    tempC: clean(Math.round(water.tempC * 2) / 2),
  }
  if (by === 'technician') {
    values.totalAlkalinityMgL = kit(water.alkalinityMeqL * MG_CACO3_PER_MEQ, 0.03, 5, random)
    values.calciumHardnessMgL = kit(water.calciumHardnessMgL, 0.03, 10, random)
    values.tdsMgL = kit(water.tdsMgL, 0.02, 10, random)
    if (water.cyanuricAcidMgL > 1) values.cyanuricAcidMgL = kit(water.cyanuricAcidMgL, 0.05, 5, random)
    if (plant.sanitizerSystem === 'saltGenerator') values.saltMgL = kit(water.saltMgL, 0.03, 50, random)
  }
  return { atMs, by, values, displayPh: display?.ph ?? null, displayOrpMv: display?.orpMv ?? null }
}

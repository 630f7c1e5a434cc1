import type { FeederRole } from '../vocabulary.ts'
import {
  CALCIUM_HYPOCHLORITE_HARDNESS,
  CONTENT_PER_LITRE,
  HYPOCHLORITE_FADING_PER_DAY,
  HYPOCHLORITE_LYE_MEQ_PER_MG,
  SALT_PER_CHLORINE,
  TRICHLOR_ACID_MEQ_PER_MG,
  TRICHLOR_CYANURIC_SHARE,
} from './constants.ts'
import type { Trouble } from './faults.ts'
import type { FeederSpec, PlantSpec } from './spec.ts'
import type { Ledger, Parcel, Water } from './water.ts'

/** A feeder with its drum as it is now. */
export interface Feeder {
  spec: FeederSpec
  role: FeederRole
  levelL: number
  /** 1 when just delivered; hypochlorite fades in the drum. */
  strength: number
  /** Litres that the feeder drew, that were carried away, and that were filled in, since the start. */
  drawnL: number
  takenL: number
  deliveredL: number
  /** Since when it has drawn on an empty drum, ms; null while there is something in it. */
  drySinceMs: number | null
}

export const createFeeder = (spec: FeederSpec): Feeder => ({
  spec,
  role: spec.role,
  levelL: spec.drum?.startLevelL ?? 0,
  strength: 1,
  drawnL: 0,
  takenL: 0,
  deliveredL: 0,
  drySinceMs: null,
})

/** Scaled cells, cold water and too little salt all cost a generator output; below 15 °C it stops. From memory. */
function generatorShare(water: Water): number {
  const warm = Math.min(1, Math.max(0, (water.tempC - 15) / 5))
  const salty = Math.min(1, Math.max(0, (water.saltMgL - 1500) / 1000))
  return warm * salty
}

/** Runs a feeder for a part of a minute: out of the drum, into the pipe or the pool. */
export function feed(
  feeder: Feeder,
  onShare: number,
  trouble: Readonly<Trouble>,
  plant: PlantSpec,
  water: Water,
  flows: boolean,
  ledger: Ledger,
): void {
  const { role } = feeder
  const share = Math.max(onShare, trouble.stuckOn[role]) * (1 - trouble.weak[role])
  if (share <= 0) return
  const { drum, kind, rateLH, outputGH } = feeder.spec
  const into = flows ? water.spreading : water.inPipe
  if (!drum) {
    if (kind === 'saltGenerator' && flows) {
      const mgL = ((share * outputGH * 1000) / 60 / plant.volumeL) * generatorShare(water)
      into.sanitizerMgL += mgL
      ledger.fedMgL += mgL
    }
    return
  }
  const litres = Math.min(feeder.levelL, (share * rateLH) / 60)
  if (litres <= 0) return
  feeder.levelL -= litres
  feeder.drawnL += litres
  const strength = feeder.strength * (1 - trouble.productWeak[role])
  dissolve(drum.content, litres * strength, plant.volumeL, into, water, ledger)
}

function dissolve(
  content: keyof typeof CONTENT_PER_LITRE,
  litres: number,
  volumeL: number,
  into: Parcel,
  water: Water,
  ledger: Ledger,
): void {
  const amount = (litres * CONTENT_PER_LITRE[content]) / volumeL
  switch (content) {
    case 'hydrochloricAcid':
    case 'sulfuricAcid':
    case 'sodiumBisulfate':
      into.acidMeqL += amount
      return
    case 'carbonDioxide':
      into.carbonMmolL += amount
      return
  }
  const mgL = amount * 1000
  into.sanitizerMgL += mgL
  ledger.fedMgL += mgL
  if (content === 'sodiumHypochlorite') {
    into.acidMeqL -= mgL * HYPOCHLORITE_LYE_MEQ_PER_MG
    water.tdsMgL += mgL * SALT_PER_CHLORINE
  }
  if (content === 'calciumHypochlorite') water.calciumHardnessMgL += mgL * CALCIUM_HYPOCHLORITE_HARDNESS
  if (content === 'trichlor') {
    water.cyanuricAcidMgL += mgL * TRICHLOR_CYANURIC_SHARE
    into.acidMeqL += mgL * TRICHLOR_ACID_MEQ_PER_MG
  }
}

/** What waited in the pipe goes into the pool in one slug when the water moves again. */
export function flushPipe({ inPipe, spreading }: Water): void {
  spreading.sanitizerMgL += inPipe.sanitizerMgL
  spreading.acidMeqL += inPipe.acidMeqL
  spreading.carbonMmolL += inPipe.carbonMmolL
  inPipe.sanitizerMgL = inPipe.acidMeqL = inPipe.carbonMmolL = 0
}

/** Somebody carries away what is over a number of hours of full feed. */
export function takeFrom(feeder: Feeder, hoursLeft: number): void {
  const taken = Math.max(0, feeder.levelL - hoursLeft * feeder.spec.rateLH)
  feeder.levelL -= taken
  feeder.takenL += taken
}

/** An hour in the drum. */
export function fade(feeder: Feeder): void {
  if (feeder.spec.drum?.content === 'sodiumHypochlorite') feeder.strength *= 1 - HYPOCHLORITE_FADING_PER_DAY / 24
}

/** Fills a drum up to its capacity; what was left mixes with what comes. Returns the litres delivered. */
export function refill(feeder: Feeder): number {
  const drum = feeder.spec.drum
  if (!drum) return 0
  const delivered = drum.capacityL - feeder.levelL
  feeder.strength = (feeder.strength * feeder.levelL + delivered) / drum.capacityL
  feeder.levelL = drum.capacityL
  feeder.deliveredL += delivered
  feeder.drySinceMs = null
  return delivered
}

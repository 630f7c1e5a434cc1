import {
  acidMeqPerL,
  activeGPerL,
  busyStart,
  type DrumContent,
  type FeedSettings,
  type FeedTuning,
  feedTuning,
  reachMin,
  type TuningCase,
  tuningRun,
} from '@sightglass/chemistry'
import { createRandom, orpFor } from '@sightglass/chemistry/plant'
import { drum, NOW, POOL } from '../support.ts'

/** A feeder on some body of water, with the set point that stands for its target. */
export interface RandomPlant {
  given: TuningCase
  setPoint: number
}

const ACIDS = ['hydrochloricAcid', 'sulfuricAcid', 'sodiumBisulfate'] as const
const CHLORINES = ['sodiumHypochlorite', 'calciumHypochlorite'] as const

/**
 * From a wading pool of 2 m³ to a lap pool of 2,500 m³, turned over in twenty minutes to eight hours, with a feeder that
 * could bring three to forty times what a usual day takes.
 */
export function randomPlant(seed: string, role: 'primary' | 'ph'): RandomPlant {
  const random = createRandom(seed)
  const volumeL = 2000 * 1250 ** random.next()
  const turnoverMin = 20 * 24 ** random.next()
  const content: DrumContent = role === 'ph' ? random.pick(ACIDS) : random.pick(CHLORINES)
  const store = drum(content)
  const dailyUse = role === 'ph' ? random.between(0.02, 0.25) : random.between(0.5, 6)
  const perL = role === 'ph' ? acidMeqPerL(store) : activeGPerL(store) * 1000
  const rateLH = (3 * 13 ** random.next() * dailyUse * volumeL) / perL / 24
  const water = {
    sanitizerMgL: 0,
    ph: 7.4,
    totalAlkalinityMgL: random.between(60, 180),
    calciumHardnessMgL: random.between(100, 500),
    cyanuricAcidMgL: random.pick([0, 0, 30, 60]),
    tdsMgL: random.between(600, 3000),
    tempC: random.between(24, 39),
  }
  const targetMgL = random.between(1.2, 4)
  const given: TuningCase = {
    body: { ...POOL, volumeL, flowLMin: volumeL / turnoverMin },
    feeder: { role, kind: 'pump', rateLH, drum: store },
    water: { ...water, sanitizerMgL: targetMgL },
    targetMgL,
    dailyUse,
    slopeMv: null,
  }
  const setPoint = role === 'ph' ? 7.4 : orpFor('hypochlorite', { ...water, sanitizerMgL: targetMgL }, 65 / 29.58)
  return { given, setPoint }
}

const PLANTS = 120
/** What a set point may be over by without harm. */
export const HARMLESS = { primary: 10, ph: 0.1 }

export interface TunedPlant extends RandomPlant {
  seed: string
  tuning: FeedTuning
}

export const tunedOf = (given: TuningCase): FeedTuning => {
  const tuning = feedTuning(given)
  if (!tuning) throw new Error('there is no advice')
  return tuning
}

export const plantsOf = (role: 'primary' | 'ph'): TunedPlant[] =>
  Array.from({ length: PLANTS }, (_, at) => {
    const seed = `plant ${at}`
    const plant = randomPlant(seed, role)
    return { ...plant, seed, tuning: tunedOf(plant.given) }
  })

export const runOf = ({ given, setPoint, tuning }: TunedPlant, hours: number, today: FeedSettings | null = null) =>
  tuningRun(given, tuning, today, busyStart(given, NOW, setPoint, hours))

/** Four times the advised on-time, a wait of 10 min and hardly any band. */
export const sharpOf = ({ tuning }: TunedPlant, role: 'primary' | 'ph'): FeedSettings => ({
  onTimeMin: 4 * tuning.onTimeMin,
  waitMin: 10,
  band: HARMLESS[role] / 5,
})

/** How advised settings act on plants whose feeder is large enough. */
export function actsOn(role: 'primary' | 'ph') {
  const acts = plantsOf(role)
    .filter(({ tuning }) => tuning.verdict === 'fits')
    .map((plant) => {
      const { advised } = runOf(plant, 72)
      const distance = Math.abs((advised.value[0] as number) - plant.setPoint)
      const toldMin = reachMin(plant.given, plant.tuning, distance)
      return { ...plant, overshoot: advised.overshoot, reachedMin: advised.reachedMin, toldMin }
    })
  return acts
}

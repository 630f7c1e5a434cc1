import type { DrumContent, Quantity, SanitizerSystem, Setting, UseClass } from '@sightglass/chemistry'
import { type FeederSpec, orpFor, type PlantSpec, type Random } from '@sightglass/chemistry/plant'

/** A kind of water that the company looks after, with its usual size and habits. Sizes are common practice, no source. */
export interface Template {
  useClass: UseClass
  setting: Setting
  /** Smallest and largest. */
  volumeM3: readonly [number, number]
  depthM: number
  turnoverMin: number
  heatedToC: number | null
  /** Bathers in the busiest hour per 100 m² of surface (per m³ in a spa). */
  peakPer100M2: number
  aerationPerHour: number
  freshPerDay: number
  targetMgL: number
  /** 0: none is used. */
  cyanuricAcidMgL: number
  totalAlkalinityMgL: number
  calciumHardnessMgL: number
  /** What the feeders can do per hour at 100 %, in mg of chlorine and meq of acid per litre of pool. */
  sanitizerMgLH: number
  acidMeqLH: number
  /** What it uses on a usual day: sizes the drums. */
  dailyMgL: number
  dailyMeqL: number
  cycleMin: number
}

const outdoorPool: Template = {
  useClass: 'pool',
  setting: 'outdoor',
  volumeM3: [180, 420],
  depthM: 1.4,
  turnoverMin: 360,
  heatedToC: 27,
  peakPer100M2: 6,
  aerationPerHour: 0.02,
  freshPerDay: 0.012,
  targetMgL: 3.6,
  cyanuricAcidMgL: 30,
  totalAlkalinityMgL: 90,
  calciumHardnessMgL: 280,
  sanitizerMgLH: 2.5,
  acidMeqLH: 0.08,
  dailyMgL: 4,
  dailyMeqL: 0.035,
  cycleMin: 20,
}
const indoorPool: Template = {
  ...outdoorPool,
  setting: 'indoor',
  volumeM3: [250, 600],
  turnoverMin: 300,
  heatedToC: 28.5,
  peakPer100M2: 6,
  targetMgL: 2.4,
  cyanuricAcidMgL: 0,
  sanitizerMgLH: 1.6,
  dailyMgL: 2,
}
const spa: Template = {
  ...indoorPool,
  useClass: 'spa',
  volumeM3: [3.5, 9],
  depthM: 0.9,
  turnoverMin: 30,
  heatedToC: 38.5,
  peakPer100M2: 30,
  aerationPerHour: 0.07,
  freshPerDay: 0.07,
  targetMgL: 4.5,
  totalAlkalinityMgL: 100,
  calciumHardnessMgL: 240,
  sanitizerMgLH: 24,
  acidMeqLH: 0.3,
  dailyMgL: 12,
  dailyMeqL: 0.12,
  cycleMin: 10,
}

/** By name, as the list of facilities uses them. */
export const TEMPLATES = {
  outdoorPool,
  indoorPool,
  lapPool: { ...indoorPool, volumeM3: [900, 1900], depthM: 1.9, peakPer100M2: 6, turnoverMin: 330 },
  outdoorLapPool: { ...outdoorPool, volumeM3: [900, 1700], depthM: 1.9, peakPer100M2: 7 },
  leisurePool: {
    ...indoorPool,
    volumeM3: [300, 700],
    depthM: 1.1,
    peakPer100M2: 9,
    turnoverMin: 180,
    aerationPerHour: 0.04,
    dailyMgL: 4,
    dailyMeqL: 0.08,
  },
  river: {
    ...outdoorPool,
    volumeM3: [500, 900],
    depthM: 1,
    peakPer100M2: 8,
    turnoverMin: 180,
    aerationPerHour: 0.045,
    dailyMeqL: 0.08,
  },
  diveTank: { ...indoorPool, volumeM3: [700, 1100], depthM: 3.8, peakPer100M2: 4 },
  spa,
  outdoorSpa: { ...spa, setting: 'outdoor', dailyMgL: 26 },
  wading: {
    ...outdoorPool,
    useClass: 'wading',
    volumeM3: [14, 38],
    depthM: 0.45,
    turnoverMin: 60,
    peakPer100M2: 14,
    aerationPerHour: 0.04,
    freshPerDay: 0.04,
    targetMgL: 4.5,
    sanitizerMgLH: 12,
    acidMeqLH: 0.15,
    dailyMgL: 11,
    dailyMeqL: 0.08,
    cycleMin: 10,
  },
  splash: {
    ...outdoorPool,
    useClass: 'splash',
    volumeM3: [12, 30],
    depthM: 0.25,
    turnoverMin: 30,
    heatedToC: null,
    peakPer100M2: 9,
    aerationPerHour: 0.09,
    freshPerDay: 0.07,
    targetMgL: 4.8,
    cyanuricAcidMgL: 0,
    totalAlkalinityMgL: 120,
    calciumHardnessMgL: 360,
    sanitizerMgLH: 36,
    acidMeqLH: 0.25,
    dailyMgL: 45,
    dailyMeqL: 0.12,
    cycleMin: 10,
  },
  therapy: {
    ...indoorPool,
    useClass: 'therapy',
    volumeM3: [35, 90],
    depthM: 1.2,
    turnoverMin: 120,
    heatedToC: 33.5,
    peakPer100M2: 8,
    targetMgL: 4.2,
    sanitizerMgLH: 4.5,
    acidMeqLH: 0.12,
    dailyMgL: 4,
    cycleMin: 10,
  },
} as const satisfies Record<string, Template>
export type TemplateName = keyof typeof TEMPLATES

/** How one body differs from its template. */
export interface BodyChoice {
  system: SanitizerSystem
  /** Content of the sanitizer's drum; a salt generator has none and gets a hypochlorite backup. */
  content: DrumContent
  acid: DrumContent
  automated: boolean
  timeZone: string
  latitudeDeg: number
}

/** What stands in a drum shop: the smallest that lasts about four weeks is taken. */
const DRUM_SIZES_L = [10, 20, 30, 60, 120, 200, 400, 800, 1500, 3000]
const PER_LITRE_MG: Partial<Record<DrumContent, number>> = {
  sodiumHypochlorite: 120_000,
  calciumHypochlorite: 520_000,
  trichlor: 855_000,
  bromineTablets: 1_000_000,
}
const PER_LITRE_MEQ: Partial<Record<DrumContent, number>> = {
  hydrochloricAcid: 10_000,
  sulfuricAcid: 9_900,
  sodiumBisulfate: 2_500,
  // a third only: carbon dioxide leaves the water again
  carbonDioxide: 6_000,
}

/** A plant of a template with its own size, probes and water. */
export function makePlant(template: Template, choice: BodyChoice, random: Random): PlantSpec {
  const volumeL = Math.round((random.between(...template.volumeM3) * 1000) / 100) * 100
  const bromine = choice.system === 'bromine'
  const salt = choice.system === 'saltGenerator'
  const cyanuricAcidMgL = bromine ? 0 : template.cyanuricAcidMgL
  // a generator answers slowly: its pools are kept higher, and the backup comes in on the way down
  const targetMgL = bromine ? 5.5 : salt ? template.targetMgL + 0.8 : template.targetMgL
  const surfaceM2 = Math.round(volumeL / 1000 / template.depthM)
  const phTarget = 7.4
  // trichlor is acid: its pools are kept at a higher alkalinity, and let the air lift the pH
  const acidTablets = choice.content === 'trichlor' && choice.system === 'erosion'
  const totalAlkalinityMgL = template.totalAlkalinityMgL + (acidTablets ? 40 : 0)
  const heatedToC = template.heatedToC === null ? null : template.heatedToC + Math.round(random.between(-1, 1))
  const start = {
    sanitizerMgL: targetMgL,
    ph: 7.42,
    totalAlkalinityMgL,
    calciumHardnessMgL: template.calciumHardnessMgL,
    cyanuricAcidMgL,
    tdsMgL: salt ? 4000 : Math.round(random.between(80, 130)) * 10,
    saltMgL: salt ? 3200 : 0,
  }
  // 55 to 75 mV for ten times the chlorine, against 30 in theory. From memory of pools' ORP curves
  const sensitivity = random.between(1.8, 2.5)
  return {
    useClass: template.useClass,
    setting: template.setting,
    sanitizerSystem: choice.system,
    volumeL,
    surfaceM2,
    flowLMin: Math.round(volumeL / template.turnoverMin / 5) * 5 || 5,
    timeZone: choice.timeZone,
    latitudeDeg: choice.latitudeDeg,
    heatedToC,
    bathers: {
      peak: (template.peakPer100M2 * surfaceM2) / 100,
      opensAt: 7,
      closesAt: random.pick([20, 21, 22]),
      weekendFactor: random.between(1.2, 1.8),
    },
    start,
    fill: {
      totalAlkalinityMgL: Math.round(random.between(70, 110)),
      calciumHardnessMgL: Math.round(random.between(120, 190)),
      ph: 7.8,
      tdsMgL: Math.round(random.between(300, 450)),
    },
    freshPerDay: template.freshPerDay,
    aerationPerHour: template.aerationPerHour * random.between(0.8, 1.2) * (acidTablets ? 1.7 : 1),
    target: {
      sanitizerMgL: targetMgL,
      ph: phTarget,
      totalAlkalinityMgL,
      calciumHardnessMgL: template.calciumHardnessMgL,
      cyanuricAcidMgL,
    },
    feeders: makeFeeders(template, choice, volumeL, random),
    controller: choice.automated
      ? {
          phSetPoint: phTarget,
          // a proportional controller stands a little below its set point while it feeds
          orpSetPointMv: Math.round(
            orpFor(choice.system, { ...start, ph: phTarget, tempC: heatedToC ?? 24 }, sensitivity) + 4,
          ),
          phBand: 0.3,
          orpBandMv: 25,
          cycleMin: template.cycleMin,
          onShare: 0.8,
          backupBelowMv: salt ? 6 : null,
          orpProbe: {
            offset: Math.round(random.between(-8, 8)),
            offsetPerDay: -random.between(0.1, 0.5),
            noise: random.between(1.2, 2.5),
            lagMin: random.between(4, 9),
            sensitivity,
          },
          phProbe: {
            offset: random.between(-0.04, 0.04),
            offsetPerDay: random.between(-0.002, 0.002),
            noise: 0.01,
            lagMin: 4,
            sensitivity: random.between(0.97, 1),
          },
          channels: channelsOf(choice.system, random),
        }
      : null,
  }
}

const BASIC: readonly Quantity[] = [
  'ph',
  'orpMv',
  'tempC',
  'flowOn',
  'sanitizerFeedPct',
  'phFeedPct',
  'phSetPoint',
  'orpSetPointMv',
]

/** Some controllers also measure flow, a few chlorine. */
function channelsOf(system: SanitizerSystem, random: Random): Quantity[] {
  const more: Quantity[] = system === 'saltGenerator' ? ['backupFeedPct'] : []
  if (random.next() < 0.6) more.push('flowLMin')
  if (random.next() < 0.12 && system !== 'bromine') more.push('freeChlorineMgL')
  return [...BASIC, ...more]
}

function makeFeeders(template: Template, choice: BodyChoice, volumeL: number, random: Random): FeederSpec[] {
  const bromine = choice.system === 'bromine' ? 2.25 : 1
  const perHourMg = template.sanitizerMgLH * volumeL * bromine
  const dailyMg = template.dailyMgL * volumeL * bromine
  const feeders: FeederSpec[] = []
  if (choice.system === 'saltGenerator') {
    feeders.push({
      role: 'primary',
      kind: 'saltGenerator',
      rateLH: 0,
      outputGH: Math.round(perHourMg / 1000 / 1.6),
      drum: null,
    })
    feeders.push(
      drawing('backup', 'pump', 'sodiumHypochlorite', (0.16 * perHourMg) / 120_000, dailyMg / 120_000 / 3, random),
    )
  } else {
    const perLitre = PER_LITRE_MG[choice.content] ?? 120_000
    const kind = choice.system === 'hypochlorite' ? 'pump' : 'erosion'
    feeders.push(drawing('primary', kind, choice.content, perHourMg / perLitre, dailyMg / perLitre, random))
  }
  const perLitre = PER_LITRE_MEQ[choice.acid] ?? 10_000
  const kind = choice.acid === 'carbonDioxide' ? 'co2' : 'pump'
  feeders.push(
    drawing(
      'ph',
      kind,
      choice.acid,
      (template.acidMeqLH * volumeL) / perLitre,
      (template.dailyMeqL * volumeL) / perLitre,
      random,
    ),
  )
  return feeders
}

function drawing(
  role: FeederSpec['role'],
  kind: FeederSpec['kind'],
  content: DrumContent,
  rateLH: number,
  dailyL: number,
  random: Random,
): FeederSpec {
  const capacityL = DRUM_SIZES_L.find((size) => size >= dailyL * 28) ?? 3000
  return {
    role,
    kind,
    rateLH: Number(rateLH.toPrecision(2)),
    outputGH: 0,
    drum: { content, capacityL, startLevelL: Math.round(capacityL * random.between(0.65, 0.98)) },
  }
}

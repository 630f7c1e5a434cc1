import type { Addition } from '../balance/additions.ts'
import { within } from '../errors.ts'
import {
  causticSoda,
  hydrochloricAcid,
  hypochloriteByTrade,
  hypochloriteByWeight,
  type Solution,
  sulfuricAcid,
} from './solutions.ts'
import { contentOf, molarMass, PENTAHYDRATE_SHARE, type SubstanceKey } from './substances.ts'

/** Chemicals by what they are made of, never by brand; where each is taken from stands in `CHEMICAL_SOURCES`. */
export const CHEMICAL_KEYS = [
  'sodiumHypochloriteTrade10',
  'sodiumHypochloriteTrade12',
  'sodiumHypochloriteTrade15',
  'sodiumHypochloriteWeight6',
  'sodiumHypochloriteWeight10',
  'sodiumHypochloriteWeight12',
  'calciumHypochlorite65',
  'calciumHypochlorite73',
  'lithiumHypochlorite',
  'chlorineGas',
  'trichlor',
  'dichlor',
  'dichlorAnhydrous',
  'bromineTablets',
  'hydrochloricAcid31',
  'hydrochloricAcid15',
  'sulfuricAcid93',
  'sulfuricAcid50',
  'sulfuricAcid38',
  'sodiumBisulfate',
  'carbonDioxide',
  'sodiumBicarbonate',
  'sodiumCarbonate',
  'sodiumHydroxide',
  'sodiumHydroxide50',
  'calciumChlorideDihydrate',
  'calciumChloride77',
  'calciumChlorideAnhydrous',
  'cyanuricAcid',
  'boricAcid',
  'borax',
  'sodiumThiosulfate',
  'sodiumChloride',
] as const
export type ChemicalKey = (typeof CHEMICAL_KEYS)[number]

/** What reacts alike when it meets something else. */
export const CHEMICAL_FAMILIES = [
  'hypochlorite',
  'calciumHypochlorite',
  'isocyanurate',
  'chlorineGas',
  'bromine',
  'acid',
  'carbonDioxide',
  'carbonate',
  'caustic',
  'calcium',
  'stabilizer',
  'borate',
  'reducer',
  'salt',
] as const
export type ChemicalFamily = (typeof CHEMICAL_FAMILIES)[number]

export const HAZARD_KEYS = [
  'burns',
  'strongAcidSplashes',
  'fumes',
  'oxidizes',
  'chlorineWithAcid',
  'heatsInWater',
  'toxicGas',
  'chokes',
  'dust',
] as const
export type HazardKey = (typeof HAZARD_KEYS)[number]

export interface Chemical {
  key: ChemicalKey
  /** 'Sodium hypochlorite'. */
  name: string
  /** As its label says it: '12.5 trade %'; '' where it is sold pure. */
  strength: string
  state: 'liquid' | 'solid' | 'gas'
  family: ChemicalFamily
  /** Liquids; null for what is weighed. */
  densityKgL: number | null
  /** Share of the weight; what is missing to 1 is water or does nothing. */
  composition: Partial<Record<SubstanceKey, number>>
  /** What 1 kg brings: an addition in meq, mmol and mg for each kg. */
  perKg: Required<Addition>
  hazards: readonly HazardKey[]
  /** Listed so that it can be reckoned with; no plan ever asks for it. */
  referenceOnly: boolean
}

/** How strong a chemical is, and what it is made of at each strength. */
interface Entry {
  name: string
  state: Chemical['state']
  family: ChemicalFamily
  strengthPct: number
  /** What the per cent are of; null where it is sold pure. */
  measure: string | null
  /** Strengths at which it can be reckoned. */
  range: readonly [number, number]
  made: (strengthPct: number) => Solution | { densityKgL: null; composition: Chemical['composition'] }
  hazards: readonly HazardKey[]
  referenceOnly?: true
}

const solid =
  (key: SubstanceKey, beside: Chemical['composition'] = {}) =>
  (pct: number) => ({ densityKgL: null, composition: { [key]: pct / 100, ...beside } })

/** A solid whose label prints available chlorine rather than the substance. */
const chlorinating =
  (key: SubstanceKey, chlorines: number, beside: Chemical['composition'] = {}) =>
  (availablePct: number) =>
    solid(key, beside)((availablePct * molarMass(key)) / (chlorines * molarMass('chlorine')))

const hypochlorite = (strengthPct: number, measure: 'trade %' | 'weight % NaOCl'): Entry => ({
  name: 'Sodium hypochlorite',
  state: 'liquid',
  family: 'hypochlorite',
  strengthPct,
  measure,
  range: [0.5, measure === 'trade %' ? 18 : 16],
  made: measure === 'trade %' ? hypochloriteByTrade : hypochloriteByWeight,
  hazards: ['burns', 'oxidizes', 'chlorineWithAcid'],
})

// how calcium hypochlorite is made up beside its Ca(OCl)2: common practice, no source
const BESIDE_CALCIUM_HYPOCHLORITE = { calciumHydroxide: 0.03, sodiumChloride: 0.15 }
const calciumHypochlorite = (strengthPct: number): Entry => ({
  name: 'Calcium hypochlorite',
  state: 'solid',
  family: 'calciumHypochlorite',
  strengthPct,
  measure: '% available chlorine',
  range: [30, 80],
  made: chlorinating('calciumHypochlorite', 2, BESIDE_CALCIUM_HYPOCHLORITE),
  hazards: ['burns', 'oxidizes', 'chlorineWithAcid', 'dust'],
})

const muriatic = (strengthPct: number): Entry => ({
  name: 'Hydrochloric (muriatic) acid',
  state: 'liquid',
  family: 'acid',
  strengthPct,
  measure: 'weight %',
  range: [1, 38],
  made: hydrochloricAcid,
  hazards: ['burns', 'fumes', 'chlorineWithAcid'],
})

const vitriol = (strengthPct: number): Entry => ({
  name: 'Sulfuric acid',
  state: 'liquid',
  family: 'acid',
  strengthPct,
  measure: 'weight %',
  range: [1, 100],
  made: sulfuricAcid,
  hazards: ['burns', 'strongAcidSplashes', 'chlorineWithAcid'],
})

const calciumChloride = (strengthPct: number, name: string): Entry => ({
  name,
  state: 'solid',
  family: 'calcium',
  strengthPct,
  measure: '% CaCl2',
  range: [20, 100],
  made: solid('calciumChloride'),
  hazards: ['heatsInWater'],
})

const pure = (
  name: string,
  family: ChemicalFamily,
  key: SubstanceKey,
  hazards: readonly HazardKey[],
  strengthPct = 100,
): Entry => ({
  name,
  state: 'solid',
  family,
  strengthPct,
  measure: strengthPct === 100 ? null : 'weight %',
  range: [50, 100],
  made: solid(key),
  hazards,
})

const DIHYDRATE_PCT = (100 * molarMass('calciumChloride')) / (molarMass('calciumChloride') + 36.03)
const DECAHYDRATE_SHARE = molarMass('borax') / (molarMass('borax') + 180.15)

const ENTRIES: Record<ChemicalKey, Entry> = {
  sodiumHypochloriteTrade10: hypochlorite(10, 'trade %'),
  sodiumHypochloriteTrade12: hypochlorite(12.5, 'trade %'),
  sodiumHypochloriteTrade15: hypochlorite(15, 'trade %'),
  sodiumHypochloriteWeight6: hypochlorite(6, 'weight % NaOCl'),
  sodiumHypochloriteWeight10: hypochlorite(10, 'weight % NaOCl'),
  sodiumHypochloriteWeight12: hypochlorite(12.5, 'weight % NaOCl'),
  calciumHypochlorite65: calciumHypochlorite(65),
  calciumHypochlorite73: calciumHypochlorite(73),
  lithiumHypochlorite: {
    name: 'Lithium hypochlorite',
    state: 'solid',
    family: 'hypochlorite',
    strengthPct: 35,
    measure: '% available chlorine',
    range: [20, 40],
    made: chlorinating('lithiumHypochlorite', 1, { sodiumChloride: 0.34, sodiumSulfate: 0.12, potassiumSulfate: 0.08 }),
    hazards: ['burns', 'oxidizes', 'chlorineWithAcid', 'dust'],
  },
  chlorineGas: {
    name: 'Chlorine gas',
    state: 'gas',
    family: 'chlorineGas',
    strengthPct: 100,
    measure: null,
    range: [99, 100],
    made: solid('chlorine'),
    hazards: ['toxicGas', 'burns', 'oxidizes'],
    referenceOnly: true,
  },
  trichlor: {
    name: 'Trichlor (trichloroisocyanuric acid)',
    state: 'solid',
    family: 'isocyanurate',
    strengthPct: 90,
    measure: '% available chlorine',
    range: [80, 91.5],
    made: chlorinating('trichlor', 3),
    hazards: ['burns', 'oxidizes', 'chlorineWithAcid', 'dust'],
  },
  dichlor: {
    name: 'Dichlor (sodium dichloroisocyanurate, dihydrate)',
    state: 'solid',
    family: 'isocyanurate',
    strengthPct: 55,
    measure: '% available chlorine',
    range: [40, 56],
    made: chlorinating('dichlor', 2),
    hazards: ['burns', 'oxidizes', 'chlorineWithAcid', 'dust'],
  },
  dichlorAnhydrous: {
    name: 'Dichlor (sodium dichloroisocyanurate, anhydrous)',
    state: 'solid',
    family: 'isocyanurate',
    strengthPct: 62,
    measure: '% available chlorine',
    range: [56, 64.5],
    made: chlorinating('dichlor', 2),
    hazards: ['burns', 'oxidizes', 'chlorineWithAcid', 'dust'],
  },
  bromineTablets: {
    name: 'Bromine tablets (bromochlorodimethylhydantoin)',
    state: 'solid',
    family: 'bromine',
    strengthPct: 96,
    measure: 'weight %',
    range: [80, 100],
    made: solid('bromochlorohydantoin'),
    hazards: ['burns', 'oxidizes', 'chlorineWithAcid', 'dust'],
  },
  hydrochloricAcid31: muriatic(31.45),
  hydrochloricAcid15: muriatic(15.725),
  sulfuricAcid93: vitriol(93.2),
  sulfuricAcid50: vitriol(50),
  sulfuricAcid38: vitriol(38),
  sodiumBisulfate: pure(
    'Sodium bisulfate (dry acid)',
    'acid',
    'sodiumBisulfate',
    ['burns', 'chlorineWithAcid', 'dust'],
    95,
  ),
  carbonDioxide: {
    name: 'Carbon dioxide',
    state: 'gas',
    family: 'carbonDioxide',
    strengthPct: 100,
    measure: null,
    range: [99, 100],
    made: solid('carbonDioxide'),
    hazards: ['chokes'],
  },
  sodiumBicarbonate: pure('Sodium bicarbonate', 'carbonate', 'sodiumBicarbonate', ['dust']),
  sodiumCarbonate: pure('Sodium carbonate (soda ash)', 'carbonate', 'sodiumCarbonate', [
    'burns',
    'dust',
    'heatsInWater',
  ]),
  sodiumHydroxide: pure('Sodium hydroxide (caustic soda)', 'caustic', 'sodiumHydroxide', ['burns', 'heatsInWater'], 98),
  sodiumHydroxide50: {
    name: 'Sodium hydroxide solution (caustic soda)',
    state: 'liquid',
    family: 'caustic',
    strengthPct: 50,
    measure: 'weight %',
    range: [1, 50],
    made: causticSoda,
    hazards: ['burns', 'heatsInWater'],
  },
  calciumChlorideDihydrate: calciumChloride(DIHYDRATE_PCT, 'Calcium chloride, dihydrate'),
  calciumChloride77: calciumChloride(77, 'Calcium chloride, flake'),
  calciumChlorideAnhydrous: {
    ...calciumChloride(94, 'Calcium chloride, anhydrous'),
  },
  cyanuricAcid: pure('Cyanuric acid (stabilizer)', 'stabilizer', 'cyanuricAcid', ['dust']),
  boricAcid: pure('Boric acid', 'borate', 'boricAcid', ['dust']),
  borax: {
    ...pure('Borax (sodium tetraborate decahydrate)', 'borate', 'borax', ['dust']),
    made: (pct) => solid('borax')(pct * DECAHYDRATE_SHARE),
  },
  sodiumThiosulfate: {
    ...pure('Sodium thiosulfate (crystals, pentahydrate)', 'reducer', 'sodiumThiosulfate', ['dust']),
    made: (pct) => solid('sodiumThiosulfate')(pct * PENTAHYDRATE_SHARE),
  },
  sodiumChloride: pure('Sodium chloride (salt)', 'salt', 'sodiumChloride', []),
}

const chemicalOf = (key: ChemicalKey, strengthPct: number): Chemical => {
  const { name, state, family, measure, made, hazards, referenceOnly = false } = ENTRIES[key]
  const { densityKgL, composition } = made(strengthPct)
  const shownPct = Number(strengthPct.toFixed(2))
  const strength = measure === null && strengthPct === 100 ? '' : `${shownPct} ${measure ?? 'weight %'}`
  return {
    key,
    name,
    strength,
    state,
    family,
    densityKgL,
    composition,
    perKg: contentOf(composition),
    hazards,
    referenceOnly,
  }
}

/** Every chemical at its usual strength. */
export const CHEMICALS = Object.fromEntries(
  CHEMICAL_KEYS.map((key) => [key, chemicalOf(key, ENTRIES[key].strengthPct)]),
) as Record<ChemicalKey, Chemical>

/** The strengths a chemical can be reckoned at, in the per cent that its label prints: usual, least and most. */
export function strengthsOf(key: ChemicalKey): { usualPct: number; minPct: number; maxPct: number } {
  const { strengthPct, range } = ENTRIES[key]
  return { usualPct: strengthPct, minPct: range[0], maxPct: range[1] }
}

/** A chemical of one's own strength: hypochlorite that has aged, or another acid.
 * @param strengthPct in the per cent that its label prints; outside `strengthsOf` → OutOfRange */
export function ofStrength(key: ChemicalKey, strengthPct: number): Chemical {
  const { name, range } = ENTRIES[key]
  return chemicalOf(key, within(`strength of ${name.toLowerCase()} in %`, strengthPct, ...range))
}

/** 'Sodium hypochlorite, 12.5 trade %'. */
export const labelOf = ({ name, strength }: Chemical): string => (strength ? `${name}, ${strength}` : name)

import type {
  DrumContent,
  FeederKind,
  FeederRole,
  FindingFamily,
  Parameter,
  SanitizerSystem,
  Setting,
  UseClass,
} from '@sightglass/chemistry'
import { type Method, PARAMETER_RANGES, QUANTITY_RANGES } from '@sightglass/contract'

export const USE_CLASS_WORDS: Record<UseClass, string> = {
  pool: 'Pool',
  spa: 'Spa',
  wading: 'Wading pool',
  splash: 'Splash pad',
  therapy: 'Therapy pool',
}
export const SETTING_WORDS: Record<Setting, string> = { indoor: 'indoor', outdoor: 'outdoor' }
export const SANITIZER_WORDS: Record<SanitizerSystem, string> = {
  hypochlorite: 'Hypochlorite',
  erosion: 'Erosion feeder',
  saltGenerator: 'Salt chlorine generator',
  bromine: 'Bromine',
}
export const FEEDER_ROLE_WORDS: Record<FeederRole, string> = {
  primary: 'Primary sanitizer',
  backup: 'Backup sanitizer',
  ph: 'pH',
}
export const FEEDER_KIND_WORDS: Record<FeederKind, string> = {
  pump: 'Pump',
  erosion: 'Erosion feeder',
  saltGenerator: 'Salt chlorine generator',
  co2: 'CO₂ feed',
}
export const DRUM_CONTENT_WORDS: Record<DrumContent, string> = {
  sodiumHypochlorite: 'Sodium hypochlorite',
  calciumHypochlorite: 'Calcium hypochlorite',
  trichlor: 'Trichlor',
  bromineTablets: 'Bromine tablets',
  hydrochloricAcid: 'Hydrochloric (muriatic) acid',
  sulfuricAcid: 'Sulfuric acid',
  sodiumBisulfate: 'Sodium bisulfate (dry acid)',
  carbonDioxide: 'Carbon dioxide',
}
export const METHOD_WORDS: Record<Method, string> = {
  dropTest: 'Drop test',
  photometer: 'Photometer',
  comparator: 'Color comparator',
  strip: 'Test strip',
  meter: 'Meter',
  other: 'Other',
}
export const FAMILY_WORDS: Record<FindingFamily, string> = {
  sanitizer: 'Sanitizer',
  balance: 'Water balance',
  feed: 'Feed',
  hazard: 'Hazard',
  probe: 'Probes',
  supply: 'Supply',
  evidence: 'Evidence',
}

/** Short names for table heads. */
export const PARAMETER_SHORT: Record<Parameter, string> = {
  freeChlorineMgL: 'Free Cl',
  totalChlorineMgL: 'Total Cl',
  bromineMgL: 'Bromine',
  ph: 'pH',
  totalAlkalinityMgL: 'Alkalinity',
  calciumHardnessMgL: 'Calcium',
  cyanuricAcidMgL: 'Cyanuric',
  tempC: 'Temp',
  tdsMgL: 'TDS',
  saltMgL: 'Salt',
}

const DERIVED_WORDS: Record<string, string> = {
  combinedChlorineMgL: 'Combined chlorine',
  cyanuricAcidToChlorineRatio: 'Cyanuric acid to free chlorine',
  saturationIndex: 'Saturation index',
  hypochlorousMgL: 'Active chlorine (hypochlorous acid)',
  boronMgL: 'Boron (from borate)',
}

/** The name of anything that is measured, reported or derived. */
export const thingWords = (thing: string): string =>
  PARAMETER_RANGES[thing as keyof typeof PARAMETER_RANGES]?.words ??
  QUANTITY_RANGES[thing as keyof typeof QUANTITY_RANGES]?.words ??
  DERIVED_WORDS[thing] ??
  thing

/** Shorter, where space is. */
const SANITIZER_SHORT: Record<SanitizerSystem, string> = {
  hypochlorite: 'hypochlorite',
  erosion: 'erosion',
  saltGenerator: 'salt generator',
  bromine: 'bromine',
}

export const bodyFacts = (body: { useClass: UseClass; setting: Setting; sanitizerSystem: SanitizerSystem }) =>
  `${USE_CLASS_WORDS[body.useClass]}, ${SETTING_WORDS[body.setting]}, ${SANITIZER_SHORT[body.sanitizerSystem]}`

export const optionsOf = <Key extends string>(words: Record<Key, string>) =>
  (Object.entries(words) as [Key, string][]).map(([value, label]) => ({ value, label }))

import type { DrumContent, SanitizerSystem } from '@sightglass/chemistry'
import type { ScenarioName } from '../scenarios/index.ts'
import type { TemplateName } from './templates.ts'

/** A facility as the company's own list has it. Everything in it is invented. */
export interface FacilityEntry {
  name: string
  kind: string
  town: TownName
  bodies: BodyEntry[]
}

export interface BodyEntry {
  name: string
  template: TemplateName
  system: SanitizerSystem
  content?: DrumContent
  acid?: DrumContent
  scenario: ScenarioName
  automated: boolean
  /** Room of its own, where a facility has several. */
  room?: string
}

export interface Town {
  area: string
  timeZone: string
  latitudeDeg: number
  profileKey: string
}

/** Larkmead lies nowhere: the towns are invented, and so is which code each has taken over. */
export const TOWNS = {
  Larkmead: { area: 'Larkmead', timeZone: 'America/Chicago', latitudeDeg: 30.4, profileKey: 'cdc-mahc' },
  'Osier Bend': { area: 'Larkmead', timeZone: 'America/Chicago', latitudeDeg: 30.6, profileKey: 'cdc-mahc' },
  Wexcombe: { area: 'Wexcombe', timeZone: 'America/Chicago', latitudeDeg: 29.8, profileKey: 'cdc-mahc' },
  'Tarn Harbor': { area: 'Harbor', timeZone: 'America/New_York', latitudeDeg: 27.9, profileKey: 'cdc-mahc' },
  Quillport: { area: 'Harbor', timeZone: 'America/New_York', latitudeDeg: 28.2, profileKey: 'cdc-mahc' },
  'Dry Sallow': { area: 'Mesa', timeZone: 'America/Phoenix', latitudeDeg: 33.2, profileKey: 'cdc-mahc' },
  'Ember Mesa': { area: 'Mesa', timeZone: 'America/Phoenix', latitudeDeg: 33.5, profileKey: 'us-ca' },
} as const satisfies Record<string, Town>
export type TownName = keyof typeof TOWNS

/** Who drives where. */
export const TECHNICIANS: Record<string, readonly string[]> = {
  Larkmead: ['Ines Calloway', 'Bram Oduya'],
  Wexcombe: ['Tobias Fenn'],
  Harbor: ['Marisol Teague', 'Petra Lindqvist'],
  Mesa: ['Dov Harrow'],
}

type Extra = Partial<Pick<BodyEntry, 'content' | 'acid' | 'scenario' | 'automated' | 'room'>>
const water =
  (system: SanitizerSystem, content?: DrumContent) =>
  (template: TemplateName, name: string, scenario: ScenarioName = 'healthy', extra: Extra = {}): BodyEntry => ({
    name,
    template,
    system,
    content,
    scenario,
    automated: true,
    ...extra,
  })

const hypo = water('hypochlorite', 'sodiumHypochlorite')
const salt = water('saltGenerator')
const briquette = water('erosion', 'calciumHypochlorite')
const tablet = water('erosion', 'trichlor')
const bromine = water('bromine', 'bromineTablets')
const byHand: Extra = { automated: false }
const gas: Extra = { acid: 'carbonDioxide' }
const sulfuric: Extra = { acid: 'sulfuricAcid' }

const at = (town: TownName, kind: string, name: string, ...bodies: BodyEntry[]): FacilityEntry => ({
  name,
  kind,
  town,
  bodies,
})

export const FACILITIES: readonly FacilityEntry[] = [
  // Larkmead and Osier Bend
  at(
    'Larkmead',
    'leisure centre',
    'Larkmead Leisure Centre',
    hypo('lapPool', 'Lap pool', 'healthy', { ...gas, room: 'Main plant room' }),
    hypo('leisurePool', 'Leisure pool', 'batherCrowd', { ...gas, room: 'Main plant room' }),
    hypo('wading', 'Toddler pool', 'healthy', { room: 'North plant room' }),
    hypo('spa', 'Health suite spa', 'healthy', { room: 'North plant room' }),
  ),
  at(
    'Larkmead',
    'hotel',
    'Heron Court Hotel',
    hypo('outdoorPool', 'Courtyard pool'),
    hypo('outdoorSpa', 'Courtyard spa'),
  ),
  at(
    'Larkmead',
    'hotel',
    'Alder House Hotel',
    salt('outdoorPool', 'Garden pool', 'cellFailing'),
    bromine('spa', 'Indoor spa'),
  ),
  at(
    'Larkmead',
    'condominium',
    'Millrace Condominiums',
    hypo('outdoorPool', 'Main pool', 'acidDrumDry'),
    hypo('outdoorSpa', 'Spa'),
  ),
  at('Larkmead', 'condominium', 'Osprey Landing', tablet('outdoorPool', 'Pool'), tablet('wading', 'Wading pool')),
  at(
    'Larkmead',
    'school',
    'Larkmead High School',
    hypo('lapPool', 'Competition pool', 'healthy', gas),
    hypo('diveTank', 'Dive tank', 'healthy', gas),
  ),
  at(
    'Larkmead',
    'hospital',
    'St. Brannoc Hospital',
    hypo('therapy', 'Hydrotherapy pool', 'phProbeOff'),
    hypo('therapy', 'Rehabilitation pool'),
  ),
  at(
    'Larkmead',
    'club',
    'Fernhill Swim Club',
    hypo('outdoorLapPool', 'Fifty-meter pool', 'drumLow'),
    hypo('wading', 'Baby pool'),
  ),
  at('Larkmead', 'apartments', 'Cooper Street Lofts', hypo('outdoorPool', 'Roof pool', 'testOverdue')),
  at(
    'Larkmead',
    'fitness club',
    'Anvil Fitness',
    hypo('indoorPool', 'Training pool', 'stabilizerIndoors'),
    hypo('spa', 'Spa', 'spaOverdosed'),
  ),
  at(
    'Osier Bend',
    'hotel',
    'Osier Bend Inn',
    hypo('indoorPool', 'Indoor pool', 'formedStoolClosed'),
    bromine('spa', 'Spa', 'bromineLow'),
  ),
  at(
    'Osier Bend',
    'campground',
    'Withy Creek Campground',
    briquette('outdoorPool', 'Camp pool', 'healthy', byHand),
    hypo('splash', 'Splash pad', 'relined'),
  ),
  at(
    'Osier Bend',
    'condominium',
    'Sedge Point Villas',
    salt('outdoorPool', 'North pool'),
    salt('outdoorPool', 'South pool'),
    hypo('outdoorSpa', 'Spa', 'tooHot'),
  ),
  at('Osier Bend', 'school', 'Bendside Middle School', hypo('indoorPool', 'Teaching pool', 'controllerSilent')),
  at('Osier Bend', 'retirement home', 'Quince Garden Residence', hypo('therapy', 'Warm pool'), hypo('spa', 'Spa')),

  // Wexcombe
  at(
    'Wexcombe',
    'water park',
    'Kingfisher Water Park',
    hypo('river', 'Lazy river', 'healthy', { ...sulfuric, room: 'River plant room' }),
    hypo('outdoorLapPool', 'Wave pool', 'pumpWorn', { ...sulfuric, room: 'Wave plant room' }),
    hypo('outdoorPool', 'Slide landing', 'healthy', { room: 'River plant room' }),
    hypo('splash', 'Otter splash pad', 'pumpLostPrime', { room: 'Splash plant room' }),
    hypo('splash', 'Newt splash pad', 'healthy', { room: 'Splash plant room' }),
    hypo('wading', 'Duckling pool', 'healthy', { room: 'Splash plant room' }),
  ),
  at(
    'Wexcombe',
    'hotel',
    'Wexcombe Grand',
    hypo('outdoorPool', 'Terrace pool', 'exportsWait'),
    hypo('indoorPool', 'Atrium pool', 'exportsWait', gas),
    hypo('spa', 'Atrium spa', 'exportsWait'),
  ),
  at('Wexcombe', 'hotel', 'Pilgrim Lodge', hypo('outdoorPool', 'Pool', 'noFlow'), hypo('outdoorSpa', 'Spa')),
  at('Wexcombe', 'condominium', 'Tannery Row', tablet('outdoorPool', 'Pool', 'stabilizerClimbed')),
  at(
    'Wexcombe',
    'condominium',
    'Canal Walk Residences',
    hypo('outdoorPool', 'Pool', 'orpProbeAges'),
    hypo('outdoorSpa', 'Spa'),
  ),
  at(
    'Wexcombe',
    'club',
    'Wexcombe Racquet Club',
    salt('outdoorPool', 'Club pool'),
    hypo('wading', 'Wading pool', 'corrosiveWater'),
  ),
  at(
    'Wexcombe',
    'university',
    'Wexcombe College Natatorium',
    hypo('lapPool', 'Natatorium', 'healthy', gas),
    hypo('diveTank', 'Diving well', 'acidPumpWorn'),
    hypo('therapy', 'Training-room plunge'),
  ),
  at('Wexcombe', 'apartments', 'Foundry Yard Apartments', hypo('outdoorPool', 'Pool')),
  at(
    'Wexcombe',
    'town',
    'Wexcombe Town Pool',
    briquette('outdoorLapPool', 'Main pool'),
    hypo('splash', 'Spray ground'),
  ),

  // Tarn Harbor and Quillport
  at(
    'Tarn Harbor',
    'resort',
    'Saltmarsh Resort',
    salt('outdoorPool', 'Lagoon pool', 'healthy', { room: 'Lagoon plant room' }),
    salt('outdoorPool', 'Quiet pool', 'healthy', { room: 'Lagoon plant room' }),
    hypo('river', 'Resort river', 'healthy', { room: 'River plant room' }),
    hypo('outdoorSpa', 'East spa', 'healthy', { room: 'Lagoon plant room' }),
    bromine('outdoorSpa', 'West spa', 'healthy', { room: 'River plant room' }),
    hypo('splash', 'Sandpiper splash pad', 'healthy', { room: 'River plant room' }),
  ),
  at(
    'Tarn Harbor',
    'hotel',
    'Lantern Quay Hotel',
    hypo('outdoorPool', 'Roof pool', 'feedWithoutFlow'),
    hypo('outdoorSpa', 'Roof spa'),
  ),
  at('Tarn Harbor', 'hotel', 'The Chandlery', hypo('indoorPool', 'Cellar pool'), hypo('spa', 'Cellar spa')),
  at(
    'Tarn Harbor',
    'condominium',
    'Breakwater Towers',
    hypo('outdoorPool', 'Tower pool'),
    hypo('outdoorPool', 'Bay pool', 'setPointLeft'),
    hypo('outdoorSpa', 'Spa'),
  ),
  at(
    'Tarn Harbor',
    'condominium',
    'Cormorant Club',
    salt('outdoorPool', 'Pool', 'scalingWater'),
    bromine('outdoorSpa', 'Spa'),
  ),
  at('Tarn Harbor', 'marina', 'Tarn Harbor Marina', hypo('outdoorPool', 'Members’ pool', 'acidDrumLow')),
  at('Tarn Harbor', 'school', 'Harbor Day School', hypo('indoorPool', 'School pool', 'phProbeOff', gas)),
  at(
    'Tarn Harbor',
    'hospital',
    'Tarn Harbor General',
    hypo('therapy', 'Therapy pool'),
    hypo('therapy', 'Children’s therapy pool', 'bothFeeds'),
  ),
  at(
    'Tarn Harbor',
    'leisure centre',
    'Harbor Community Centre',
    hypo('lapPool', 'Lap pool', 'healthy', gas),
    hypo('leisurePool', 'Family pool'),
    hypo('spa', 'Spa', 'batherCrowd'),
  ),
  at('Quillport', 'hotel', 'Quillport Suites', hypo('outdoorPool', 'Pool', 'phProbeStuck'), hypo('outdoorSpa', 'Spa')),
  at('Quillport', 'condominium', 'Plume Court', tablet('outdoorPool', 'Pool', 'healthy', byHand)),
  at('Quillport', 'condominium', 'Inkwell Apartments', hypo('outdoorPool', 'Pool', 'neverTested')),
  at('Quillport', 'club', 'Quillport Yacht Club', salt('outdoorPool', 'Yacht club pool'), hypo('wading', 'Cadet pool')),
  at(
    'Quillport',
    'fitness club',
    'Tidewater Fitness',
    hypo('indoorPool', 'Lap pool', 'orpProbeFouled'),
    hypo('spa', 'Hot tub'),
  ),
  at('Quillport', 'retirement home', 'Gannet House', hypo('therapy', 'Warm-water pool', 'diarrheaTreated', byHand)),

  // Dry Sallow and Ember Mesa
  at(
    'Dry Sallow',
    'hotel',
    'Sallow Springs Hotel',
    hypo('outdoorPool', 'Palm pool', 'scalingWater'),
    hypo('outdoorPool', 'Family pool'),
    hypo('outdoorSpa', 'Spa'),
  ),
  at('Dry Sallow', 'hotel', 'Ocotillo Motor Lodge', tablet('outdoorPool', 'Pool', 'stabilizerClimbed')),
  at(
    'Dry Sallow',
    'condominium',
    'Juniper Flats',
    hypo('outdoorPool', 'Clubhouse pool'),
    hypo('outdoorSpa', 'Clubhouse spa'),
  ),
  at('Dry Sallow', 'school', 'Dry Sallow High School', hypo('outdoorLapPool', 'Swim team pool')),
  at(
    'Dry Sallow',
    'mobile-home park',
    'Agave Court',
    hypo('outdoorPool', 'Pool', 'allSilent'),
    hypo('outdoorSpa', 'Spa', 'neverTested'),
  ),
  at(
    'Dry Sallow',
    'town',
    'Sallow Aquatic Park',
    hypo('outdoorLapPool', 'Lap pool'),
    hypo('splash', 'Cactus splash pad'),
    hypo('river', 'Current channel'),
  ),
  at(
    'Ember Mesa',
    'resort',
    'Ember Mesa Resort',
    salt('outdoorPool', 'Canyon pool'),
    hypo('outdoorPool', 'Adults’ pool', 'acidOverfed'),
    hypo('outdoorSpa', 'Canyon spa'),
    bromine('outdoorSpa', 'Mesa spa'),
  ),
  at('Ember Mesa', 'condominium', 'Kiln Ridge', salt('outdoorPool', 'Pool', 'cellFailing'), hypo('outdoorSpa', 'Spa')),
  at('Ember Mesa', 'club', 'Ember Mesa Country Club', hypo('outdoorPool', 'Club pool'), hypo('wading', 'Wading pool')),
  at(
    'Ember Mesa',
    'fitness club',
    'Basalt Athletic Club',
    hypo('indoorPool', 'Lap pool', 'corrosiveWater'),
    hypo('spa', 'Spa', 'scalingWater'),
  ),
  at(
    'Ember Mesa',
    'apartments',
    'Red Ochre Apartments',
    hypo('outdoorPool', 'Pool', 'pumpLostPrime'),
    hypo('outdoorSpa', 'Spa', 'orpProbeStuck'),
  ),
  at(
    'Ember Mesa',
    'hospital',
    'Mesa Rehabilitation Hospital',
    hypo('therapy', 'Therapy pool', 'acidDrumLow'),
    hypo('spa', 'Plunge'),
  ),
]

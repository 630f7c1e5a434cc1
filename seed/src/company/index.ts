import type { DrumContent, FeederRole, Quantity } from '@sightglass/chemistry'
import {
  createRandom,
  type Fault,
  type PlannedTest,
  type PlantSpec,
  type Random,
  zoneOffset,
} from '@sightglass/chemistry/plant'
import { outOfUseFromMs, SCENARIOS, type Scenario, type ScenarioName } from '../scenarios/index.ts'
import { type BodyEntry, FACILITIES, type FacilityEntry, TECHNICIANS, TOWNS } from './facilities.ts'
import { idFor } from './ids.ts'
import { makePlant, TEMPLATES } from './templates.ts'

const DAY = 86_400_000
const HOUR = 3_600_000
const FIVE_MINUTES = 300_000

/** Larkmead Aquatic Care as of one moment, with the days before it in which its plants ran. */
export interface Company {
  fromMs: number
  nowMs: number
  days: number
  facilities: CompanyFacility[]
}

export interface CompanyFacility {
  id: string
  name: string
  kind: string
  address: string
  area: string
  timeZone: string
  profileKey: string
  contact: { name: string; email: string; phone: string }
  technician: string
  staff: string[]
  rooms: { id: string; name: string }[]
  controllers: { id: string; roomId: string; name: string }[]
  bodies: CompanyBody[]
}

export interface CompanyBody {
  id: string
  roomId: string
  name: string
  entry: BodyEntry
  scenario: ScenarioName
  /** The seed of its plant's generator. */
  seed: string
  plant: PlantSpec
  faults: Fault[]
  tests: PlannedTest[]
  visits: number[]
  channels: { id: string; controllerId: string; quantity: Quantity }[]
  feeders: CompanyFeeder[]
}

export interface CompanyFeeder {
  id: string
  role: FeederRole
  name: string
  drum: { id: string; name: string; content: DrumContent; strengthPct: number | null; capacityL: number } | null
}

export interface CompanyOptions {
  nowMs: number
  /** Another seed is another company in all but names. */
  seed?: string | undefined
  days?: number | undefined
}

/** Builds the company for a moment: what stands where, who comes when, and what goes wrong. */
export function makeCompany({ nowMs, seed = 'larkmead', days = 90 }: CompanyOptions): Company {
  const now = Math.floor(nowMs / FIVE_MINUTES) * FIVE_MINUTES
  const span = { fromMs: now - days * DAY, nowMs: now }
  return { ...span, days, facilities: FACILITIES.map((entry) => makeFacility(entry, span, seed)) }
}

const NAMES = [
  'Avery Lunt',
  'Joss Merriman',
  'Noor Ashdown',
  'Callum Pike',
  'Wren Talbot',
  'Sacha Greer',
  'Imani Cole',
  'Rafe Dunmore',
  'Lena Voss',
  'Otto Brandt',
  'Priya Nair',
  'Gus Holloway',
]
const STREETS = ['Weir Lane', 'Sluice Street', 'Bulrush Avenue', 'Cistern Road', 'Ferry Street', 'Lockkeeper’s Way']

interface Span {
  fromMs: number
  nowMs: number
}

function makeFacility(entry: FacilityEntry, span: Span, seed: string): CompanyFacility {
  const random = createRandom(`${seed}/${entry.name}`)
  const town = TOWNS[entry.town]
  const id = (what: string) => idFor(span.fromMs, `${seed}/${entry.name}/${what}`)
  const roomNames = [...new Set(entry.bodies.map((body) => body.room ?? 'Plant room'))]
  const rooms = roomNames.map((name) => ({ id: id(`room ${name}`), name }))
  const controllers: CompanyFacility['controllers'] = []
  const slug = entry.name.toLowerCase().replace(/[^a-z]+/g, '-')
  const staff = [random.pick(NAMES), random.pick(NAMES)]
  const round = visitsOf(entry, span, town.timeZone, random)
  return {
    id: id('facility'),
    name: entry.name,
    kind: entry.kind,
    address: `${Math.floor(random.between(1, 240))} ${random.pick(STREETS)}, ${entry.town}`,
    area: town.area,
    timeZone: town.timeZone,
    profileKey: town.profileKey,
    contact: { name: staff[0] as string, email: `office@${slug}.example.test`, phone: '' },
    technician: random.pick(TECHNICIANS[town.area] ?? ['']),
    staff,
    rooms,
    bodies: entry.bodies.map((body, index) => {
      const room = rooms[roomNames.indexOf(body.room ?? 'Plant room')]
      return makeBody({ body, entry, room, index, round, span, seed, id, controllers })
    }),
    controllers,
  }
}

interface Making {
  body: BodyEntry
  entry: FacilityEntry
  room: { id: string; name: string } | undefined
  index: number
  round: number[]
  span: Span
  seed: string
  id: (what: string) => string
  controllers: CompanyFacility['controllers']
}

function makeBody({ body, entry, room, index, round, span, seed, id, controllers }: Making): CompanyBody {
  const key = `${seed}/${entry.name}/${body.name}`
  const random = createRandom(key)
  const town = TOWNS[entry.town]
  const scenario: Scenario = SCENARIOS[body.scenario]
  const roomId = room?.id ?? ''
  const automated = body.automated && scenario.automated !== false
  const made = makePlant(
    TEMPLATES[body.template],
    {
      system: body.system,
      content: body.content ?? 'sodiumHypochlorite',
      acid: body.acid ?? 'hydrochloricAcid',
      automated,
      timeZone: town.timeZone,
      latitudeDeg: town.latitudeDeg,
    },
    random,
  )
  const plant = scenario.plant?.(made) ?? made
  const controllerId = automated ? controllerFor(body, room, id, controllers) : ''
  const visits = round.map((atMs) => atMs + index * 15 * 60_000)
  if (scenario.lastVisitHoursAgo) visits.push(span.nowMs - scenario.lastVisitHoursAgo * HOUR)
  const inUse = { ...span, nowMs: outOfUseFromMs(scenario, span.nowMs) ?? span.nowMs }
  return {
    id: id(`body ${body.name}`),
    roomId,
    name: body.name,
    entry: body,
    scenario: body.scenario,
    seed: key,
    plant,
    faults: scenario.faults?.(span.nowMs) ?? [],
    tests: scenario.tested === false ? [] : testsOf(automated, inUse, town.timeZone, random),
    visits: scenario.tested === false ? [] : visits.filter((atMs) => atMs < inUse.nowMs).sort((a, b) => a - b),
    channels: (plant.controller?.channels ?? []).map((quantity) => ({
      id: id(`channel ${body.name} ${quantity}`),
      controllerId,
      quantity,
    })),
    feeders: plant.feeders.map((feeder) => {
      const name = feederName(feeder.kind, feeder.role, feeder.drum?.content)
      const drum = feeder.drum
      return {
        id: id(`feeder ${body.name} ${feeder.role}`),
        role: feeder.role,
        name,
        drum: drum && {
          id: id(`drum ${body.name} ${feeder.role}`),
          name: `${body.name}: ${CONTENT_WORDS[drum.content]}`,
          content: drum.content,
          strengthPct: STRENGTH_PCT[drum.content] ?? null,
          capacityL: drum.capacityL,
        },
      }
    }),
  }
}

/** Two bodies of a room share a controller, as they often do. */
function controllerFor(
  body: BodyEntry,
  room: { id: string; name: string } | undefined,
  id: (what: string) => string,
  controllers: CompanyFacility['controllers'],
): string {
  if (!room) return ''
  const inRoom = controllers.filter((controller) => controller.roomId === room.id)
  const last = inRoom.at(-1)
  if (last && !last.name.includes(' and ')) {
    last.name = `${last.name} and ${body.name}`
    return last.id
  }
  const controller = { id: id(`controller ${body.name}`), roomId: room.id, name: `Controller ${body.name}` }
  controllers.push(controller)
  return controller.id
}

/** Once a week, and twice where much or quick water stands, on working days. */
function visitsOf(entry: FacilityEntry, span: Span, timeZone: string, random: Random): number[] {
  const first = 1 + Math.floor(random.next() * 5)
  const quick = entry.bodies.some((body) => /spa|splash|wading/i.test(body.template))
  const days = quick || entry.bodies.length >= 3 ? [first, ((first + 1) % 5) + 1] : [first]
  const hour = random.between(8, 14.5)
  return localTimes(span, timeZone, [hour]).filter((atMs) => {
    const weekday = new Date(atMs + zoneOffset(timeZone)(atMs)).getUTCDay()
    return days.includes(weekday)
  })
}

/** Staff test before opening and through the day; oftener where no controller watches. */
function testsOf(automated: boolean, span: Span, timeZone: string, random: Random): PlannedTest[] {
  const hours = automated ? [6.6, 12.5, 18.5] : [6.6, 9.5, 12.5, 15.5, 18.5, 21]
  const late = () => random.between(-0.3, 0.3)
  return localTimes(span, timeZone, hours).map((atMs) => ({ atMs: Math.round(atMs + late() * HOUR), by: 'staff' }))
}

/** The same hours on each local day of the span. */
function localTimes({ fromMs, nowMs }: Span, timeZone: string, hours: readonly number[]): number[] {
  const offset = zoneOffset(timeZone)
  const times: number[] = []
  for (let day = Math.floor(fromMs / DAY) * DAY; day <= nowMs + DAY; day += DAY) {
    const ahead = offset(day + 12 * HOUR)
    for (const hour of hours) {
      const atMs = Math.round(day + hour * HOUR - ahead)
      if (atMs > fromMs && atMs <= nowMs) times.push(atMs)
    }
  }
  return times
}

const CONTENT_WORDS: Record<DrumContent, string> = {
  sodiumHypochlorite: 'hypochlorite',
  calciumHypochlorite: 'calcium hypochlorite',
  trichlor: 'trichlor tablets',
  bromineTablets: 'bromine tablets',
  hydrochloricAcid: 'hydrochloric acid',
  sulfuricAcid: 'sulfuric acid',
  sodiumBisulfate: 'bisulfate',
  carbonDioxide: 'carbon dioxide',
}

/** Trade per cent for hypochlorite, per cent by weight for the rest. */
const STRENGTH_PCT: Partial<Record<DrumContent, number>> = {
  sodiumHypochlorite: 12,
  calciumHypochlorite: 65,
  trichlor: 90,
  hydrochloricAcid: 31.45,
  sulfuricAcid: 38,
}

function feederName(kind: string, role: FeederRole, content: DrumContent | undefined): string {
  if (kind === 'saltGenerator') return 'Salt chlorine generator'
  if (kind === 'erosion') return 'Erosion feeder'
  if (kind === 'co2') return 'CO₂ feeder'
  if (role === 'backup') return 'Backup hypochlorite pump'
  return role === 'ph' ? `${content === 'sulfuricAcid' ? 'Sulfuric acid' : 'Acid'} pump` : 'Hypochlorite pump'
}

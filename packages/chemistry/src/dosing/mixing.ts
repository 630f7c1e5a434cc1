import { CHEMICAL_FAMILIES, type Chemical, type ChemicalFamily, type HazardKey } from './catalogue.ts'

/** What happens when two chemicals meet in a bucket, a pipe, a feeder or a spill. */
export const MEETING_KEYS = ['chlorineGas', 'explosion', 'heat', 'foam', 'cloud', 'mixed'] as const
export type MeetingKey = (typeof MEETING_KEYS)[number]

/**
 * Never mixing pool chemicals, above all chlorine with acid: Maryland Department of Health, Safety Requirements for Pool
 * Operators. Calcium hypochlorite with acid, a case with an explosion: New York State Department of Health. Calcium
 * hypochlorite with chlorinated isocyanurates: Fire Engineering. Heat, foam and clouding: common practice, no source.
 */
export const MEETINGS: Record<MeetingKey, string> = {
  chlorineGas: 'makes chlorine gas, which kills',
  explosion: 'can burn or explode',
  heat: 'boils and spatters',
  foam: 'foams over and gives off carbon dioxide',
  cloud: 'clouds the water with calcium carbonate',
  mixed: 'must not be mixed: never put two pool chemicals together',
}

const CHLORINE: readonly ChemicalFamily[] = [
  'hypochlorite',
  'calciumHypochlorite',
  'isocyanurate',
  'chlorineGas',
  'bromine',
]
const isOxidizer = (family: ChemicalFamily) => CHLORINE.includes(family)

const PAIRS: readonly (readonly [ChemicalFamily, ChemicalFamily, MeetingKey])[] = [
  ...CHLORINE.map((family) => ['acid', family, 'chlorineGas'] as const),
  ['calciumHypochlorite', 'isocyanurate', 'explosion'],
  ['hypochlorite', 'isocyanurate', 'explosion'],
  ['calciumHypochlorite', 'bromine', 'explosion'],
  ...CHLORINE.map((family) => ['reducer', family, 'heat'] as const),
  ['acid', 'caustic', 'heat'],
  ['acid', 'carbonate', 'foam'],
  ['acid', 'reducer', 'mixed'],
  ['calcium', 'carbonate', 'cloud'],
  ['calcium', 'caustic', 'cloud'],
]

/** What two chemicals do to each other undiluted. They never go into one bucket, feeder or place at one time, whatever this says. */
export function meetingOf(one: ChemicalFamily, other: ChemicalFamily): MeetingKey | null {
  if (one === other) return null
  const pair = PAIRS.find(([a, b]) => (a === one && b === other) || (a === other && b === one))
  return pair ? pair[2] : 'mixed'
}

/** Families that are dangerous or spoil the water beside this chemical, each with what happens. */
export const notWith = ({ family }: Chemical): readonly { family: ChemicalFamily; does: MeetingKey }[] =>
  CHEMICAL_FAMILIES.flatMap((other) => {
    const does = meetingOf(family, other)
    return does && does !== 'mixed' ? [{ family: other, does }] : []
  })

export const FAMILY_WORDS: Record<ChemicalFamily, string> = {
  hypochlorite: 'hypochlorite',
  calciumHypochlorite: 'calcium hypochlorite',
  isocyanurate: 'trichlor or dichlor',
  chlorineGas: 'chlorine gas',
  bromine: 'bromine tablets',
  acid: 'acid',
  carbonDioxide: 'carbon dioxide',
  carbonate: 'bicarbonate or soda ash',
  caustic: 'caustic soda',
  calcium: 'calcium chloride',
  stabilizer: 'cyanuric acid',
  borate: 'boric acid or borax',
  reducer: 'thiosulfate',
  salt: 'salt',
}

export const isChlorine = ({ family }: Chemical) => isOxidizer(family)

/** What a safety data sheet would warn of first; from memory, and the sheet and the label come first. */
export const HAZARDS: Record<HazardKey, string> = {
  burns: 'Burns skin and blinds: goggles, face shield, gloves, apron. Water within reach.',
  strongAcidSplashes:
    'Concentrated acid boils where it meets water: always acid into much water, slowly, never water into acid.',
  fumes: 'Fumes that burn the lungs: open it outdoors or under strong ventilation, upwind.',
  oxidizes: 'Sets fire to oil, paper, sawdust and cloth: clean, dry scoops of its own, nothing else in them.',
  chlorineWithAcid:
    'Acid and chlorine products make chlorine gas when they meet: keep them apart in store, in hand and in the water.',
  heatsInWater: 'Becomes hot as it dissolves: into much cold water, little by little, never water onto it.',
  toxicGas: 'Kills when breathed in: only for licensed people with their own equipment.',
  chokes: 'Heavier than air and unseen, it chokes in pits and plant rooms: ventilate, and watch an alarm.',
  dust: 'Dust that irritates: mask, and nothing poured into the wind.',
}

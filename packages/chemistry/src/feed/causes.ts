import type { LikelyCause, Phrase } from '../finding.ts'
import { say } from '../findings/make.ts'
import type { Cause, FeederRole } from '../vocabulary.ts'

interface CauseWords {
  /** Ends a sentence that begins with 'Likeliest:'. */
  name: string
  /** What to look at on site. */
  check: string
  /** What to put on the truck; '' where nothing is needed. */
  bring: string
}

/** What may be behind a finding, what shows it on site, what mends it. Common practice, no source. */
export const CAUSE_WORDS: Record<Cause, CauseWords> = {
  drumEmpty: {
    name: 'the drum is empty, or the suction hangs above the liquid',
    check: 'Look into the drum and at the suction’s end; read the level.',
    bring: 'chemical for the drum',
  },
  lostPrime: {
    name: 'the pump has lost its prime: it runs and moves no liquid',
    check: 'Watch the liquid in the suction tube while the pump runs; prime it, and look for air at the joints.',
    bring: 'suction tube, foot valve and fittings',
  },
  injectorBlocked: {
    name: 'the injector or its line is blocked',
    check: 'With feeds off and the line relieved, take the injector out and see whether it is scaled or blocked.',
    bring: 'an injector and tubing',
  },
  tubeWorn: {
    name: 'the pump’s tube or membrane is worn',
    check: 'Catch what the pump delivers in a measure for a minute and compare with its rate; look at the tube.',
    bring: 'a pump tube or membrane',
  },
  productWeak: {
    name: 'the product is weaker than it should be: old, diluted, or another one',
    check: 'Look at the label and the date of delivery; test the strength, or compare with a fresh drum.',
    bring: 'fresh product',
  },
  tabletsUsedUp: {
    name: 'the erosion feeder is empty',
    check: 'With its valves shut and pressure off, see how many tablets are left.',
    bring: 'tablets of the same product, never another',
  },
  tabletsBridged: {
    name: 'the tablets have bridged, or too little water runs through the feeder',
    check: 'See whether tablets hang above the water and whether its flow indicator moves.',
    bring: '',
  },
  cylinderEmpty: {
    name: 'the carbon dioxide cylinder is empty or shut',
    check: 'Ventilate before going in. Read the cylinder’s gauge or weight; see that its valve is open.',
    bring: 'a full cylinder',
  },
  gasBlocked: {
    name: 'the regulator, the valve or the diffuser lets too little gas through',
    check: 'Read the regulator’s outlet, listen to the solenoid valve, look for bubbles at the diffuser.',
    bring: 'a diffuser and a solenoid valve',
  },
  cellScaled: {
    name: 'the generator’s cell is scaled or worn out',
    check: 'Look at the plates, read output and cell hours on the generator.',
    bring: 'what the maker allows for cleaning the cell',
  },
  waterCold: {
    name: 'the water is too cold for the generator',
    check: 'Read the water temperature and the heater; a generator makes little in cold water.',
    bring: 'sanitizer to dose by hand meanwhile',
  },
  saltLow: {
    name: 'there is too little salt for the generator',
    check: 'Test salt by hand and compare with the generator’s display.',
    bring: 'salt',
  },
  demandUp: {
    name: 'more is used up than before: bathers, sun, dirt, algae',
    check: 'Ask for bathers and events; test combined chlorine; look at clarity, filter and leaves.',
    bring: '',
  },
  feederTooSmall: {
    name: 'the feeder is too small for this body, or set too low',
    check: 'Read rate and stroke on the feeder; catch what it delivers in a minute.',
    bring: 'a larger feeder or tube',
  },
  feederTooLarge: {
    name: 'the feeder is too large for this body, or set too high',
    check: 'Read rate and stroke on the feeder; turn it down until one on-time moves the value a little only.',
    bring: 'a smaller tube',
  },
  settingsTooSharp: {
    name: 'the controller feeds too long or waits too short',
    check: 'Read on-time, wait and proportional band on the controller; compare with what feed tuning advises.',
    bring: '',
  },
  outputOff: {
    name: 'the controller does not feed: switched off, a feed limit, an alarm or a lockout',
    check: 'Read the controller’s mode and alarms; find out why it stopped before setting it back.',
    bring: '',
  },
  outputStuck: {
    name: 'the controller’s output or a relay is stuck on, or the feeder is switched to manual',
    check: 'Switch the feed off: does the feeder stop? Look at the mode, the relay and the plug.',
    bring: 'a relay',
  },
  siphoning: {
    name: 'chemical runs in without the pump: it siphons, or a valve leaks',
    check: 'With the pump off, watch whether liquid still moves in the tube; look at the anti-siphon valve.',
    bring: 'an anti-siphon valve and an injector',
  },
  addedByHand: {
    name: 'somebody has added chemical by hand',
    check: 'Ask who added what, and when.',
    bring: '',
  },
  probeReadsLow: {
    name: 'the ORP probe reads low, or the set point means more chlorine than it did',
    check: 'Test sanitizer by hand. At or above its target: clean the probe and move the set point, never the probe.',
    bring: 'a probe brush and reagents',
  },
  probeReadsHigh: {
    name: 'the pH probe reads high',
    check: 'Test pH by hand. Where display and test kit part, calibrate the probe; leave the set point.',
    bring: 'pH buffers',
  },
  flowStopped: {
    name: 'nothing flows: pump off, valve shut, suction blocked',
    check: 'Look at pump, valves, pressure gauges and inlets.',
    bring: '',
  },
  strainerClogged: {
    name: 'a strainer is clogged',
    check: 'Clean the strainers of the pump and of the flow cell; see that the flow comes back.',
    bring: 'strainer baskets and gaskets',
  },
  filterLoaded: {
    name: 'the filter is loaded',
    check: 'Read the pressure before and after the filter; backwash or clean it.',
    bring: '',
  },
  switchStuckOn: {
    name: 'the flow switch is stuck on',
    check: 'Shut the flow cell’s inlet: does the switch drop and do the feeds stop? Open it again.',
    bring: 'a flow switch',
  },
  switchStuckOff: {
    name: 'the flow switch is stuck off, or the flow cell stands',
    check: 'See whether water leaves the flow cell; clean its strainer; tap the switch.',
    bring: 'a flow switch',
  },
  meterWrong: {
    name: 'the flow meter is wrong',
    check: 'Compare the meter with pump curve and pressure; clean its wheel or electrodes.',
    bring: '',
  },
  interlockBridged: {
    name: 'the interlock is bridged, or the feeder has power of its own',
    check: 'Find out from where the feeder gets its power; it must fall with the flow.',
    bring: '',
  },
  turnsNotKept: {
    name: 'the feeds are not kept apart',
    check: 'Read on the controller whether one feed locks out the other; prove it at the feeders.',
    bring: '',
  },
}

/** Weights, likeliest first; of nothing, nothing. Those under a twentieth are left out. */
export function ranked(weights: Partial<Record<Cause, number>>): LikelyCause[] {
  const given = (Object.entries(weights) as [Cause, number][]).filter(([, weight]) => weight > 0)
  const whole = given.reduce((sum, [, weight]) => sum + weight, 0)
  const likely = given
    .map(([cause, weight]) => ({ cause, share: weight / whole }))
    .filter(({ share }) => share >= 0.05)
    .sort((a, b) => b.share - a.share || (a.cause < b.cause ? -1 : 1))
  const kept = likely.reduce((sum, { share }) => sum + share, 0)
  return likely.map(({ cause, share }) => ({ cause, share: Math.round((share / kept) * 100) / 100 }))
}

/** Weights of evidence multiply: `supports(weights, 3, 'tubeWorn')`. */
export function supports(weights: Partial<Record<Cause, number>>, times: number, ...causes: Cause[]): void {
  for (const cause of causes) {
    const weight = weights[cause]
    if (weight !== undefined) weights[cause] = weight * times
  }
}

/** What asks for more acid is not what asks for more sanitizer. Common practice, no source. */
const ACID_WORDS: Partial<Record<Cause, CauseWords>> = {
  demandUp: {
    name: 'more acid is used up than before: alkalinity added by hand, fresh water, or more air in the water',
    check:
      'Test total alkalinity; ask what was added by hand, how much fresh water came in, and whether jets or features ran.',
    bring: '',
  },
}
const wordsOf = (cause: Cause, role?: FeederRole) => (role === 'ph' && ACID_WORDS[cause]) || CAUSE_WORDS[cause]

const MOST_TOLD = 4
/** Shares this near to one another do not tell two causes apart. */
const ALIKE_TIMES = 1.15

/** The causes in words, and what to look at in that order. */
export function toldCauses(causes: readonly LikelyCause[], role?: FeederRole): Phrase[] {
  const told = causes.slice(0, MOST_TOLD)
  const names = told.map(({ cause }) => wordsOf(cause, role).name)
  if (names.length === 0) return []
  const likeliest = `Likeliest: ${names[0]}.`
  const others = names.length > 1 ? ` Then: ${names.slice(1).join('; ')}.` : ''
  const [first, second] = told
  const alike = first && second && first.share < ALIKE_TIMES * second.share
  const apart = alike ? ' What is known does not tell the first two apart: look at both.' : ''
  return [say(likeliest + others + apart), ...told.map(({ cause }) => say(wordsOf(cause, role).check))]
}

/** What to put on the truck, in the order of the causes, nothing twice. */
export function toBring(causes: readonly LikelyCause[]): Phrase[] {
  const things = causes.slice(0, MOST_TOLD).map(({ cause }) => CAUSE_WORDS[cause].bring)
  return [...new Set(things)].filter((thing) => thing !== '').map((thing) => say(thing))
}

import type { CautionKey } from './finding.ts'
import type { LimitedThing } from './profile.ts'
import type { FindingKind, IncidentKind, ReopeningCheck, Severity } from './vocabulary.ts'

export const SEVERITY_WORDS: Record<Severity, string> = {
  close: 'Close',
  act: 'Act today',
  unheard: 'Unheard',
  watch: 'Watch',
  fine: 'Fine',
  outOfUse: 'Out of use',
}

export const FINDING_TITLES: Record<FindingKind, string> = {
  freeChlorineLow: 'Free chlorine low',
  freeChlorineHigh: 'Free chlorine high',
  bromineLow: 'Bromine low',
  bromineHigh: 'Bromine high',
  totalChlorineHigh: 'Total chlorine high',
  combinedChlorineHigh: 'Combined chlorine high',
  disinfectionSlow: 'Disinfection slow',
  cyanuricAcidHigh: 'Cyanuric acid high',
  cyanuricAcidNotAllowed: 'Cyanuric acid not allowed here',
  phLow: 'pH low',
  phHigh: 'pH high',
  alkalinityLow: 'Alkalinity low',
  alkalinityHigh: 'Alkalinity high',
  calciumLow: 'Calcium hardness low',
  calciumHigh: 'Calcium hardness high',
  temperatureHigh: 'Water too warm',
  waterCorrosive: 'Water dissolves plaster and grout',
  waterScaling: 'Water forms scale',
  phNotHeld: 'pH set point not held',
  orpNotHeld: 'ORP set point not held',
  feederWeak: 'Feeder delivers less than it did',
  feederAtLimit: 'Feeder at its limit',
  backupCarries: 'Backup feeder carries the load',
  overfeed: 'Fed beyond the set point',
  feedHunting: 'Feed hunts around the set point',
  flowFalling: 'Flow is falling',
  orpOutOfRange: 'ORP out of range',
  feedWithoutFlow: 'Feed without flow',
  acidWithHypochlorite: 'Acid and hypochlorite fed together',
  noFlow: 'No flow',
  flowSwitchStuck: 'Flow switch does not change',
  incidentOpen: 'Incident open',
  orpDrifted: 'ORP and test kit have parted',
  setPointOff: 'ORP set point no longer fits',
  orpProbeFaulty: 'ORP probe suspect',
  orpNotTied: 'ORP not tied to the test kit',
  phProbeDrifted: 'pH probe needs calibrating',
  phProbeFaulty: 'pH probe suspect',
  drumLow: 'Drum running low',
  testOverdue: 'Test overdue',
  neverTested: 'Never tested',
  controllerSilent: 'Controller silent',
  phProbeDisagrees: 'pH probe disagrees with the test kit',
}

/** How each is spoken of at the start of a sentence. */
export const LIMITED_THING_WORDS: Record<LimitedThing, string> = {
  freeChlorineMgL: 'Free chlorine',
  totalChlorineMgL: 'Total chlorine',
  combinedChlorineMgL: 'Combined chlorine',
  bromineMgL: 'Bromine',
  cyanuricAcidToChlorineRatio: 'Cyanuric acid to free chlorine',
  cyanuricAcidMgL: 'Cyanuric acid',
  orpMv: 'ORP',
  ph: 'pH',
  totalAlkalinityMgL: 'Total alkalinity',
  calciumHardnessMgL: 'Calcium hardness',
  saturationIndex: 'Saturation index',
  tempC: 'Water temperature',
  tdsMgL: 'Dissolved solids',
  saltMgL: 'Salt',
}

/** The same within a sentence: 'free chlorine', 'pH'. */
export const midSentence = (name: string): string =>
  /^(pH|ORP)/.test(name) ? name : name.charAt(0).toLowerCase() + name.slice(1)

/** 'free chlorine, total chlorine and pH' */
export const listed = (words: readonly string[]): string =>
  [words.slice(0, -1).join(', '), words[words.length - 1]].filter(Boolean).join(' and ')

/**
 * The usual cautions. They defer to the local code, the product label and licensed practice.
 * Never mixing chemicals, and chemical into water: Maryland Department of Health, Safety Requirements for Pool Operators.
 */
export const CAUTIONS: Record<CautionKey, string> = {
  localCodeFirst:
    'The local code, the product label and the licensed operator come first. Where they are stricter than this advice, follow them.',
  protectiveEquipment:
    'Wear the eye, face, hand and body protection that the product label and its safety data sheet ask for.',
  acidIntoWater: 'Add chemical to water, never water to chemical. Acid always goes into water.',
  neverTogether:
    'Never let acid and a chlorine product meet, in a bucket, a pipe or a spill: they make chlorine gas. Never mix different pool chemicals.',
  retestBeforeBathers:
    'Keep the water circulating, wait one turnover or as the label says, and retest before bathers return.',
  clearBathersBeforeFlow:
    'Get all bathers out before flow returns: chemical may have piled up in the pipe and will come out at the inlets all at once.',
  ventilateAndLeave:
    'If you smell chlorine or your eyes sting, leave, keep others out, ventilate from outside, and call the emergency services.',
}

export const INCIDENT_WORDS: Record<IncidentKind, string> = {
  formedStool: 'Formed stool',
  diarrhea: 'Diarrhea',
  vomit: 'Vomit',
}

export const REOPENING_CHECK_WORDS: Record<ReopeningCheck, string> = {
  materialRemoved: 'What was in the water is out, and what it was taken out with is disinfected',
  levelEverywhere: 'The level was found at several places, away from the inlets',
  filterCleaned: 'The filter was backwashed to waste, or cleaned, or its medium replaced',
  freeChlorineInRange: 'Free chlorine is back where bathers may be in it, by a test that is entered',
  phInRange: 'pH is back where bathers may be in it, by a test that is entered',
}

/** The lists that every other package takes from here, so that no list stands twice. */

export const PARAMETERS = [
  'freeChlorineMgL',
  'totalChlorineMgL',
  'bromineMgL',
  'ph',
  'totalAlkalinityMgL',
  'calciumHardnessMgL',
  'cyanuricAcidMgL',
  'tempC',
  'tdsMgL',
  'saltMgL',
] as const
/** What a person measures with a test kit or meter. Alkalinity and hardness are mg/L as CaCO3, chlorine as Cl2, bromine as Br2. */
export type Parameter = (typeof PARAMETERS)[number]

export const QUANTITIES = [
  'ph',
  'orpMv',
  'freeChlorineMgL',
  'tempC',
  'flowLMin',
  'flowOn',
  'sanitizerFeedPct',
  'backupFeedPct',
  'phFeedPct',
  'phSetPoint',
  'orpSetPointMv',
] as const
/** What a controller reports: one channel carries one of these for one body. Feeds are per cent of the time on. */
export type Quantity = (typeof QUANTITIES)[number]

export const USE_CLASSES = ['pool', 'spa', 'wading', 'splash', 'therapy'] as const
export type UseClass = (typeof USE_CLASSES)[number]

export const SETTINGS = ['indoor', 'outdoor'] as const
export type Setting = (typeof SETTINGS)[number]

export const SANITIZER_SYSTEMS = ['hypochlorite', 'erosion', 'saltGenerator', 'bromine'] as const
export type SanitizerSystem = (typeof SANITIZER_SYSTEMS)[number]

export const FEEDER_ROLES = ['primary', 'backup', 'ph'] as const
export type FeederRole = (typeof FEEDER_ROLES)[number]

export const FEEDER_KINDS = ['pump', 'erosion', 'saltGenerator', 'co2'] as const
export type FeederKind = (typeof FEEDER_KINDS)[number]

export const DRUM_CONTENTS = [
  'sodiumHypochlorite',
  'calciumHypochlorite',
  'trichlor',
  'bromineTablets',
  'hydrochloricAcid',
  'sulfuricAcid',
  'sodiumBisulfate',
  'carbonDioxide',
] as const
export type DrumContent = (typeof DRUM_CONTENTS)[number]

export const INCIDENT_KINDS = ['formedStool', 'diarrhea', 'vomit'] as const
/** What got into the water. */
export type IncidentKind = (typeof INCIDENT_KINDS)[number]

export const REOPENING_CHECKS = [
  'materialRemoved',
  'levelEverywhere',
  'filterCleaned',
  'freeChlorineInRange',
  'phInRange',
] as const
/** What a person confirms before bathers return after an incident. */
export type ReopeningCheck = (typeof REOPENING_CHECKS)[number]

export const FINDING_FAMILIES = ['sanitizer', 'balance', 'feed', 'hazard', 'probe', 'supply', 'evidence'] as const
export type FindingFamily = (typeof FINDING_FAMILIES)[number]

/** Every kind of finding and the family it belongs to. */
export const FINDING_KINDS = {
  freeChlorineLow: 'sanitizer',
  freeChlorineHigh: 'sanitizer',
  bromineLow: 'sanitizer',
  bromineHigh: 'sanitizer',
  totalChlorineHigh: 'sanitizer',
  combinedChlorineHigh: 'sanitizer',
  disinfectionSlow: 'sanitizer',
  cyanuricAcidHigh: 'sanitizer',
  cyanuricAcidNotAllowed: 'sanitizer',
  phLow: 'balance',
  phHigh: 'balance',
  alkalinityLow: 'balance',
  alkalinityHigh: 'balance',
  calciumLow: 'balance',
  calciumHigh: 'balance',
  temperatureHigh: 'balance',
  waterCorrosive: 'balance',
  waterScaling: 'balance',
  phNotHeld: 'feed',
  orpNotHeld: 'feed',
  feederWeak: 'feed',
  feederAtLimit: 'feed',
  backupCarries: 'feed',
  overfeed: 'feed',
  feedHunting: 'feed',
  flowFalling: 'feed',
  orpOutOfRange: 'sanitizer',
  feedWithoutFlow: 'hazard',
  acidWithHypochlorite: 'hazard',
  noFlow: 'hazard',
  flowSwitchStuck: 'hazard',
  incidentOpen: 'hazard',
  orpDrifted: 'probe',
  setPointOff: 'probe',
  orpProbeFaulty: 'probe',
  orpNotTied: 'probe',
  phProbeDrifted: 'probe',
  phProbeFaulty: 'probe',
  drumLow: 'supply',
  testOverdue: 'evidence',
  neverTested: 'evidence',
  controllerSilent: 'evidence',
  phProbeDisagrees: 'evidence',
} as const satisfies Record<string, FindingFamily>
export type FindingKind = keyof typeof FINDING_KINDS

/** In the order in which a body needs a person. `unheard`: nothing recent enough to judge; never shown as fine. `outOfUse`:
 *  nobody bathes in it and nobody treats it, so that its water is not judged. */
export const SEVERITIES = ['close', 'act', 'unheard', 'watch', 'fine', 'outOfUse'] as const
export type Severity = (typeof SEVERITIES)[number]

/** What can be behind a finding of feed or flow, told in the order of likelihood. */
export const CAUSES = [
  'drumEmpty',
  'lostPrime',
  'injectorBlocked',
  'tubeWorn',
  'productWeak',
  'tabletsUsedUp',
  'tabletsBridged',
  'cylinderEmpty',
  'gasBlocked',
  'cellScaled',
  'waterCold',
  'saltLow',
  'demandUp',
  'feederTooSmall',
  'feederTooLarge',
  'settingsTooSharp',
  'outputOff',
  'outputStuck',
  'siphoning',
  'addedByHand',
  'probeReadsLow',
  'probeReadsHigh',
  'flowStopped',
  'strainerClogged',
  'filterLoaded',
  'switchStuckOn',
  'switchStuckOff',
  'meterWrong',
  'interlockBridged',
  'turnsNotKept',
] as const
export type Cause = (typeof CAUSES)[number]

/** Work at feeders and flow that ends what was seen before. */
export const FEED_WORK_KINDS = ['feederServiced', 'controllerSet', 'strainerCleaned', 'flowSwitchServiced'] as const
export type FeedWorkKind = (typeof FEED_WORK_KINDS)[number]

/** What one finding can weigh. */
export const FINDING_SEVERITIES = ['close', 'act', 'unheard', 'watch'] as const satisfies readonly Severity[]
export type FindingSeverity = (typeof FINDING_SEVERITIES)[number]

export const CLOSURE_TRIGGERS = ['treatmentStopped', 'bottomNotVisible', 'turbid', 'fecesOrVomit'] as const
/** What closes a body although no test kit measures it. */
export type ClosureTrigger = (typeof CLOSURE_TRIGGERS)[number]

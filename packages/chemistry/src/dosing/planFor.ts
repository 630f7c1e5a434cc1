import { inRange } from '../errors.ts'
import type { Phrase } from '../finding.ts'
import { type Facts, factsOf, isFuture, isOld, isRecent, moreThan, waterNow } from '../findings/facts.ts'
import { solidsOf, testedOrProbed } from '../findings/known.ts'
import { quantified, say } from '../findings/make.ts'
import { combinedNow } from '../findings/sanitizer.ts'
import { outOfUseNow } from '../outOfUse.ts'
import type { CodeProfile } from '../profile.ts'
import type { Snapshot } from '../snapshot.ts'
import { HOUR_MS } from '../time.ts'
import type { DrumContent, Parameter, SanitizerSystem } from '../vocabulary.ts'
import { checkedWater, type Water } from '../water.ts'
import { LIMITED_THING_WORDS, midSentence } from '../words.ts'
import { CHEMICALS, type Chemical, type ChemicalKey } from './catalogue.ts'
import { dosePlan } from './plan.ts'
import type { DosePlan } from './plan.types.ts'
import { wantedRanges } from './wanted.ts'

export interface PlanOptions {
  /** At hand, the preferred ones first; what the drums hold and what is usual when left out. */
  chemicals?: readonly Chemical[]
  /** What replaced water is replaced with; assumed when left out. */
  fillWater?: Water
}

export interface PlanForBody {
  /** Null while something is missing; a plan without steps when nothing needs a dose. */
  plan: DosePlan | null
  /** What the plan and any what-if start from; null while something is missing. */
  water: Water | null
  /** What of the water is assumed: nothing is done about it, and without hardness there is no saturation index. */
  untested: readonly (keyof Water)[]
  /** Values that nobody measured, or not lately, and what was taken instead: part of the plan's caution. */
  assumed: Phrase[]
  /** What must be tested or entered first. */
  missing: Phrase[]
  /** What the plan chooses from. */
  chemicals: readonly Chemical[]
}

/** Chlorine and pH move within hours: older than this, they are tested again right before anything is added. Common practice, no
 * source. */
const FRESH_MS = 4 * HOUR_MS

/**
 * What to add to a body now, from its tests, its plant and the limits of its code profile, or what must be tested first. What is
 * recent is what findings go by; nothing is reckoned from a test that is too old.
 * @param nowMs ms since 1970 UTC
 */
export function planFor(
  snapshot: Snapshot,
  profile: CodeProfile,
  nowMs: number,
  options: PlanOptions = {},
): PlanForBody {
  const facts = factsOf(snapshot, profile, nowMs)
  const { body } = facts
  const site = options.chemicals ? { chemicals: options.chemicals, assumed: [] } : chemicalsOf(snapshot)
  const missing = outOfUseNow(snapshot, nowMs) ? [OUT_OF_USE] : [...missingPlant(facts), ...missingTests(facts)]
  const nothing = { plan: null, water: null, untested: [], assumed: [], chemicals: site.chemicals }
  if (missing.length > 0 || body.volumeL === null) return { ...nothing, missing }
  const { water, untested, assumed } = waterOf(facts)
  const plan = inRange(() =>
    dosePlan({
      water: checkedWater(water),
      wanted: wantedRanges(profile, body, waterNow(snapshot)),
      volumeL: body.volumeL ?? 0,
      flowLMin: body.flowLMin,
      body,
      chemicals: site.chemicals,
      untested,
      ...(options.fillWater ? { fillWater: options.fillWater } : {}),
    }),
  )
  if (!plan) return { ...nothing, missing: [CONTRADICTORY] }
  const needsDoses = plan.steps.length > 0
  return {
    plan,
    water,
    untested,
    assumed: [...assumed, ...(needsDoses ? [...site.assumed, ...unknownFlow(facts)] : [])],
    missing: [],
    chemicals: site.chemicals,
  }
}

const OUT_OF_USE = say('The body is out of use: nobody treats its water now.')
const CONTRADICTORY = say(
  'These values contradict each other, or lie beyond what can be reckoned: test pH, total alkalinity and cyanuric acid again.',
)

function missingPlant({ body, flow, heard, snapshot }: Facts): Phrase[] {
  return [
    ...(snapshot.incidents.length > 0
      ? [
          say(
            'An incident is open: chlorine and pH are held for its response, and nothing is planned before it is closed.',
          ),
        ]
      : []),
    ...(body.volumeL === null || !(body.volumeL > 0)
      ? [say('The volume of this body is not entered: without it no amount can be worked out.')]
      : []),
    ...(heard && flow === 'off'
      ? [say('The controller shows no flow: nothing may be added until the water circulates.')]
      : []),
  ]
}

/** Cyanuric acid only where it is used: elsewhere none is taken to be there. */
function missingTests(facts: Facts): Phrase[] {
  const needed: Parameter[] = [facts.sanitizer, 'ph', 'totalAlkalinityMgL']
  const { tests } = facts.snapshot
  const stabilizer = facts.body.cyanuricAcidUsed && !tests.cyanuricAcidMgL ? (['cyanuricAcidMgL'] as const) : []
  return [...needed, ...stabilizer].flatMap((parameter) => {
    const tested = tests[parameter]
    const name = midSentence(LIMITED_THING_WORDS[parameter])
    if (!tested) return [say(`Test ${name} first: it was never tested.`)]
    if (isFuture(facts, tested.atMs)) {
      return [say(`Test ${name} first: its test carries a time that has not come yet.`)]
    }
    if (!isOld(facts, parameter, tested)) return []
    return [say(`Test ${name} again first: it was measured more than {0} ago.`, moreThan(facts, tested.atMs))]
  })
}

/** Hardness where nobody measured it: it only moves the strength of ions then. Common practice, no source. */
const ASSUMED_HARDNESS_MGL = 250
const ASSUMED_TEMP_C = { spa: 38, other: 27 } as const

/** The water as tested, and what was put in the place of what was not. Called when nothing that a plan needs is missing. */
function waterOf(facts: Facts): { water: Water; untested: (keyof Water)[]; assumed: Phrase[] } {
  const { tests } = facts.snapshot
  const untested: (keyof Water)[] = []
  const assumed: Phrase[] = []
  for (const parameter of [facts.sanitizer, 'ph'] as const) {
    const tested = tests[parameter]
    if (tested && !isRecent(facts, tested.atMs, FRESH_MS)) {
      assumed.push(
        say(
          `${LIMITED_THING_WORDS[parameter]} was measured more than {0} ago: test it again right before anything is added.`,
          moreThan(facts, tested.atMs),
        ),
      )
    }
  }
  /** A value that stays when it is old, but is not acted on; or what stands in for it. */
  const keptOr = (parameter: 'calciumHardnessMgL' | 'cyanuricAcidMgL', instead: number, sayInstead: Phrase): number => {
    const tested = tests[parameter]
    if (!tested) {
      untested.push(parameter)
      assumed.push(sayInstead)
      return instead
    }
    if (isOld(facts, parameter, tested)) {
      untested.push(parameter)
      assumed.push(
        say(
          `${LIMITED_THING_WORDS[parameter]} is taken from a test more than {0} old: nothing is done about it before it is tested again.`,
          moreThan(facts, tested.atMs),
        ),
      )
    }
    return tested.value
  }
  const calciumHardnessMgL = keptOr(
    'calciumHardnessMgL',
    ASSUMED_HARDNESS_MGL,
    say(
      'Calcium hardness was never tested: {0} is taken, nothing is done about it, and there is no saturation index.',
      quantified(ASSUMED_HARDNESS_MGL, 'mg/L'),
    ),
  )
  const cyanuricAcidMgL = keptOr(
    'cyanuricAcidMgL',
    0,
    say('Cyanuric acid is not used here and was never tested: none is taken to be there.'),
  )
  const solids = solidsOf(facts)
  const { tdsMgL, saltMgL } = tests
  const solidsTested = tdsMgL ? !isOld(facts, 'tdsMgL', tdsMgL) : saltMgL ? !isOld(facts, 'saltMgL', saltMgL) : false
  if (!solidsTested) {
    untested.push('tdsMgL')
    assumed.push(say('Dissolved solids are taken as {0}: nobody measured them lately.', solids.quantity))
  }
  const bromine = facts.sanitizer === 'bromineMgL'
  const combined = combinedNow(facts)
  const combinedKnown = combined !== null && !combined.value.old
  if (!combinedKnown) {
    untested.push('combinedChlorineMgL')
    if (!bromine) {
      assumed.push(
        say('Combined chlorine is not known: free and total chlorine from one vial would tell. None is reckoned with.'),
      )
    }
  }
  if (bromine) untested.push('freeChlorineMgL')
  assumed.push(say('Borate is taken as none: nobody tests it here.'))
  return {
    water: {
      tempC: temperatureOf(facts, assumed),
      ph: tests.ph?.value ?? Number.NaN,
      totalAlkalinityMgL: tests.totalAlkalinityMgL?.value ?? Number.NaN,
      calciumHardnessMgL,
      cyanuricAcidMgL,
      boronMgL: 0,
      tdsMgL: solids.quantity.value,
      freeChlorineMgL: bromine ? 0 : (tests.freeChlorineMgL?.value ?? Number.NaN),
      combinedChlorineMgL: combinedKnown ? combined.value.value : 0,
      bromineMgL: bromine ? (tests.bromineMgL?.value ?? Number.NaN) : 0,
      sulfateMgL: 0,
    },
    untested,
    assumed,
  }
}

function temperatureOf(facts: Facts, assumed: Phrase[]): number {
  const known = testedOrProbed(facts, 'tempC')
  if (known && isRecent(facts, known.atMs, facts.keepsMs.tempC)) return known.value
  const usual = facts.body.useClass === 'spa' ? ASSUMED_TEMP_C.spa : ASSUMED_TEMP_C.other
  const tempC = known?.value ?? usual
  assumed.push(say('The water is taken to have {0}: nobody measured it lately.', quantified(tempC, '°C')))
  return tempC
}

const unknownFlow = ({ body }: Facts): Phrase[] =>
  body.flowLMin === null || !(body.flowLMin > 0)
    ? [say('The flow through the plant is not entered: additions are smaller and waits longer than they might be.')]
    : []

/** What a drum is taken to hold when its strength is not entered. Common practice, no source. */
const IN_DRUM: Record<DrumContent, ChemicalKey> = {
  sodiumHypochlorite: 'sodiumHypochloriteTrade12',
  calciumHypochlorite: 'calciumHypochlorite65',
  trichlor: 'trichlor',
  bromineTablets: 'bromineTablets',
  hydrochloricAcid: 'hydrochloricAcid31',
  sulfuricAcid: 'sulfuricAcid38',
  sodiumBisulfate: 'sodiumBisulfate',
  carbonDioxide: 'carbonDioxide',
}

/** What a technician has on the truck besides. Common practice, no source. Acid stands behind carbon dioxide, which takes no
 * alkalinity. */
const USUAL: readonly ChemicalKey[] = ['sodiumBicarbonate', 'sodiumCarbonate', 'calciumChloride77']
const SANITIZER: Record<SanitizerSystem, ChemicalKey> = {
  hypochlorite: 'sodiumHypochloriteTrade12',
  erosion: 'sodiumHypochloriteTrade12',
  saltGenerator: 'sodiumHypochloriteTrade12',
  bromine: 'bromineTablets',
}

/** What is at hand for a body: what its drums hold, and what is usual for what they do not. */
export function chemicalsOf({ feeders, body }: Snapshot): { chemicals: readonly Chemical[]; assumed: Phrase[] } {
  const drums = feeders.flatMap(({ drum }) => (drum ? [CHEMICALS[IN_DRUM[drum.content]]] : []))
  const site = [...new Set(drums)]
  const hasAcid = site.some(({ family }) => family === 'acid')
  const sanitizer = CHEMICALS[SANITIZER[body.sanitizerSystem]]
  const hasSanitizer = site.some(
    ({ family }) =>
      family === sanitizer.family || (sanitizer.family === 'hypochlorite' && family === 'calciumHypochlorite'),
  )
  const chemicals = [
    ...site,
    ...(hasSanitizer ? [] : [sanitizer]),
    ...(hasAcid ? [] : [CHEMICALS.hydrochloricAcid31]),
    ...USUAL.map((key) => CHEMICALS[key]),
  ]
  const assumed = site
    .filter(({ strength }) => strength !== '')
    .map(({ name, strength }) => say(`${name} on site is taken to be of ${strength}: look at its label.`))
  return { chemicals, assumed }
}

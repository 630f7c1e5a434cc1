import type { CautionKey, EvidenceLine, Finding, Phrase } from '../finding.ts'
import type { LimitRule } from '../profile.ts'
import { conditionFits } from '../profiles/lookup.ts'
import type { Measured } from '../snapshot.ts'
import { chlorineSpecies, combinedChlorine } from '../speciation/chlorine.ts'
import { CYANURIC_ACID_SEEN_MGL, type Facts, feedsCyanuricAcid, isOld, moreThan } from './facts.ts'
import { brokenRule, controllerValue, judged, manualValue, type Spoken, useWords, type Value } from './limits.ts'
import { finding, limitOf, quantified, say, shown } from './make.ts'

export function sanitizerFindings(facts: Facts): Finding[] {
  return [
    ...residual(facts),
    ...total(facts),
    ...combined(facts),
    ...slow(facts),
    ...cyanuricAcid(facts),
    ...notAllowed(facts),
    ...orp(facts),
  ]
}

const setPointRule = (facts: Facts): Phrase[] =>
  facts.latest?.orpMv == null
    ? []
    : [
        say(
          'If ORP stood at its set point all the while, the set point no longer fits: move the set point in small steps against the test kit. Never adjust the ORP probe to agree.',
        ),
      ]

const raise = (facts: Facts): Phrase[] => [
  say('Look for the cause first: drum, prime, tube and injector of the feeder, its set point, and flow.'),
  say('Raise it with the product on site, by its label, while the water circulates and no acid is fed.'),
  ...setPointRule(facts),
]
const lower = (facts: Facts): Phrase[] => [
  say(
    'Stop the sanitizer feed and find out why it ran: stuck on, siphoning, dosed by hand, or a probe that reads low.',
  ),
  say('Let it fall by itself or by fresh water, and retest.'),
  ...setPointRule(facts),
]
const DOSED: CautionKey[] = ['localCodeFirst', 'protectiveEquipment', 'neverTogether', 'retestBeforeBathers']

const CHLORINE: Spoken = {
  thing: 'freeChlorineMgL',
  name: 'Free chlorine',
  unit: 'mg/L',
  low: { kind: 'freeChlorineLow', advice: raise, cautions: DOSED },
  high: { kind: 'freeChlorineHigh', advice: lower, cautions: ['localCodeFirst', 'retestBeforeBathers'] },
}
const BROMINE: Spoken = {
  thing: 'bromineMgL',
  name: 'Bromine',
  unit: 'mg/L',
  low: { kind: 'bromineLow', advice: raise, cautions: DOSED },
  high: { kind: 'bromineHigh', advice: lower, cautions: ['localCodeFirst', 'retestBeforeBathers'] },
}

function residual(facts: Facts): Finding[] {
  const tested = manualValue(facts, 'freeChlorineMgL')
  // bromine water has no minimum of chlorine, but too much chlorine hurts in it as well
  if (facts.sanitizer === 'bromineMgL') {
    return [...judged(facts, BROMINE, [manualValue(facts, 'bromineMgL')]), ...judged(facts, CHLORINE, [tested])]
  }
  const shownByController = controllerValue(facts, 'freeChlorineMgL', 'freeChlorineMgL', tested?.atMs ?? null)
  return judged(facts, CHLORINE, [tested, shownByController])
}

const TOTAL: Spoken = {
  thing: 'totalChlorineMgL',
  name: 'Total chlorine',
  unit: 'mg/L',
  high: {
    kind: 'totalChlorineHigh',
    advice: () => [
      say('Test free chlorine from the same vial: what is above it is combined, and needs fresh water.'),
      say('Stop the sanitizer feed until it is back within the limit, and retest.'),
    ],
    cautions: ['localCodeFirst', 'retestBeforeBathers'],
  },
}
const total = (facts: Facts): Finding[] => judged(facts, TOTAL, [manualValue(facts, 'totalChlorineMgL')])

const COMBINED: Spoken = {
  thing: 'combinedChlorineMgL',
  name: 'Combined chlorine',
  unit: 'mg/L',
  high: {
    kind: 'combinedChlorineHigh',
    advice: (facts, rule) => [
      ...soonClosing(facts, rule),
      say('Bring in fresh water and, indoors, fresh air; ask bathers to shower.'),
      say('Oxidize past the breakpoint when the pool is closed, by the product’s label.'),
      ...(facts.body.cyanuricAcidUsed ? [say('Use a product without cyanuric acid for it.')] : []),
    ],
    cautions: DOSED,
  },
}

/** A limit that closes only once it has been passed for long, named before it has. */
function soonClosing(facts: Facts, broken: LimitRule): Phrase[] {
  const later = facts.limits.get('combinedChlorineMgL')?.find(({ lastingHours }) => lastingHours !== undefined)
  if (!later || later === broken || later.lastingHours === undefined) return []
  return [
    say(
      `Over {0} for more than {1} it closes to bathers: bring it down before that.`,
      quantified(later.value, later.unit),
      quantified(later.lastingHours, 'h'),
    ),
  ]
}

/** Combined chlorine, where free and total belong to one vial: a difference of two tests is none of combined chlorine. */
export function combinedNow(facts: Facts) {
  const { freeChlorineMgL: free, totalChlorineMgL: total } = facts.snapshot.tests
  if (facts.sanitizer === 'bromineMgL' || !free || !total) return null
  if (Math.abs(free.atMs - total.atMs) > SAME_TEST_MS) return null
  const value: Value = {
    value: combinedChlorine(Math.max(0, total.value), Math.max(0, free.value)),
    atMs: total.atMs,
    source: 'test',
    old: isOld(facts, 'freeChlorineMgL', free),
    before: facts.snapshot.combinedChlorine,
  }
  return { free, total, value }
}

function combined(facts: Facts): Finding[] {
  const now = combinedNow(facts)
  if (!now) return []
  const { free, total, value } = now
  return judged(facts, COMBINED, [value], () => [
    shown('Free chlorine', free.value, 'mg/L', free.atMs, 'test'),
    shown('Total chlorine', total.value, 'mg/L', total.atMs, 'test'),
  ])
}
// common practice, no source: the second reagent goes into the same vial within minutes
const SAME_TEST_MS = 30 * 60_000

/** Too little of the free chlorine is active for the cyanuric acid present. */
function slow(facts: Facts): Finding[] {
  const chlorine = facts.snapshot.tests.freeChlorineMgL
  const stabilizer = facts.snapshot.tests.cyanuricAcidMgL
  if (facts.sanitizer === 'bromineMgL' || !chlorine || !stabilizer || stabilizer.value <= CYANURIC_ACID_SEEN_MGL)
    return []
  const ratio = chlorine.value > 0 ? stabilizer.value / chlorine.value : Number.POSITIVE_INFINITY
  const rule = brokenRule(facts, 'cyanuricAcidToChlorineRatio', ratio)
  if (!rule) return []
  const old = isOld(facts, 'freeChlorineMgL', chlorine)
  return [
    finding({
      kind: 'disinfectionSlow',
      severity: rule.effect,
      sentence: slowSentence(facts, chlorine, stabilizer, ratio, rule, old),
      value: Number.isFinite(ratio) ? quantified(ratio, 'ratio') : null,
      limit: limitOf(rule),
      sinceMs: Math.max(chlorine.atMs, stabilizer.atMs),
      evidence: [
        shown('Cyanuric acid', stabilizer.value, 'mg/L', stabilizer.atMs, 'test'),
        shown('Free chlorine', chlorine.value, 'mg/L', chlorine.atMs, 'test'),
        ...activeChlorine(facts, chlorine, stabilizer),
      ],
      advice: [
        ...(rule.effect === 'close' ? [say('Keep bathers out until the ratio is back within the limit.')] : []),
        say(
          'Retest both. Then raise free chlorine as far as the maximum allows, with a product without cyanuric acid.',
        ),
        say(
          'Cyanuric acid itself leaves with the water: replace part of it with fresh water, and stop using stabilized products.',
        ),
      ],
      cautions: DOSED,
    }),
  ]
}

function slowSentence(
  facts: Facts,
  chlorine: Measured,
  stabilizer: Measured,
  ratio: number,
  rule: LimitRule,
  old: boolean,
): Phrase {
  const usual = rule.citation.authority === 'practice' ? 'usual ' : ''
  const stale: [string, Measured][] = [
    ...(old ? [['Free chlorine', chlorine] as [string, Measured]] : []),
    ...(isOld(facts, 'cyanuricAcidMgL', stabilizer) ? [['Cyanuric acid', stabilizer] as [string, Measured]] : []),
  ]
  const age = stale.map(([, { atMs }]) => moreThan(facts, atMs))
  const told = (from: number) =>
    stale.map(([name], at) => ` ${name} was measured more than {${from + at}} ago and not retested since.`).join('')
  const cyanuric = quantified(stabilizer.value, 'mg/L')
  const limit = quantified(rule.value, 'ratio')
  return Number.isFinite(ratio)
    ? say(
        `Cyanuric acid {0} to free chlorine {1} is {2}, over the ${usual}maximum of {3}: too little of the chlorine is active.${told(4)}`,
        cyanuric,
        quantified(chlorine.value, 'mg/L'),
        quantified(ratio, 'ratio'),
        limit,
        ...age,
      )
    : say(
        `Cyanuric acid {0} stands against no free chlorine at all; the ${usual}maximum is {1}.${told(2)}`,
        cyanuric,
        limit,
        ...age,
      )
}

/** Hypochlorous acid as evidence, where pH and temperature are known and within what the constants are good for. */
function activeChlorine(facts: Facts, chlorine: Measured, stabilizer: Measured): EvidenceLine[] {
  const { tests } = facts.snapshot
  const ph = tests.ph?.value ?? facts.latest?.ph ?? null
  const tempC = tests.tempC?.value ?? facts.latest?.tempC ?? null
  if (ph === null || tempC === null || ph < 5 || ph > 10 || tempC < 0 || tempC > 50) return []
  if (chlorine.value < 0 || chlorine.value > 200 || stabilizer.value > 1000) return []
  const water = { freeChlorineMgL: chlorine.value, cyanuricAcidMgL: stabilizer.value, ph, tempC }
  const active = chlorineSpecies(water).hypochlorousMgL
  return [shown('Hypochlorous acid, the active part', active, 'mg/L', chlorine.atMs, 'derived')]
}

const STABILIZER: Spoken = {
  thing: 'cyanuricAcidMgL',
  name: 'Cyanuric acid',
  unit: 'mg/L',
  high: {
    kind: 'cyanuricAcidHigh',
    advice: () => [
      say('Nothing that is dosed lowers it: replace part of the water with fresh water, then retest.'),
      say('Stop using stabilized products until it is back within the limit.'),
    ],
    cautions: ['localCodeFirst', 'retestBeforeBathers'],
  },
}
const cyanuricAcid = (facts: Facts): Finding[] => judged(facts, STABILIZER, [manualValue(facts, 'cyanuricAcidMgL')])

/** Cyanuric acid found, or a stabilized product fed, where the profile wants none. */
function notAllowed(facts: Facts): Finding[] {
  const forbidden = facts.profile.cyanuricAcidForbidden.find(({ when }) => conditionFits(when, facts.body))
  if (!forbidden) return []
  const measured = facts.snapshot.tests.cyanuricAcidMgL
  const found = measured && measured.value > CYANURIC_ACID_SEEN_MGL ? measured : null
  const fed = feedsCyanuricAcid(facts.snapshot.feeders)
  if (!found && !fed && !facts.snapshot.body.cyanuricAcidUsed) return []
  const { setting } = facts.body
  const rule = forbidden.citation.authority === 'practice' ? 'by common practice none is used' : 'it is not allowed'
  const where = `in an ${setting} ${useWords(facts)}, where ${rule}`
  return [
    finding({
      kind: 'cyanuricAcidNotAllowed',
      severity: 'act',
      sentence: found
        ? say(`Cyanuric acid {0} was found ${where}.`, quantified(found.value, 'mg/L'))
        : say(`Stabilized chlorine is used ${where}.`),
      value: found && quantified(found.value, 'mg/L'),
      limit: { side: 'max', value: 0, unit: 'mg/L', citation: forbidden.citation },
      sinceMs: found?.atMs ?? facts.snapshot.lastTestAtMs ?? facts.nowMs,
      evidence: found ? [shown('Cyanuric acid', found.value, 'mg/L', found.atMs, 'test')] : [],
      advice: [
        say('Change to a product without cyanuric acid.'),
        ...(found ? [say('Replace water until the test no longer finds any.')] : []),
      ],
      cautions: ['localCodeFirst', 'neverTogether', 'retestBeforeBathers'],
    }),
  ]
}

const checkOrp = (): Phrase[] => [
  say('Test sanitizer and pH: ORP follows the active chlorine, not the ppm. What is off there is mended first.'),
  say(
    'If the water is right, clean the probe and give it time. If ORP still does not fit, move the set point in small steps; never adjust the ORP probe to agree.',
  ),
]
const ORP: Spoken = {
  thing: 'orpMv',
  name: 'ORP',
  unit: 'mV',
  low: { kind: 'orpOutOfRange', advice: checkOrp, cautions: ['localCodeFirst', 'retestBeforeBathers'] },
  high: { kind: 'orpOutOfRange', advice: checkOrp, cautions: ['localCodeFirst', 'retestBeforeBathers'] },
}
const orp = (facts: Facts): Finding[] => judged(facts, ORP, [controllerValue(facts, 'orpMv', 'orpMv', null)])

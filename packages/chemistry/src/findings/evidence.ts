import type { Finding } from '../finding.ts'
import type { TestRule } from '../profile.ts'

import { HOUR_MS } from '../time.ts'
import type { FindingSeverity, Parameter } from '../vocabulary.ts'
import { LIMITED_THING_WORDS, listed, midSentence } from '../words.ts'
import { allowedMs, type Facts, isFuture, isRecent, moreThan, SILENT_AFTER_MS } from './facts.ts'
import { finding, quantified, say } from './make.ts'
import { phProbeDisagrees } from './phProbe.ts'

export function evidenceFindings(facts: Facts): Finding[] {
  const judgeable = { sanitizer: canJudge(facts, facts.sanitizer), ph: canJudge(facts, 'ph') }
  const tests = facts.snapshot.lastTestAtMs === null ? neverTested(facts) : overdue(facts, judgeable)
  return [
    ...tests,
    ...silent(facts, judgeable.sanitizer && judgeable.ph),
    ...silentProbes(facts),
    ...phProbeDisagrees(facts),
  ]
}

/** Readings outside these tell of a broken probe or channel, not of water. Common practice, no source. */
const PLAUSIBLE = { ph: [5, 10], orpMv: [300, 1000], freeChlorineMgL: [0, 20] } as const

/** Whether anything recent tells of sanitizer or pH: a manual test within its interval and grace, or a live controller. */
function canJudge(facts: Facts, parameter: Parameter): boolean {
  const tested = facts.snapshot.tests[parameter]
  if (tested && isRecent(facts, tested.atMs, facts.keepsMs[parameter])) return true
  return vouched(facts, parameter)
}

/** A live controller may vouch for pH by its pH, for the sanitizer by ORP or its own chlorine reading; never without flow. */
function vouched(facts: Facts, parameter: Parameter): boolean {
  const { latest, flow } = facts
  if (!latest || flow === 'off') return false
  if (!isRecent(facts, latest.atMs, SILENT_AFTER_MS)) return false
  const plausible = (channel: keyof typeof PLAUSIBLE) => {
    const value = latest[channel]
    return value !== null && value >= PLAUSIBLE[channel][0] && value <= PLAUSIBLE[channel][1]
  }
  return parameter === 'ph' ? plausible('ph') : plausible('orpMv') || plausible('freeChlorineMgL')
}

function neverTested(facts: Facts): Finding[] {
  const { controller } = facts.snapshot
  return [
    finding({
      kind: 'neverTested',
      severity: 'unheard',
      sentence: say('No manual test of this water has ever been entered.'),
      sinceMs: controller?.hours[0]?.hourMs ?? controller?.lastHeardAtMs ?? facts.nowMs,
      advice: [say('Test sanitizer, pH, alkalinity, calcium hardness and temperature by hand, and enter the values.')],
      cautions: ['localCodeFirst'],
    }),
  ]
}

function overdue(facts: Facts, judgeable: { sanitizer: boolean; ph: boolean }): Finding[] {
  return facts.tests.flatMap((rule) => {
    const late = lateParameters(facts, rule)
    if (late.length === 0) return []
    const severity = overdueSeverity(facts, late, judgeable)
    return [overdueFinding(facts, rule, late, severity)]
  })
}

/** The parameters of a rule whose last test is older than its interval and grace, or missing. */
function lateParameters(facts: Facts, rule: TestRule): Parameter[] {
  return rule.parameters.filter((parameter) => {
    const tested = facts.snapshot.tests[parameter]
    if (!tested) return true
    return !isRecent(facts, tested.atMs, allowedMs(rule))
  })
}

/** Nothing recent at all: unheard. A controller that stands in: a person today. What changes slowly can wait. */
function overdueSeverity(
  facts: Facts,
  late: Parameter[],
  judgeable: { sanitizer: boolean; ph: boolean },
): FindingSeverity {
  const sanitizer = late.includes(facts.sanitizer)
  const ph = late.includes('ph')
  if ((sanitizer && !judgeable.sanitizer) || (ph && !judgeable.ph)) return 'unheard'
  return sanitizer || ph ? 'act' : 'watch'
}

function overdueFinding(facts: Facts, rule: TestRule, late: Parameter[], severity: FindingSeverity): Finding {
  const tested = late.flatMap((parameter) => facts.snapshot.tests[parameter]?.atMs ?? [])
  const oldest = tested.length === late.length ? Math.min(...tested) : null
  const names = capital(named(late))
  const due = rule.everyHours >= 72 ? quantified(rule.everyHours / 24, 'd') : quantified(rule.everyHours, 'h')
  const future = oldest !== null && isFuture(facts, oldest)
  const told =
    oldest === null
      ? say(`${names} must be tested every {0}, and ${neverTestedWords(facts, late)}.`, due)
      : future
        ? say(`${names} must be tested every {0}; the last test carries a time that has not come yet.`, due)
        : say(`${names} must be tested every {0}; the last test is more than {1} old.`, due, moreThan(facts, oldest))
  return finding({
    kind: 'testOverdue',
    subject: rule.key,
    severity,
    sentence: told,
    value: null,
    limit: { side: 'max', value: rule.everyHours, unit: 'h', citation: rule.citation },
    sinceMs: oldest === null || future ? (facts.snapshot.lastTestAtMs ?? facts.nowMs) : oldest + allowedMs(rule),
    evidence: [],
    advice: [
      say(`Test ${named(late)} by hand and enter what you find.`),
      ...(severity === 'act' ? [say('The controller stands in for it meanwhile; it does not replace the test.')] : []),
    ],
    cautions: ['localCodeFirst'],
  })
}

const named = (parameters: readonly Parameter[]) =>
  listed(parameters.map((parameter) => midSentence(LIMITED_THING_WORDS[parameter])))

/** 'it has', 'neither has', or by name where the others once were. */
function neverTestedWords(facts: Facts, late: Parameter[]): string {
  const never = late.filter((parameter) => !facts.snapshot.tests[parameter])
  if (never.length < late.length) return `${named(never)} never was`
  if (late.length > 2) return 'none of them ever was'
  return late.length === 2 ? 'neither ever was' : 'it never was'
}

const capital = (words: string) => (words.startsWith('pH') ? words : words.charAt(0).toUpperCase() + words.slice(1))

function silent(facts: Facts, judgeable: boolean): Finding[] {
  const { controller } = facts.snapshot
  if (!controller) return []
  const at = controller.lastHeardAtMs
  if (facts.heard) return []
  const sentence =
    at === null
      ? say('Nothing has ever been heard from the controller.')
      : isFuture(facts, at)
        ? say('The controller’s newest sample carries a time that has not come yet: its clock is wrong.')
        : say('Nothing has been heard from the controller for more than {0}.', moreThan(facts, at))
  return [
    finding({
      kind: 'controllerSilent',
      severity: judgeable ? 'watch' : 'unheard',
      sentence,
      sinceMs: at === null || isFuture(facts, at) ? facts.nowMs : at,
      advice: [
        say('Look whether it has power and shows values, and whether its export or gateway arrives.'),
        say(
          'Until then nobody sees this plant from afar: test by hand as often as the code asks without a controller.',
        ),
      ],
      cautions: ['localCodeFirst'],
    }),
  ]
}

const PROBES = { ph: 'pH', orpMv: 'ORP' } as const

/** The controller reports, but a probe's channel carries nothing: a broken cable or probe, or a column left out of the export. */
function silentProbes(facts: Facts): Finding[] {
  const { controller } = facts.snapshot
  if (!controller || !facts.heard) return []
  return (['ph', 'orpMv'] as const).flatMap((probe) => {
    if (!controller.channels.includes(probe) || facts.latest?.[probe] != null) return []
    const last = facts.hours.findLast((hour) => hour[probe] !== null)
    const sinceMs = last ? last.hourMs + HOUR_MS : (facts.hours[0]?.hourMs ?? facts.nowMs)
    facts.changesAt(sinceMs + SILENT_AFTER_MS + 1)
    if (facts.nowMs - sinceMs <= SILENT_AFTER_MS) return []
    return [
      finding({
        kind: 'controllerSilent',
        subject: probe,
        severity: 'watch',
        sentence: say(
          `The controller reports, but ${PROBES[probe]} has not come from it for more than {0}.`,
          moreThan(facts, sinceMs),
        ),
        sinceMs,
        advice: [
          say('Look whether its display shows the value. If not, look at the probe and its cable.'),
          say('If it does, its column is missing from the export or its channel from the gateway.'),
          say('Until then test by hand as often as the code asks without a controller.'),
        ],
        cautions: ['localCodeFirst'],
      }),
    ]
  })
}

import type { CautionKey, EvidenceLine, Finding, Phrase, Quantified, Unit } from '../finding.ts'
import type { LimitedThing, LimitRule } from '../profile.ts'
import { severityRank } from '../severity.ts'
import type { HourRecord, Measured } from '../snapshot.ts'
import { DAY_MS, HOUR_MS } from '../time.ts'
import type { FindingKind, FindingSeverity, Parameter, UseClass } from '../vocabulary.ts'
import { midSentence } from '../words.ts'
import { type Facts, isFuture, isOld, moreThan } from './facts.ts'
import { finding, limitOf, quantified, say, shown } from './make.ts'

/** A value to be held against its limits. */
export interface Value {
  value: number
  atMs: number
  source: EvidenceLine['source']
  old: boolean
  /** When the oldest of what a derived value rests on was measured. */
  oldestMs?: number
  /** Since when it is so, where that is earlier than the value itself. */
  sinceMs?: number
  /** The values of the last days, oldest first, for limits that count only once they have been passed for long. */
  before?: readonly Measured[]
}

/** The gravest rule of a thing that the value passes, or null. */
export const brokenRule = (facts: Facts, thing: LimitedThing, value: number): LimitRule | null =>
  brokenBy(facts, thing, { value })

/** The same for a value whose time is known: a limit that counts only after hours is passed once it has lasted. */
function brokenBy(
  facts: Facts,
  thing: LimitedThing,
  value: Pick<Value, 'value' | 'before'> & { atMs?: number },
): LimitRule | null {
  for (const rule of facts.limits.get(thing) ?? []) {
    if (!passes(rule, value.value)) continue
    if (rule.lastingHours === undefined || hasLasted(facts, rule, rule.lastingHours, value)) return rule
  }
  return null
}

/** A bad value stays bad until it is retested, so that the run goes on to now; says when it will have lasted. */
function hasLasted(
  facts: Facts,
  rule: LimitRule,
  hours: number,
  { atMs, before = [] }: { atMs?: number; before?: readonly Measured[] | undefined },
): boolean {
  if (atMs === undefined) return false
  let sinceMs = atMs
  for (let index = before.length - 1; index >= 0; index--) {
    const earlier = before[index] as Measured
    if (!passes(rule, earlier.value)) break
    sinceMs = Math.min(sinceMs, earlier.atMs)
  }
  facts.changesAt(sinceMs + hours * HOUR_MS + 1)
  return facts.nowMs - sinceMs > hours * HOUR_MS
}

// 2.4 − 2.0 is not over 0.4: what binary arithmetic adds is no excess
const ROUNDING = 1e-9

function passes({ side, value: limit, inclusive }: LimitRule, value: number): boolean {
  const beyond = side === 'max' ? value - limit : limit - value
  const rounding = ROUNDING * Math.max(1, Math.abs(limit))
  return inclusive ? beyond >= -rounding : beyond > rounding
}

/** The newest manual value of a parameter, however old it is: a bad last value stays bad until it is retested. */
export function manualValue(facts: Facts, parameter: Parameter): Value | null {
  const measured = facts.snapshot.tests[parameter]
  if (!measured) return null
  const { value, atMs } = measured
  return { value, atMs, source: 'test', old: isOld(facts, parameter, measured) }
}

/** How a limited thing is spoken of. */
export interface Spoken {
  thing: LimitedThing
  /** 'Free chlorine'; also starts the sentence. */
  name: string
  unit: Unit
  low?: { kind: FindingKind; advice: (facts: Facts, rule: LimitRule) => Phrase[]; cautions: CautionKey[] }
  high?: { kind: FindingKind; advice: (facts: Facts, rule: LimitRule) => Phrase[]; cautions: CautionKey[] }
}

/** The gravest limit that any of the values passes, as a finding; a manual value counts before a controller's of the same gravity. */
export function judged(
  facts: Facts,
  spoken: Spoken,
  values: readonly (Value | null)[],
  more: () => EvidenceLine[] = () => [],
): Finding[] {
  let worst: { value: Value; rule: LimitRule; severity: FindingSeverity } | null = null
  for (const value of values) {
    const rule = value && brokenBy(facts, spoken.thing, value)
    if (!value || !rule) continue
    const severity = value.source === 'controller' ? atMostAct(rule.effect) : rule.effect
    if (!worst || severityRank(severity) < severityRank(worst.severity)) worst = { value, rule, severity }
  }
  if (!worst) return []
  const side = worst.rule.side === 'min' ? spoken.low : spoken.high
  if (!side) return []
  const { value, rule, severity } = worst
  const byController = value.source === 'controller'
  return [
    finding({
      kind: side.kind,
      severity,
      sentence: sentenceOf(facts, spoken, value, rule),
      value: quantified(value.value, spoken.unit),
      limit: limitOf(rule),
      sinceMs: value.sinceMs ?? value.atMs,
      evidence: [shown(spoken.name, value.value, spoken.unit, value.atMs, value.source), ...more()],
      advice: [...(byController ? [confirm(rule)] : closing(severity)), ...side.advice(facts, rule)],
      cautions: side.cautions,
    }),
  ]
}

// probes lie more often than test kits: manual is the reference, so a controller alone sends a person and closes nothing
const atMostAct = (effect: LimitRule['effect']): LimitRule['effect'] => (effect === 'close' ? 'act' : effect)

const confirm = (rule: LimitRule): Phrase =>
  say(
    rule.effect === 'close'
      ? 'Test by hand now. If the test kit confirms it, keep bathers out until it is mended and retested.'
      : 'Test by hand before anything is changed: the test kit is the reference.',
  )

const closing = (severity: FindingSeverity): Phrase[] =>
  severity === 'close' ? [say('Keep bathers out until a retest is back within the limit.')] : []

function sentenceOf(facts: Facts, { name, unit }: Spoken, value: Value, rule: LimitRule): Phrase {
  const quantities: Quantified[] = [quantified(value.value, unit), quantified(rule.value, unit)]
  const ahead = value.old && isFuture(facts, value.atMs)
  if (value.old && !ahead) quantities.push(moreThan(facts, value.oldestMs ?? value.atMs))
  const rest = `${against(rule)}${forWhat(facts, rule, quantities)}.`
  if (value.source === 'controller') {
    const shows = ahead
      ? 'The controller, whose clock is wrong, shows'
      : value.old
        ? 'More than {2} ago, when last heard, the controller showed'
        : 'The controller shows'
    return say(`${shows} ${midSentence(name)} {0}, ${rest}`, ...quantities)
  }
  return say(`${name} {0} is ${rest}${value.old ? (ahead ? AHEAD : OLD[value.source]) : ''}`, ...quantities)
}

const AHEAD = ' The test carries a time that has not come yet.'
const OLD = {
  test: ' It was measured more than {2} ago and not retested since.',
  derived: ' It rests on a test that is more than {2} old.',
} as const

function against({ side, citation, inclusive }: LimitRule): string {
  const usual = citation.authority === 'practice' ? 'usual ' : ''
  if (inclusive) return side === 'max' ? `at or over the ${usual}limit of {1}` : `at or under the ${usual}limit of {1}`
  return side === 'max' ? `over the ${usual}maximum of {1}` : `under the ${usual}minimum of {1}`
}

const USE_WORDS: Record<UseClass, string> = {
  pool: 'pool',
  spa: 'spa',
  wading: 'wading pool',
  splash: 'splash pad',
  therapy: 'therapy pool',
}
export const useWords = (facts: Facts) => USE_WORDS[facts.body.useClass]

function forWhat(facts: Facts, rule: LimitRule, quantities: Quantified[]): string {
  const open = (value: number, unit: Unit) => `{${quantities.push(quantified(value, unit)) - 1}}`
  const { when, lastingHours } = rule
  const lasting = lastingHours === undefined ? '' : `, for more than ${open(lastingHours, 'h')}`
  if (when.over) {
    const { thing, value } = when.over
    return thing === 'ph'
      ? ` at a pH over ${open(value, 'pH')}${lasting}`
      : ` in water over ${open(value, '°C')}${lasting}`
  }
  if (when.useClass) return ` for a ${useWords(facts)}${lasting}`
  return `${when.cyanuricAcidUsed ? ' where cyanuric acid is in the water' : ''}${lasting}`
}

type Probed = 'ph' | 'orpMv' | 'freeChlorineMgL' | 'tempC'

/** A controller's value counts beside a manual one when it is clearly newer, its cell has flow, and the last whole hour agrees. */
export function controllerValue(
  facts: Facts,
  channel: Probed,
  thing: LimitedThing,
  manualAtMs: number | null,
): Value | null {
  const { latest, hours } = facts
  const value = latest?.[channel] ?? null
  if (!latest || value === null || facts.flow === 'off') return null
  if (manualAtMs !== null && latest.atMs <= manualAtMs + HOUR_MS) return null
  const lately = latelyOf(hours, channel)
  // one sample can be a splash of acid at the probe
  if (lately) facts.changesAt(lately.hourMs + DAY_MS)
  if (lately?.[channel] && !brokenRule(facts, thing, lately[channel].mean)) return null
  const sinceMs = brokenSince(facts, channel, thing) ?? latest.atMs
  return { value, atMs: latest.atMs, source: 'controller', old: !facts.heard, sinceMs }
}

const HOUR_COUNTS_MIN = 30

/** The newest hour, or the one before it as long as less than half of the newest is covered. */
function latelyOf(hours: Facts['hours'], channel: Probed): HourRecord | undefined {
  const newest = hours[hours.length - 1]
  const before = hours[hours.length - 2]
  if (!newest || newest.coveredMin >= HOUR_COUNTS_MIN || !before?.[channel]) return newest
  return newest.hourMs - before.hourMs <= HOUR_MS ? before : newest
}

/** The first hour of the unbroken run of hours whose mean passes a limit; null when the newest does not. */
function brokenSince(facts: Facts, channel: Probed, thing: LimitedThing): number | null {
  let sinceMs: number | null = null
  for (let index = facts.hours.length - 1; index >= 0; index--) {
    const hour = facts.hours[index]
    const spread = hour?.[channel]
    if (!hour || !spread || !brokenRule(facts, thing, spread.mean)) break
    sinceMs = hour.hourMs
  }
  return sinceMs
}

import type { Quantified } from '../finding.ts'
import type { CodeProfile, LimitedThing, LimitRule, TestRule, WaterNow, WaterOver } from '../profile.ts'
import { practice } from '../profiles/citations.ts'
import { isOver, limitRulesFor, testRulesFor } from '../profiles/lookup.ts'
import { severityRank } from '../severity.ts'
import type { BodyFacts, HourRecord, LatestSample, Measured, Snapshot } from '../snapshot.ts'
import { ageStep, DAY_MS, HOUR_MS, MINUTE_MS } from '../time.ts'
import { PARAMETERS, type Parameter } from '../vocabulary.ts'

/** Below this a test for cyanuric acid cannot tell it from none. Common practice, no source. */
export const CYANURIC_ACID_SEEN_MGL = 5
/** A controller that reports is heard every few minutes; common practice, no source. */
export const SILENT_AFTER_MS = 2 * HOUR_MS
/** Clocks of controllers and phones differ a little; further ahead than this a time is wrong. Common practice, no source. */
const CLOCKS_DIFFER_MS = HOUR_MS
/** A test that is due at any hour of the day may come half its interval late, at most a day. Common practice, no source. */
const graceHours = (everyHours: number) => Math.min(everyHours / 2, 24)
/** Under this part of the usual flow a flow meter shows none. Common practice, no source. */
const STANDING_SHARE = 0.05

/** The time to judge at, and when time alone can change what was found. */
interface Clock {
  nowMs: number
  dueAtMs: number | null
  /** Says that time alone can change the judgement at this time. */
  changesAt(atMs: number): void
}

/** All that the families of findings judge by, worked out once. */
export interface Facts extends Clock {
  snapshot: Snapshot
  profile: CodeProfile
  /** The body as tested: cyanuric acid counts as used when it was found. */
  body: BodyFacts
  limits: ReadonlyMap<LimitedThing, readonly LimitRule[]>
  tests: readonly TestRule[]
  /** For how long a manual value of each parameter counts as recent, ms. */
  keepsMs: Readonly<Record<Parameter, number>>
  /** The sanitizer's own parameter. */
  sanitizer: 'freeChlorineMgL' | 'bromineMgL'
  latest: LatestSample | null
  /** The controller was heard within the last two hours. */
  heard: boolean
  flow: 'on' | 'off' | 'unknown'
  /** Hours that began within the last 24 hours, oldest first. */
  hours: readonly HourRecord[]
}

/** The body with what tests and drums tell of it: cyanuric acid that was found, or is fed, counts as used, whatever the record says. */
export function bodyAsTested({ body, tests, feeders }: Snapshot): BodyFacts {
  if (body.cyanuricAcidUsed) return body
  const found = (tests.cyanuricAcidMgL?.value ?? 0) > CYANURIC_ACID_SEEN_MGL
  return found || feedsCyanuricAcid(feeders) ? { ...body, cyanuricAcidUsed: true } : body
}

/** What limits that depend on the water itself go by: the newest test, or else what the controller shows. */
export function waterNow({ tests, controller }: Pick<Snapshot, 'tests' | 'controller'>): WaterNow {
  const latest = controller?.latest
  return { ph: tests.ph?.value ?? latest?.ph ?? null, tempC: tests.tempC?.value ?? latest?.tempC ?? null }
}

/** More than half of what dissolves of trichlor is cyanuric acid. */
export const feedsCyanuricAcid = (feeders: Snapshot['feeders']): boolean =>
  feeders.some(({ drum }) => drum?.content === 'trichlor')

export function factsOf(snapshot: Snapshot, profile: CodeProfile, nowMs: number): Facts {
  const body = bodyAsTested(snapshot)
  const controller = snapshot.controller
  const rules = rulesOf(profile, body, waterNow(snapshot), controller !== null)
  const latest = controller?.latest ?? null
  const clock = clockAt(nowMs)
  return Object.assign(clock, {
    snapshot,
    profile,
    body,
    limits: rules.limits,
    tests: rules.tests,
    keepsMs: rules.keepsMs,
    sanitizer: body.sanitizerSystem === 'bromine' ? ('bromineMgL' as const) : ('freeChlorineMgL' as const),
    latest,
    heard: isRecent(clock, controller?.lastHeardAtMs ?? null, SILENT_AFTER_MS),
    flow: flowOf(latest, body),
    hours: controller?.hours.filter(({ hourMs }) => hourMs > nowMs - DAY_MS && hourMs <= nowMs) ?? [],
  })
}

function clockAt(nowMs: number): Clock {
  const clock: Clock = {
    nowMs,
    dueAtMs: null,
    changesAt(atMs) {
      if (atMs > nowMs && (clock.dueAtMs === null || atMs < clock.dueAtMs)) clock.dueAtMs = atMs
    },
  }
  return clock
}

function flowOf(latest: LatestSample | null, body: BodyFacts): Facts['flow'] {
  if (!latest) return 'unknown'
  if (latest.flowOn !== null) return latest.flowOn ? 'on' : 'off'
  if (latest.flowLMin === null) return 'unknown'
  return meterMoves(latest.flowLMin, body) ? 'on' : 'off'
}

const meterMoves = (flowLMin: number, body: BodyFacts) => flowLMin > STANDING_SHARE * (body.flowLMin ?? 0)

/** Whether the flow meter shows flow, whatever the flow switch says. */
export const meterShowsFlow = ({ latest, body }: Pick<Facts, 'latest' | 'body'>): boolean =>
  latest?.flowLMin != null && meterMoves(latest.flowLMin, body)

/** Minutes of an hour without flow, from the switch or else the meter; null when neither tells. */
export function standingMin(hour: HourRecord, body: BodyFacts): number | null {
  if (hour.noFlowMin !== null) return hour.noFlowMin
  if (!hour.flowLMin) return null
  const { min, mean, max } = hour.flowLMin
  if (!meterMoves(max, body)) return hour.coveredMin
  return meterMoves(min, body) ? 0 : hour.coveredMin * (1 - mean / max)
}

/** Whether the flow meter stood still for the whole hour. */
export const meterStood = ({ flowLMin }: HourRecord, body: BodyFacts): boolean =>
  flowLMin !== null && !meterMoves(flowLMin.max, body)

const SPEAKS_MIN = 15
/** Minutes of an hour that count although they lie after its newest sample: it speaks for up to 15 minutes. */
export function aheadMin({ hourMs }: HourRecord, { latest }: Pick<Facts, 'latest'>): number {
  if (!latest || latest.atMs < hourMs || latest.atMs >= hourMs + HOUR_MS) return 0
  return Math.min(SPEAKS_MIN, (hourMs + HOUR_MS - latest.atMs) / MINUTE_MS)
}

interface Rules {
  limits: ReadonlyMap<LimitedThing, readonly LimitRule[]>
  tests: readonly TestRule[]
  keepsMs: Readonly<Record<Parameter, number>>
}
// what a profile asks of a kind of body never changes, and there are few kinds
const remembered = new WeakMap<CodeProfile, { overs: WaterOver[]; kinds: Map<string, Rules> }>()

function rulesOf(profile: CodeProfile, body: BodyFacts, water: WaterNow, automated: boolean): Rules {
  let known = remembered.get(profile)
  if (!known) {
    known = { overs: profile.limits.flatMap(({ when }) => when.over ?? []), kinds: new Map() }
    remembered.set(profile, known)
  }
  let kind = `${body.useClass} ${body.setting} ${body.sanitizerSystem} ${body.cyanuricAcidUsed} ${automated}`
  for (const over of known.overs) kind += isOver(over, water) ? ' over' : ' not'
  let rules = known.kinds.get(kind)
  if (!rules) {
    const tests = completeTests(profile, body, automated)
    rules = { limits: limitsByThing(profile, body, water), tests, keepsMs: keepsByParameter(tests) }
    known.kinds.set(kind, rules)
  }
  return rules
}

/** Each thing's limits, the gravest first; among equals the tightest. */
function limitsByThing(profile: CodeProfile, body: BodyFacts, water: WaterNow): Rules['limits'] {
  const limits = new Map<LimitedThing, LimitRule[]>()
  for (const rule of limitRulesFor(profile, body, water))
    limits.set(rule.thing, [...(limits.get(rule.thing) ?? []), rule])
  for (const rules of limits.values()) rules.sort((a, b) => severityRank(a.effect) - severityRank(b.effect))
  return limits
}

/** A profile without a rule for sanitizer or pH cannot make untested water fine: a daily test is then asked for. */
function completeTests(profile: CodeProfile, body: BodyFacts, automated: boolean): readonly TestRule[] {
  const tests = testRulesFor(profile, body, automated)
  const sanitizer: Parameter = body.sanitizerSystem === 'bromine' ? 'bromineMgL' : 'freeChlorineMgL'
  const missing = [sanitizer, 'ph' as const].filter((parameter) => !tests.some((rule) => covers(rule, parameter)))
  if (missing.length === 0) return tests
  return [...tests, { key: 'fallback.daily', parameters: missing, everyHours: 24, when: {}, citation: practice }]
}

const covers = (rule: TestRule, parameter: Parameter) => rule.parameters.includes(parameter)

// what no rule asks for is looked at about monthly; common practice, no source
const UNRULED_MS = 31 * DAY_MS

/** For how long a manual value of each parameter counts as recent: the shortest interval of its rules, with grace. */
function keepsByParameter(tests: readonly TestRule[]): Rules['keepsMs'] {
  const keeps = (parameter: Parameter) => {
    const allowed = tests.filter((rule) => covers(rule, parameter)).map(allowedMs)
    return allowed.length > 0 ? Math.min(...allowed) : UNRULED_MS
  }
  return Object.fromEntries(PARAMETERS.map((parameter) => [parameter, keeps(parameter)])) as Rules['keepsMs']
}

/** How old the newest test of a rule may be: its interval and the grace. */
export const allowedMs = ({ everyHours }: TestRule) => (everyHours + graceHours(everyHours)) * HOUR_MS

/** Not older than allowed, and not from a future that no clock explains; says when either changes. */
export function isRecent(facts: Clock, atMs: number | null, allowed: number): boolean {
  if (atMs === null) return false
  facts.changesAt(atMs + allowed + 1)
  return facts.nowMs - atMs <= allowed && !isFuture(facts, atMs)
}

/** Further ahead than clocks differ; says when it no longer is. */
export function isFuture(facts: Clock, atMs: number): boolean {
  facts.changesAt(atMs - CLOCKS_DIFFER_MS)
  return atMs - facts.nowMs > CLOCKS_DIFFER_MS
}

/** Whether a manual value is older than its rule allows. */
export const isOld = (facts: Facts, parameter: Parameter, { atMs }: Measured): boolean =>
  !isRecent(facts, atMs, facts.keepsMs[parameter])

/** 'More than this' for the age of something; says when the next step is due. */
export function moreThan(facts: Facts, atMs: number): Quantified {
  const { moreThan: step, nextMs } = ageStep(Math.max(0, facts.nowMs - atMs))
  if (nextMs !== null) facts.changesAt(atMs + nextMs + 1)
  return step
}

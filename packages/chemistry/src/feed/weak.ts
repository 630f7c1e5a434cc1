import type { CautionKey, EvidenceLine, Finding, LikelyCause } from '../finding.ts'
import type { Facts } from '../findings/facts.ts'
import { finding, quantified, say, shown } from '../findings/make.ts'
import { probeGap } from '../findings/probe.ts'
import type { FeederFacts } from '../snapshot.ts'
import { isReadEmpty } from '../supply/falls.ts'
import { drawnSince } from '../supply/forecast.ts'
import { drawOf, type PumpWear, pumpWear, type RunTime, runTimeOf } from '../supply/use.ts'
import { DAY_MS, HOUR_MS } from '../time.ts'
import type { Cause, FeederRole } from '../vocabulary.ts'
import { ranked, supports, toBring, toldCauses } from './causes.ts'
import { drumLine } from './drumLine.ts'
import { type EffortChange, effortChange } from './effort.ts'
import { type History, hourAt, meanOver, quantileOf } from './history.ts'
import { activeGPerL } from './product.ts'
import { drawingOf, feederOf, hasPast, historyFor, shownOverTested, type TestsSince, testsSince } from './record.ts'
import { sinksAsIfItStood } from './sinking.ts'

/** As much more as the test kit finds is used up, too: that part of the effort is what the ORP means, not the feeder. */
const UNEXPLAINED_TIMES = 1.55
/** With this much more in the water no feeder is short. Common practice, no source. */
const MORE_SANITIZER = 1.25
/** Below its set point by this much it does not hold it. */
const NOT_HELD = { mv: 20, ph: 0.15 }
const BEYOND = { mv: -4, ph: -0.03 }
/** So young a change waits for a test, which tells the feeder from the probe. */
const WAITS_MS = { primary: 14 * HOUR_MS, ph: 18 * HOUR_MS }
/** So long after it began a test shows what it did to the water. */
const SHOWS_MS = { primary: 4 * HOUR_MS, ph: 6 * HOUR_MS }
/** The pH probe over the test kit, median of the tests since. Common practice, no source. */
const PROBE_APART_PH = 0.13
/** This much effort without holding it: next to nothing arrives. */
const NOTHING_TIMES = 4
/** What a feeder usually runs in a day, at least, before a multiple of it says anything. */
const USUAL_LEAST_MIN = 6

/** What is known of a feeder that delivers less than it did. */
export interface WeakFeeder {
  role: FeederRole
  feeder: FeederFacts | undefined
  change: EffortChange | null
  wear: PumpWear | null
  tests: TestsSince | null
  /** A generator in water in which it can make little. */
  hindered: Hindrance | null
  /** Next to nothing arrives. */
  nothing: boolean
  /** How far the value stands from its set point on the side that asks for feed, mean of the last hours. */
  apart: number
}

interface Hindrance {
  cause: 'waterCold' | 'saltLow'
  value: number
  atMs: number
}

/** Feeders whose effect is smaller than it was, by the effort that holds the set point or by the fall of the drum. */
export function weakFeeders(facts: Facts): WeakFeeder[] {
  const history = historyFor(facts)
  if (!hasPast(history)) return []
  return (['primary', 'ph'] as const).flatMap((role) => {
    if (!history.reports[role]) return []
    const change = changeOf(facts, history, role)
    const feeder = feederOf(facts, role)
    const wear = change ? null : wearOf(facts, feeder)
    const hindered = change || wear ? null : hindranceOf(facts, feeder)
    if (!change && !wear && !hindered) return []
    const tests =
      change && role === 'primary' ? testsSince(facts.snapshot.pastTests, change.sinceMs, facts.nowMs) : null
    const apart = apartOf(history, role)
    const held = apart < (role === 'ph' ? NOT_HELD.ph : NOT_HELD.mv)
    // what runs on beyond its set point is not weak
    if (apart < (role === 'ph' ? BEYOND.ph : BEYOND.mv)) return []
    return [
      {
        role,
        feeder,
        change,
        wear,
        hindered,
        tests,
        apart,
        nothing: change !== null && change.ratio >= NOTHING_TIMES && !held,
      },
    ]
  })
}

/** An effort that the water asks for and the feeder answers is no fault of the feeder. */
function changeOf(facts: Facts, history: History, role: 'primary' | 'ph'): EffortChange | null {
  const levels = feederOf(facts, role)?.drum?.levels ?? []
  const deliveredMs = levels.filter(({ deliveredL }) => deliveredL > 0).map(({ atMs }) => atMs)
  const change = effortChange(history, history.feed[role], role === 'primary', deliveredMs)
  if (!change || change.usualMinPerDay < USUAL_LEAST_MIN) return null
  const young = facts.nowMs - change.sinceMs < WAITS_MS[role]
  facts.changesAt(change.sinceMs + WAITS_MS[role])
  // a young change may still be the probe: the next test tells
  if (role === 'ph') {
    const gap = probeGap(facts)
    if (gap && gap.shownPh > gap.testedPh) return null
    const over = shownOverTested(facts, change.sinceMs + SHOWS_MS.ph)
    return over === null ? (young && asksForTests(facts) ? null : change) : over > PROBE_APART_PH ? null : change
  }
  const tests = testsSince(facts.snapshot.pastTests, change.sinceMs + SHOWS_MS.primary, facts.nowMs)
  if (tests === null) return young && asksForTests(facts) ? null : change
  if (tests.ratio >= MORE_SANITIZER) return null
  return change.ratio / Math.max(1, tests.ratio) < UNEXPLAINED_TIMES ? null : change
}

/** Past tests were asked for, and there are some: more will come. */
const asksForTests = ({ snapshot }: Facts) => (snapshot.pastTests?.length ?? 0) > 3

function wearOf(facts: Facts, feeder: FeederFacts | undefined): PumpWear | null {
  if (feeder?.kind !== 'pump') return null
  const drawing = drawingOf(facts, feeder)
  const served = (facts.snapshot.feedWork ?? []).filter(
    ({ kind, feederId }) => kind === 'feederServiced' && (feederId === feeder.id || feederId === ''),
  )
  return drawing && pumpWear(drawing.stretches, served[served.length - 1]?.atMs)
}

export function apartOf(history: History, role: FeederRole): number {
  const to = history.count
  const from = to - 3
  return role === 'ph'
    ? meanOver(history.ph, from, to) - meanOver(history.phSet, from, to)
    : meanOver(history.orpSet, from, to) - meanOver(history.orp, from, to)
}

/** Water that has become too cold, or too poor in salt, for a generator. */
function hindranceOf(facts: Facts, feeder: FeederFacts | undefined): Hindrance | null {
  if (feeder?.kind !== 'saltGenerator') return null
  const history = historyFor(facts)
  const { tempC, count } = history
  const now = meanOver(tempC, count - 6, count)
  const usual = quantileOf(
    [...tempC.subarray(0, Math.max(0, count - 48))].filter((value) => !Number.isNaN(value)),
    0.5,
  )
  if (now < COLD_C && usual > COLD_C + 2) return { cause: 'waterCold', value: now, atMs: hourAt(history, count - 1) }
  const salt = facts.snapshot.tests.saltMgL
  return salt && salt.value < LOW_SALT_MGL ? { cause: 'saltLow', value: salt.value, atMs: salt.atMs } : null
}

/** Weights before any evidence: how often a feeder of that kind fails in that way. Common practice, no source. */
function usualCauses(feeder: FeederFacts | undefined): Partial<Record<Cause, number>> {
  switch (feeder?.kind) {
    case 'saltGenerator':
      return { cellScaled: 3, saltLow: 1, waterCold: 1, demandUp: 1 }
    case 'erosion':
      return { tabletsUsedUp: 3, tabletsBridged: 2, demandUp: 1 }
    case 'co2':
      return { cylinderEmpty: 3, gasBlocked: 2, demandUp: 1 }
    default:
      return { drumEmpty: 3, lostPrime: 3, injectorBlocked: 2, tubeWorn: 2, productWeak: 1, demandUp: 1 }
  }
}

/** The likeliest causes of a feeder's missing effect, by what is known of it. */
export function causesOf(facts: Facts, weak: WeakFeeder): LikelyCause[] {
  const weights = usualCauses(weak.feeder)
  const { change, wear, hindered } = weak
  if (hindered) return ranked({ [hindered.cause]: 6, cellScaled: 1 })
  byDrum(facts, weak, weights)
  if (wear) {
    supports(weights, 6, 'tubeWorn')
    supports(weights, 0.1, 'productWeak', 'demandUp', 'drumEmpty')
  }
  if (change) {
    byHeight(facts, weak, change, weights)
    byTime(facts, weak, change, weights)
  }
  if (weak.feeder?.kind === 'saltGenerator') byGenerator(facts, weak, weights)
  if (weak.role === 'primary' && change && (weak.tests?.count ?? 0) < 2) weights.probeReadsLow = 1
  if (weak.role === 'primary' && change) {
    byStanding(facts, weak.feeder, change.sinceMs, weights)
    // the test kit finds the sanitizer gone from the pool, too: ORP tells the pool, not a cell that stands
    if (weak.tests && weak.tests.ratio < GONE_RATIO) supports(weights, 0.1, 'switchStuckOn')
  }
  if (readEmpty(weak.feeder)) decideEmpty(weights)
  return ranked(weights)
}

/** Sanitizer by test since, beside before: so little is no matter of the probe or its cell. Common practice, no source. */
const GONE_RATIO = 0.7

/** The newest level is none, as far as a stick tells. */
const readEmpty = (feeder: FeederFacts | undefined) => {
  const last = feeder?.drum?.levels[feeder.drum.levels.length - 1]
  return !!feeder?.drum && !!last && isReadEmpty(feeder.drum, last)
}

/** Somebody looked into it: no fall and no run weighs against that. */
function decideEmpty(weights: Partial<Record<Cause, number>>): void {
  const empty = (['drumEmpty', 'tabletsUsedUp', 'cylinderEmpty'] as const).find((cause) => weights[cause] !== undefined)
  if (!empty) return
  const others = Object.values(weights).reduce((sum, weight) => sum + weight, 0) - (weights[empty] ?? 0)
  weights[empty] = Math.max(weights[empty] ?? 0, READ_EMPTY_TIMES * others)
}
const READ_EMPTY_TIMES = 4

/** ORP that sank as in standing water speaks for a switch that is stuck, unless the drum must be empty. */
export function byStanding(
  facts: Facts,
  feeder: FeederFacts | undefined,
  sinceMs: number,
  weights: Partial<Record<Cause, number>>,
): void {
  if (!sinksAsIfItStood(historyFor(facts), sinceMs)) return
  const left = leftInDrum(facts, feeder)
  weights.switchStuckOn = left && left.share < EMPTY_SHARE ? 0.2 : 2
}

const EMPTY_SHARE = 0.05

/** What the drum tells: how much is in it, and whether it falls as the feeder runs. */
function byDrum(facts: Facts, { feeder, change }: WeakFeeder, weights: Partial<Record<Cause, number>>): void {
  const left = leftInDrum(facts, feeder)
  const isEmpty = left !== null && left.share < EMPTY_SHARE
  if (left) {
    supports(weights, isEmpty ? 6 : left.share > 0.15 ? 0.05 : 0.5, 'drumEmpty', 'tabletsUsedUp', 'cylinderEmpty')
  }
  const drawing = drawingOf(facts, feeder)
  const sinceMs = change?.sinceMs ?? Number.POSITIVE_INFINITY
  const after = drawing?.stretches.filter(({ toMs, fromMs }) => toMs > sinceMs && fromMs > sinceMs - 2 * DAY_MS) ?? []
  const before = drawOf(drawing?.stretches.filter(({ toMs }) => toMs <= sinceMs) ?? [])
  const newest = after[after.length - 1]
  if (!newest || !before) return
  const ratio = newest.litresPerMin / before.typical
  const sure = 2 * newest.error < 0.3 * before.typical
  if (!sure) return
  if (ratio > 0.8) {
    // … until it was empty: then what it fell before tells nothing of now
    if (isEmpty) return
    // the drum falls as it should: what is drawn arrives, and does too little
    supports(weights, 8, 'productWeak', 'demandUp')
    supports(weights, 0.1, 'lostPrime', 'injectorBlocked', 'tubeWorn', 'drumEmpty')
  } else {
    supports(weights, 0.1, 'productWeak', 'demandUp')
    supports(weights, ratio < 0.25 ? 2 : 1, 'lostPrime', 'injectorBlocked')
    supports(weights, ratio > 0.25 ? 2 : change && climbs(facts, feeder, change) ? 1 : 0.5, 'tubeWorn')
  }
}

/** Litres left by the last level, less what it has drawn since by its run time; null without levels. */
export function leftInDrum(facts: Facts, feeder: FeederFacts | undefined): { levelL: number; share: number } | null {
  const drum = feeder?.drum
  const last = drum?.levels[drum.levels.length - 1]
  if (!drum || !last) return null
  const drawing = drawingOf(facts, feeder)
  const draw = drawing && drawOf(drawing.stretches)
  const usual = drawing && draw ? usualMinPerDay(drawing.run, facts.nowMs) : Number.NaN
  const ran = drawing && usual > 0 ? drawnSince(drawing.run, last.atMs, facts.nowMs, usual) : null
  const levelL = draw && ran !== null ? Math.max(0, last.levelL - draw.typical * ran) : last.levelL
  return { levelL, share: levelL / drum.capacityL }
}

/** Median run of the days before the last two: what runs since a fault is no measure of what is drawn. */
function usualMinPerDay(run: RunTime, nowMs: number): number {
  const days: number[] = []
  for (let day = 2; day <= 16; day++) {
    const minutes = run(nowMs - (day + 1) * DAY_MS, nowMs - day * DAY_MS)
    if (minutes !== null) days.push(minutes)
  }
  return quantileOf(days, 0.5)
}

/** How much is missing: all of it, or a part. */
function byHeight(
  facts: Facts,
  { nothing, feeder }: WeakFeeder,
  change: EffortChange,
  weights: Partial<Record<Cause, number>>,
): void {
  if (nothing || change.ratio >= 6) {
    supports(weights, 2, 'drumEmpty', 'lostPrime', 'injectorBlocked', 'tabletsUsedUp', 'cylinderEmpty')
    supports(weights, 0.2, 'productWeak', 'demandUp')
    supports(weights, 0.5, 'tabletsBridged', 'gasBlocked')
    // what wears day by day ends in nothing, too
    if (!climbs(facts, feeder, change)) supports(weights, 0.5, 'tubeWorn')
  } else {
    supports(weights, 0.3, 'drumEmpty', 'lostPrime', 'cylinderEmpty')
    supports(weights, 1.5, 'tubeWorn', 'productWeak', 'tabletsBridged', 'gasBlocked')
  }
  const { quietRatio, busyRatio } = change
  if (quietRatio > 0 && busyRatio > 0) {
    const apart = Math.max(quietRatio, busyRatio) / Math.min(quietRatio, busyRatio)
    supports(weights, apart > 2.5 ? 1.5 : apart < 1.6 ? 0.4 : 1, 'demandUp')
  }
}

const JUST_DELIVERED = { fromMs: -4 * HOUR_MS, toMs: 16 * HOUR_MS }

// Common practice, no source: a tube that wears shows for days before it delivers nothing; what fails at once shows in
// one day at most, that on which it failed
const CLIMB = { days: 3, overUsual: 1.3, plainDays: 2, plainOverUsual: 1.7, underNow: 0.7, lookedAtDays: 10 }

/** Days of late on which it ran so many times the usual, and well below what it runs now. */
function daysBetween(facts: Facts, { role }: FeederFacts, { usualMinPerDay }: EffortChange, overUsual: number): number {
  const run = runTimeOf(historyFor(facts), role)
  const days = Array.from(
    { length: CLIMB.lookedAtDays },
    (_, back) => run(facts.nowMs - (back + 1) * DAY_MS, facts.nowMs - back * DAY_MS) ?? Number.NaN,
  )
  const most = CLIMB.underNow * (days[0] as number)
  return days.filter((ran) => ran >= overUsual * usualMinPerDay && ran <= most).length
}

/** It ran longer day by day. */
const climbs = (facts: Facts, feeder: FeederFacts | undefined, change: EffortChange) =>
  feeder !== undefined &&
  daysBetween(facts, feeder, change, CLIMB.overUsual) >= CLIMB.days &&
  daysBetween(facts, feeder, change, CLIMB.plainOverUsual) >= CLIMB.plainDays

/** From usual to all that it can within a day. */
const leaps = (facts: Facts, { feeder, nothing }: WeakFeeder, change: EffortChange) =>
  nothing && feeder !== undefined && daysBetween(facts, feeder, change, CLIMB.plainOverUsual) < CLIMB.plainDays

/** How it came: at once or over days, and whether just after a delivery. */
function byTime(facts: Facts, weak: WeakFeeder, change: EffortChange, weights: Partial<Record<Cause, number>>): void {
  if (climbs(facts, weak.feeder, change)) {
    supports(weights, 0.2, 'lostPrime', 'drumEmpty')
    supports(weights, 0.4, 'injectorBlocked')
    supports(weights, 4, 'tubeWorn', 'cellScaled')
    return
  }
  if (change.sudden || leaps(facts, weak, change)) supports(weights, 0.4, 'tubeWorn', 'cellScaled')
  else {
    supports(weights, 0.3, 'lostPrime', 'drumEmpty')
    supports(weights, 0.6, 'injectorBlocked')
    supports(weights, 2, 'tubeWorn', 'cellScaled')
    return
  }
  const levels = weak.feeder?.drum?.levels ?? []
  const delivered = levels.findLast(({ deliveredL, atMs }) => deliveredL > 0 && atMs <= facts.nowMs)
  const after = delivered ? change.sinceMs - delivered.atMs : Number.NaN
  if (!(after >= JUST_DELIVERED.fromMs && after <= JUST_DELIVERED.toMs)) return
  if (weak.nothing) supports(weights, 2, 'lostPrime')
  else supports(weights, 4, 'productWeak')
}

/** A generator makes little below this, and with little salt. From memory. */
const COLD_C = 17.5
const LOW_SALT_MGL = 2500

function byGenerator(facts: Facts, { change }: WeakFeeder, weights: Partial<Record<Cause, number>>): void {
  const history = historyFor(facts)
  const tempC = meanOver(history.tempC, history.count - 6, history.count)
  if (!Number.isNaN(tempC)) supports(weights, tempC < COLD_C ? 8 : tempC > COLD_C + 3 ? 0.05 : 1, 'waterCold')
  const salt = facts.snapshot.tests.saltMgL
  if (salt) supports(weights, salt.value < LOW_SALT_MGL ? 8 : salt.value > LOW_SALT_MGL + 400 ? 0.1 : 1, 'saltLow')
  if (change?.sudden) supports(weights, 0.5, 'saltLow')
}

const CAUTIONS: CautionKey[] = ['localCodeFirst', 'protectiveEquipment', 'neverTogether', 'retestBeforeBathers']
const VALUES = { primary: 'ORP', backup: 'ORP', ph: 'pH' } as const
const NAMES: Record<FeederFacts['kind'], string> = {
  pump: 'pump',
  erosion: 'erosion feeder',
  saltGenerator: 'salt chlorine generator',
  co2: 'carbon dioxide feeder',
}
const nameOf = ({ role, feeder }: WeakFeeder) =>
  feeder?.name || (role === 'ph' ? 'pH feeder' : `sanitizer ${NAMES[feeder?.kind ?? 'pump']}`)

export function weakFinding(facts: Facts, weak: WeakFeeder): Finding {
  const { role, feeder, change, wear, hindered, apart } = weak
  const causes = causesOf(facts, weak)
  const limit = role === 'ph' ? NOT_HELD.ph : NOT_HELD.mv
  const gas = feeder?.kind === 'co2'
  return finding({
    kind: 'feederWeak',
    subject: feeder?.id ?? role,
    severity: weak.nothing || apart > limit ? 'act' : 'watch',
    sentence: change
      ? effortSentence(weak, change)
      : wear
        ? wearSentence(weak, wear)
        : hinderedSentence(weak, hindered as Hindrance),
    value: change ? quantified(change.nowMinPerDay, 'min') : null,
    sinceMs: change?.sinceMs ?? wear?.sinceMs ?? hindered?.atMs ?? facts.nowMs,
    evidence: evidenceOf(facts, weak),
    causes,
    bring: toBring(causes),
    advice: [
      ...toldCauses(causes, role),
      ...(role === 'primary'
        ? [say('Test sanitizer by hand before and after; bring it to its range before bathers need it.')]
        : [say('Test pH by hand. Leave the set point; if display and test kit part, calibrate the probe.')]),
      ...(gas ? [say('Carbon dioxide gathers low in a closed room and chokes unseen: ventilate first.')] : []),
    ],
    cautions: role === 'ph' && !gas ? [...CAUTIONS, 'acidIntoWater'] : CAUTIONS,
  })
}

function effortSentence(weak: WeakFeeder, { usualMinPerDay, nowMinPerDay }: EffortChange) {
  const held = weak.apart < (weak.role === 'ph' ? NOT_HELD.ph : NOT_HELD.mv)
  const value = VALUES[weak.role]
  return say(
    `The ${nameOf(weak)} runs {0} a day instead of {1}, ${
      held ? `to hold the same ${value}` : `and does not hold ${value}`
    }.`,
    quantified(nowMinPerDay, 'min'),
    quantified(usualMinPerDay, 'min'),
  )
}

const wearSentence = (weak: WeakFeeder, { beforeLH, nowLH }: PumpWear) =>
  say(
    `The ${nameOf(weak)} moves {0} an hour of run instead of {1}, by the fall of its drum.`,
    quantified(nowLH, 'L'),
    quantified(beforeLH, 'L'),
  )

const hinderedSentence = (weak: WeakFeeder, { cause, value }: Hindrance) =>
  cause === 'waterCold'
    ? say(`The water is at {0}: the ${nameOf(weak)} makes little in water this cold.`, quantified(value, '°C'))
    : say(`Salt is at {0}: the ${nameOf(weak)} makes little with so little salt.`, quantified(value, 'mg/L'))

function evidenceOf(facts: Facts, { role, feeder, change, wear, tests, apart }: WeakFeeder): EvidenceLine[] {
  const lines: EvidenceLine[] = []
  const unit = role === 'ph' ? 'pH' : 'mV'
  if (!Number.isNaN(apart)) {
    lines.push(
      shown(role === 'ph' ? 'pH over its set point' : 'ORP under its set point', apart, unit, null, 'controller'),
    )
  }
  if (change) {
    lines.push(shown('Run time a day, usual', change.usualMinPerDay, 'min', null, 'controller'))
    lines.push(shown('Run time a day, now', change.nowMinPerDay, 'min', null, 'controller'))
    lines.push(...dosed(facts, feeder, change))
  }
  if (wear) {
    lines.push(shown('Litres for an hour of run, before', wear.beforeLH, 'L', null, 'derived'))
    lines.push(shown('Litres for an hour of run, now', wear.nowLH, 'L', null, 'derived'))
  }
  if (tests) {
    lines.push(shown('Sanitizer by test, before', tests.before, 'mg/L', null, 'test'))
    lines.push(shown('Sanitizer by test, since', tests.since, 'mg/L', tests.newestMs, 'test'))
  }
  const last = feeder?.drum?.levels[feeder.drum.levels.length - 1]
  const left = leftInDrum(facts, feeder)
  lines.push(...drumLine(feeder?.drum))
  if (left && last && left.levelL < last.levelL)
    lines.push(shown('Level now, by its run', left.levelL, 'L', null, 'derived'))
  return lines
}

/** What should have arrived in the water, where rate, strength and volume are known. */
function dosed({ body }: Facts, feeder: FeederFacts | undefined, change: EffortChange): EvidenceLine[] {
  if (!feeder?.drum || !feeder.rateLH || !body.volumeL || feeder.role === 'ph') return []
  const mgLPerMin = ((feeder.rateLH / 60) * activeGPerL(feeder.drum) * 1000) / body.volumeL
  return [
    shown('Delivered a day if all arrived, usual', change.usualMinPerDay * mgLPerMin, 'mg/L', null, 'derived'),
    shown('Delivered a day if all arrived, now', change.nowMinPerDay * mgLPerMin, 'mg/L', null, 'derived'),
  ]
}

/** How far a value usually stands from its set point while its feeder rests; for what counts as not fed although asked for. */
export function idleApart(apart: Float64Array, feed: Float64Array, to: number): number {
  const values: number[] = []
  for (let at = 0; at < to; at++) {
    if ((feed[at] as number) < 0.05 && !Number.isNaN(apart[at] as number)) values.push(apart[at] as number)
  }
  return values.length >= 12 ? quantileOf(values, 0.98) : Number.NaN
}

import type { Measured } from '../measured.ts'
import { DAY_MS, HOUR_MS } from '../time.ts'
import { smoothed } from './level.ts'
import { median } from './numbers.ts'
import { JUDGED_WATER, LEAST_SANITIZER_MGL } from './theory.ts'
import type { ProbeWorkKind, RedoxPair, RedoxRecord, RedoxWater } from './types.ts'
import { PH_STARTS_ANEW, WATER_WORK, workBetween } from './work.ts'

/** One pair with its water, as all tests together tell it. */
export interface Moment {
  pair: RedoxPair
  /** Null where the sanitizer was not measured, or the equations do not hold. */
  water: RedoxWater | null
  /** How far the cyanuric acid may be off, as a part of itself. */
  cyanuricShare: number
  /** Standard deviation of pH and temperature. */
  phSd: number
  tempSd: number
}

/** What is taken where nothing was ever measured, and how far it may be off. Judgement; common practice, no source. */
const TAKEN = {
  ph: { value: 7.5, sd: 0.25 },
  tempC: { value: 27, sd: 5 },
  tdsMgL: 1000,
  cyanuricAcidMgL: 30,
} as const

/** Errors of usual tests, and how fast what they measure goes its own way in a day. Judgement; common practice, no source. */
const CYANURIC = { sd: 0.08, perDay: 0.03, changedSd: 0.4, shownMgL: 5 } as const
const PH = { sd: 0.03, perDay: 0.05, probeSd: 0.03, probePerDay: 0.012, anewSd: 0.3 } as const
const TEMP = { sd: 0.5, perDay: 0.7 } as const
/** Where probe and kit part by this much after all, the kit is believed. */
const PROBE_OFF_PH = 0.25
/** A value is not carried further than this. */
const CARRIED_DAYS = 60
const CARRIED_MS = CARRIED_DAYS * DAY_MS

/**
 * The water of every pair until now. One test of cyanuric acid is off by a tenth and one of pH by half a tenth, which is as much in
 * the acid as what the set point is moved for. So cyanuric acid is the level under its tests; and pH is what the probe showed,
 * less the level of what probe and kit part by.
 */
export function historyOf(record: RedoxRecord, nowMs: number): Moment[] {
  const pairs = record.pairs.filter(({ atMs }) => atMs <= nowMs).sort((a, b) => a.atMs - b.atMs)
  const cyanuric = cyanuricLevels(record, pairs)
  const ph = phLevels(record, pairs)
  return pairs.map((pair, i) => {
    const { test, atMs } = pair
    const tempC = carried(test.tempC, atMs)
    const water = {
      sanitizerMgL: test.sanitizerMgL ?? 0,
      ph: ph[i]?.value ?? TAKEN.ph.value,
      cyanuricAcidMgL: cyanuric[i]?.value ?? (record.cyanuricAcidUsed ? TAKEN.cyanuricAcidMgL : 0),
      tempC: tempC ?? TAKEN.tempC.value,
      tdsMgL: test.tdsMgL?.value ?? TAKEN.tdsMgL,
    }
    return {
      pair,
      water: holds(record, water) ? water : null,
      cyanuricShare: cyanuric[i]?.share ?? 0,
      phSd: ph[i]?.sd ?? TAKEN.ph.sd,
      tempSd:
        test.tempC && tempC !== null ? Math.hypot(TEMP.sd, TEMP.perDay * ageDays(test.tempC, atMs)) : TAKEN.tempC.sd,
    }
  })
}

/** The water as the newest tests tell it; pH is the middle of the last week's. Null when nothing was ever tested. */
export function presentWater(history: readonly Moment[]): RedoxWater | null {
  const newest = history.findLast(({ water }) => water !== null)
  if (!newest?.water) return null
  const week = history.flatMap(({ pair, water }) =>
    water && pair.atMs > newest.pair.atMs - WEEK_MS && pair.atMs <= newest.pair.atMs ? [water.ph] : [],
  )
  return { ...newest.water, ph: median(week) }
}
const WEEK_MS = 7 * DAY_MS

function holds({ oxidant }: RedoxRecord, water: RedoxWater): boolean {
  if (!(water.sanitizerMgL >= LEAST_SANITIZER_MGL[oxidant])) return false
  return (Object.keys(JUDGED_WATER) as (keyof RedoxWater)[]).every((key) => {
    const [least, most] = JUDGED_WATER[key]
    return water[key] >= least && water[key] <= most
  })
}

const ageDays = ({ atMs }: Measured, nowMs: number) => Math.max(0, nowMs - atMs) / DAY_MS
const carried = (measured: Measured | null, atMs: number) =>
  measured && atMs - measured.atMs <= CARRIED_MS ? measured.value : null

/** Cyanuric acid at each pair, and how far it may be off as a part of itself; null where it was never tested. Between two tests
 * it lies between them, the less sure the further they part: nobody knows when it changed, unless work was done on the water. */
function cyanuricLevels(
  { work }: RedoxRecord,
  pairs: readonly RedoxPair[],
): ({ value: number; share: number } | null)[] {
  const tests = distinct(pairs.flatMap(({ test }) => test.cyanuricAcidMgL ?? []))
  const changed = work.filter(isWater)
  const levels = smoothed(
    tests.map(({ value, atMs }) => ({ atMs, value: Math.log(value + CYANURIC.shownMgL), variance: CYANURIC.sd ** 2 })),
    CYANURIC.perDay,
    (fromMs, toMs) => (workBetween(changed, fromMs, toMs).length > 0 ? CYANURIC.changedSd ** 2 : 0),
  )
  let next = 0
  return pairs.map(({ test, atMs }) => {
    if (!test.cyanuricAcidMgL) return null
    while (next < tests.length && (tests[next] as Measured).atMs <= atMs) next++
    const [from, to] = [tests[Math.max(0, next - 1)] as Measured, tests[next]]
    const [before, after] = [levels[Math.max(0, next - 1)] as number, to ? (levels[next] as number) : null]
    const done = workBetween(changed, from.atMs, to?.atMs ?? atMs)[0]
    const { level, share } = done
      ? stepped(before, after, atMs > done.atMs)
      : between(before, after, to ? (atMs - from.atMs) / (to.atMs - from.atMs) : ageDays(from, atMs))
    return { value: Math.max(0, Math.exp(level) - CYANURIC.shownMgL), share }
  })
}

/** `passed`: 0–1 of the way to the next test; in days where there is none yet. */
function between(before: number, after: number | null, passed: number): { level: number; share: number } {
  if (after === null) return { level: before, share: CYANURIC.perDay * Math.sqrt(Math.min(CARRIED_DAYS, passed)) }
  const part = Math.max(0, Math.min(1, passed))
  return { level: before + part * (after - before), share: Math.abs(after - before) * Math.sqrt(part * (1 - part)) }
}

/** Stabilizer was added or water replaced between: before it the last test holds, after it the next one, if there is one. */
function stepped(before: number, after: number | null, isDone: boolean): { level: number; share: number } {
  if (!isDone) return { level: before, share: 0 }
  return after === null ? { level: before, share: CYANURIC.changedSd } : { level: after, share: CYANURIC.sd }
}
const isWater = ({ kind }: { kind: ProbeWorkKind }) => WATER_WORK.includes(kind)

function distinct(tests: readonly Measured[]): Measured[] {
  const byTime = new Map(tests.map((test) => [test.atMs, test]))
  return [...byTime.values()].sort((a, b) => a.atMs - b.atMs)
}

function phLevels({ work }: RedoxRecord, pairs: readonly RedoxPair[]): ({ value: number; sd: number } | null)[] {
  const own = pairs.filter(({ test, atMs }) => test.ph && Math.abs(atMs - test.ph.atMs) <= HOUR_MS)
  const both = own.filter(({ ph }) => ph !== null)
  const gaps = smoothed(
    both.map(({ atMs, ph, test }) => ({ atMs, value: (ph?.value ?? 0) - (test.ph?.value ?? 0), variance: PH.sd ** 2 })),
    PH.probePerDay,
    (fromMs, toMs) =>
      workBetween(work, fromMs, toMs).some(({ kind }) => PH_STARTS_ANEW.includes(kind)) ? PH.anewSd ** 2 : 0,
  )
  const gapOf = new Map(both.map(({ atMs }, i) => [atMs, gaps[i] as number]))
  const levels = smoothed(
    own.map(({ atMs, test }) => ({ atMs, value: test.ph?.value ?? 0, variance: PH.sd ** 2 })),
    PH.perDay,
    () => 0,
  )
  const levelOf = new Map(own.map(({ atMs }, i) => [atMs, levels[i] as number]))
  return pairs.map(({ test, ph, atMs }) => {
    if (!test.ph || atMs - test.ph.atMs > CARRIED_MS) return null
    const gap = gapOf.get(atMs)
    const byProbe = ph && gap !== undefined ? ph.value - gap : null
    if (byProbe !== null && Math.abs(byProbe - test.ph.value) <= PROBE_OFF_PH) return { value: byProbe, sd: PH.probeSd }
    const value = levelOf.get(atMs) ?? levelOf.get(test.ph.atMs) ?? test.ph.value
    return { value, sd: Math.hypot(PH.sd, 2 * PH.perDay * Math.min(7, ageDays(test.ph, atMs))) }
  })
}

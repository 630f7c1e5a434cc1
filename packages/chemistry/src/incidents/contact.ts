import type { Phrase } from '../finding.ts'
import { quantified, say } from '../findings/make.ts'
import type { IncidentFacts, IncidentReading } from '../snapshot.ts'
import { MINUTE_MS } from '../time.ts'
import { type Choice, type IncidentWater, type Protocol, protocolFor } from './protocol.ts'

export const CONTACT_STATES = ['noProtocol', 'notStarted', 'running', 'interrupted', 'reached'] as const
/** `noProtocol`: there is no level and time to hold it against. `interrupted`: it had started, and the newest test does not count. */
export type ContactState = (typeof CONTACT_STATES)[number]

export interface CountedReading extends IncidentReading {
  counts: boolean
  /** Why it does not count. */
  why: Phrase[]
  /** CT from the start up to this test, mg·min/L. */
  ctMgMinL: number
}

/** How far the disinfection after an incident has come, as far as tests prove it. */
export interface ContactTime extends Choice {
  state: ContactState
  /** Proved up to the newest test, mg·min/L; it may be more than is needed. */
  ctMgMinL: number
  /** 0 to 1; null without a protocol. */
  share: number | null
  /** When the first test that counts was made. */
  startedAtMs: number | null
  /** The newest test: nothing after it is known. */
  asOfMs: number | null
  reachedAtMs: number | null
  /** When it can be complete at the earliest, if the level of the newest test holds; null unless it runs. */
  earliestMs: number | null
  /** The longest time between two tests that counts, minutes. */
  longestStretchMin: number
  readings: CountedReading[]
}

/**
 * CT after an incident, from the manual tests made since. It starts with the first test at or over the level to hold; between
 * two tests that both count, the lower level counts for all of the time; nothing counts before, beside or after that. Where the
 * text gives a level and a time instead of a CT, the level must be held without a break: a test that does not count starts it anew.
 * @param untilMs ms UTC; tests made later are left out
 */
export function contactTime(incident: IncidentFacts, water: IncidentWater, untilMs: number): ContactTime {
  const choice = protocolFor(incident, water)
  const tests = worstAtEachTime(incident.readings.filter(({ atMs }) => atMs >= incident.atMs && atMs <= untilMs))
  const readings = counted(tests, choice.protocol)
  const ctMgMinL = readings.at(-1)?.ctMgMinL ?? 0
  const newest = readings.at(-1)
  const reachedAtMs = choice.protocol && reachedAt(readings, choice.protocol)
  const state = stateOf(choice, readings, reachedAtMs)
  const { protocol } = choice
  return {
    ...choice,
    state,
    ctMgMinL,
    share: protocol && (reachedAtMs === null ? Math.min(1, ctMgMinL / protocol.ctMgMinL) : 1),
    startedAtMs: readings.find(({ counts }) => counts)?.atMs ?? null,
    asOfMs: newest?.atMs ?? null,
    reachedAtMs,
    earliestMs: protocol && newest && state === 'running' ? earliest(newest, protocol) : null,
    longestStretchMin: longestStretch(readings),
    readings,
  }
}

/** Tests at several places at one time: the water is as far as its worst place. Oldest first. */
function worstAtEachTime(readings: readonly IncidentReading[]): IncidentReading[] {
  const worst: IncidentReading[] = []
  for (const reading of [...readings].sort((a, b) => a.atMs - b.atMs)) {
    const before = worst.at(-1)
    if (before?.atMs === reading.atMs) worst[worst.length - 1] = worse(before, reading)
    else worst.push(reading)
  }
  return worst
}

const worse = (a: IncidentReading, b: IncidentReading): IncidentReading => ({
  atMs: a.atMs,
  freeChlorineMgL: Math.min(a.freeChlorineMgL, b.freeChlorineMgL),
  ph: a.ph === null || b.ph === null ? (a.ph ?? b.ph) : Math.max(a.ph, b.ph),
  tempC: a.tempC === null || b.tempC === null ? (a.tempC ?? b.tempC) : Math.min(a.tempC, b.tempC),
})

function counted(tests: readonly IncidentReading[], protocol: Protocol | null): CountedReading[] {
  let ctMgMinL = 0
  let before: CountedReading | null = null
  return tests.map((test) => {
    const why = protocol ? whyNot(test, protocol) : []
    const counts = protocol !== null && why.length === 0
    if (protocol && counts && before?.counts)
      ctMgMinL += (levelOf(before, test, protocol) * (test.atMs - before.atMs)) / MINUTE_MS
    if (protocol && !counts && !protocol.countsAbove && !isEnough(ctMgMinL, protocol)) ctMgMinL = 0
    before = { ...test, counts, why, ctMgMinL }
    return before
  })
}

function whyNot({ freeChlorineMgL, ph, tempC }: IncidentReading, protocol: Protocol): Phrase[] {
  const why: Phrase[] = []
  if (!(freeChlorineMgL >= protocol.freeChlorineMgL))
    why.push(
      say(
        'Free chlorine {0} is under the {1} to be held.',
        quantified(freeChlorineMgL, 'mg/L'),
        quantified(protocol.freeChlorineMgL, 'mg/L'),
      ),
    )
  if (ph === null) why.push(say('pH was not tested with it.'))
  else if (!(ph <= protocol.phMax))
    why.push(say('pH {0} is over {1}.', quantified(ph, 'pH'), quantified(protocol.phMax, 'pH')))
  if (tempC === null) why.push(say('The temperature was not measured with it.'))
  else if (!(tempC >= protocol.tempMinC))
    why.push(say('The water at {0} is colder than {1}.', quantified(tempC, '°C'), quantified(protocol.tempMinC, '°C')))
  return why
}

/** The lower of two levels, and no more than what the protocol lets count. */
function levelOf(a: IncidentReading, b: IncidentReading, { countsAbove, freeChlorineMgL }: Protocol): number {
  const lower = Math.min(a.freeChlorineMgL, b.freeChlorineMgL)
  return countsAbove ? lower : Math.min(lower, freeChlorineMgL)
}

// what binary arithmetic loses in adding stretches is no time
const ROUNDING = 1e-9
const isEnough = (ctMgMinL: number, { ctMgMinL: needed }: Protocol) => ctMgMinL >= needed * (1 - ROUNDING)

function reachedAt(readings: readonly CountedReading[], protocol: Protocol): number | null {
  const index = readings.findIndex(({ ctMgMinL }) => isEnough(ctMgMinL, protocol))
  const [before, after] = [readings[index - 1], readings[index]]
  if (!before || !after) return null
  const minutes = (protocol.ctMgMinL - before.ctMgMinL) / levelOf(before, after, protocol)
  return Math.min(after.atMs, Math.ceil(before.atMs + minutes * MINUTE_MS))
}

function stateOf({ protocol }: Choice, readings: readonly CountedReading[], reachedAtMs: number | null): ContactState {
  if (!protocol) return 'noProtocol'
  if (reachedAtMs !== null) return 'reached'
  if (readings.at(-1)?.counts) return 'running'
  return readings.some(({ counts }) => counts) ? 'interrupted' : 'notStarted'
}

function earliest(newest: CountedReading, protocol: Protocol): number {
  const minutes = (protocol.ctMgMinL - newest.ctMgMinL) / levelOf(newest, newest, protocol)
  return Math.ceil(newest.atMs + minutes * MINUTE_MS)
}

function longestStretch(readings: readonly CountedReading[]): number {
  const stretches = readings.map((reading, index) => {
    const before = readings[index - 1]
    return before?.counts && reading.counts ? (reading.atMs - before.atMs) / MINUTE_MS : 0
  })
  return Math.max(0, ...stretches)
}

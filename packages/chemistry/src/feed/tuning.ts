import type { Phrase } from '../finding.ts'
import { quantified, say } from '../findings/make.ts'
import { alkalinityOf, bufferAt, carbonOf } from '../plant/carbonate.ts'
import { MG_CACO3_PER_MEQ } from '../plant/constants.ts'
import { spreadingMinutes } from '../plant/water.ts'
import type { BodyFacts, FeederFacts } from '../snapshot.ts'
import { acidMeqPerL, activeGPerL } from './product.ts'
import { distanceWords, minutesWords } from './tuningWords.ts'

/** What feed tuning goes by. Water as tested last; `outputGH` for a generator, which has no drum. */
export interface TuningCase {
  body: BodyFacts
  feeder: Pick<FeederFacts, 'role' | 'kind' | 'drum' | 'rateLH'>
  outputGH?: number | null
  water: {
    sanitizerMgL: number
    ph: number
    totalAlkalinityMgL: number
    calciumHardnessMgL: number
    cyanuricAcidMgL: number
    tdsMgL: number
    tempC: number
  }
  /** Sanitizer that the set point is to hold, mg/L. */
  targetMgL: number
  /** What a usual day takes, mg/L of sanitizer or meq/L of acid, by the run of its feeder; null when not known. */
  dailyUse: number | null
  /** mV for ten times the sanitizer, from this body's own relation; null: the usual. */
  slopeMv: number | null
}

/** How a feeder should be set, and how that was worked out. */
export interface FeedTuning {
  /** The largest dose of one on-time: what it holds, and by how much it moves ORP or pH. */
  largestDose: { litres: number | null; mgL: number | null; meqL: number | null; moves: number }
  onTimeMin: number
  waitMin: number
  /** Distance from the set point at which it may feed all of the on-time: mV, or pH. */
  band: number
  /** `tooSmall`: so set it cannot give what a busy day takes; `tooLarge`: shorter than pumps can be switched. */
  verdict: 'fits' | 'tooSmall' | 'tooLarge'
  working: Phrase[]
}

/** What was fed and is not seen yet should move the value by no more than this: what a set point can be over by without harm. Common practice, no source. */
const LARGEST_MOVE = { mv: 10, ph: 0.1 }
/** Four fifths of a dose are mixed after one and a half times the mixing time; the band answers for the rest. */
const SEEN_TIMES = 1.5
/** A probe in its cell answers within about so long. From memory. */
const PROBE_MIN = 6
const SHORTEST_WAIT_MIN = 10
/** The other feed has its turn, too. */
const MOST_SHARE = 0.5
/** Band over τ × rate: 2 is a damping of 0.7, 4 is critical. */
const DAMPING = 2
/** Less than this is the probe's own restlessness. Common practice, no source. */
const SMALLEST_BAND = { mv: 5, ph: 0.05 }
/** Pumps and solenoids are not switched for less. Common practice, no source. */
const SHORTEST_ON_MIN = 0.1
const LONGEST_ON_MIN = 30
/** For so long a generator keeps the output that was decided. */
const STEADY_MIN = 10
/** A busy hour takes about so many times the mean one. Common practice, no source. */
const BUSY_TIMES = 2.5
/** mV for ten times the chlorine. Common practice, no source; a pool's own lies between 50 and 80. */
export const USUAL_SLOPE_MV = 65

/**
 * On-time, wait and proportional band that reach the set point without overshoot. The doses that are not seen yet move the
 * value by no more than it may be over: a large feeder gives one dose and waits until it is mixed and seen, a small one may
 * feed again sooner. The band damps the loop: a feed proportional to the distance, K per minute, into water that mixes with
 * time constant τ overshoots by 4 % at K = 1/(2τ) and by more beyond (a textbook second-order loop with damping 0.7, computed).
 * @returns null where rate, strength or volume are not known
 */
export function feedTuning(given: TuningCase): FeedTuning | null {
  const rate = ratePerMin(given)
  const { volumeL, flowLMin } = given.body
  if (rate === null || !volumeL || !flowLMin) return null
  const isPh = given.feeder.role === 'ph'
  const perUnit = movePerUnit(given)
  const mixingMin = spreadingMinutes({ volumeL, flowLMin })
  const largest = isPh ? LARGEST_MOVE.ph : LARGEST_MOVE.mv
  const { onTimeMin, waitMin } = turnsOf(given, largest / perUnit / rate, mixingMin)
  const share = onTimeMin / (onTimeMin + waitMin)
  const dose = onTimeMin * rate
  const band = Math.max(
    isPh ? SMALLEST_BAND.ph : SMALLEST_BAND.mv,
    dose * perUnit,
    DAMPING * (mixingMin + PROBE_MIN) * rate * share * perUnit,
  )
  const litres = given.feeder.rateLH ? (given.feeder.rateLH / 60) * onTimeMin : null
  const busy = given.dailyUse === null ? null : (BUSY_TIMES * given.dailyUse) / 1440
  const verdict = onTimeMin < SHORTEST_ON_MIN ? 'tooLarge' : busy !== null && rate * share < busy ? 'tooSmall' : 'fits'
  return {
    largestDose: { litres, mgL: isPh ? null : dose, meqL: isPh ? dose : null, moves: dose * perUnit },
    onTimeMin,
    waitMin,
    band,
    verdict,
    working: workingOf(given, { mixingMin, waitMin, onTimeMin, share, band, dose, perUnit, rate, verdict }),
  }
}

/** @param mostMin minutes of run that move the value by all that may be unseen */
function turnsOf({ feeder }: TuningCase, mostMin: number, mixingMin: number): { onTimeMin: number; waitMin: number } {
  // a generator runs on and is turned down; it has no wait
  if (feeder.kind === 'saltGenerator') return { onTimeMin: STEADY_MIN, waitMin: 0 }
  const onTimeMin = Math.min(LONGEST_ON_MIN, mostMin)
  const seenMin = SEEN_TIMES * mixingMin + PROBE_MIN
  const share = Math.min(MOST_SHARE, mostMin / (onTimeMin + seenMin))
  return { onTimeMin, waitMin: Math.max(SHORTEST_WAIT_MIN, Math.round(onTimeMin / share - onTimeMin)) }
}

/**
 * Minutes until three quarters of a distance are gone with these settings, at most, on a usual day: the whole of it at the
 * speed of a full feed less what is used meanwhile, and then the time for mixing and seeing. Null where it never arrives.
 */
export function reachMin(given: TuningCase, tuning: FeedTuning, distance: number): number | null {
  const rate = ratePerMin(given)
  const { volumeL, flowLMin } = given.body
  if (rate === null || !volumeL || !flowLMin) return null
  const { onTimeMin, waitMin, band } = tuning
  const perUnit = movePerUnit(given)
  const full = (rate * onTimeMin * perUnit) / (onTimeMin + waitMin)
  const used = ((given.dailyUse ?? 0) / 1440) * perUnit
  // where a proportional feed just meets what is used it stands still, so far from its set point
  const short = (band * used) / full
  if (short >= distance / 4) return null
  const away = Math.max(0, distance - band)
  const lagMin = spreadingMinutes({ volumeL, flowLMin }) + PROBE_MIN
  return away / (full - used) + (band / full) * Math.log(distance / (distance / 4 - short)) + 2 * lagMin + waitMin
}

/** mg/L of sanitizer or meq/L of acid that the feeder brings in a minute. */
function ratePerMin({ feeder, outputGH, body }: TuningCase): number | null {
  if (!body.volumeL) return null
  if (feeder.kind === 'saltGenerator') return outputGH ? (outputGH * 1000) / 60 / body.volumeL : null
  if (!feeder.drum || !feeder.rateLH) return null
  const litresPerMin = feeder.rateLH / 60
  return feeder.role === 'ph'
    ? (litresPerMin * acidMeqPerL(feeder.drum)) / body.volumeL
    : (litresPerMin * activeGPerL(feeder.drum) * 1000) / body.volumeL
}

/** mV for each mg/L at the target, or pH for each meq/L at the pH of the water: it answers the more the higher it is. */
function movePerUnit({ feeder, water, targetMgL, slopeMv }: TuningCase): number {
  if (feeder.role !== 'ph') return (slopeMv ?? USUAL_SLOPE_MV) / Math.LN10 / Math.max(0.3, targetMgL)
  const { cyanuricAcidMgL } = water
  const ph = Math.max(PH_AT_SET_POINT, water.ph)
  const buffer = bufferAt(water.tempC, water.tdsMgL, water.calciumHardnessMgL)
  const alkalinity = water.totalAlkalinityMgL / MG_CACO3_PER_MEQ
  const carbon = carbonOf(alkalinity, 10 ** -ph, cyanuricAcidMgL, buffer)
  const lower = 10 ** (PH_STEP - ph)
  // an acid takes alkalinity, carbon dioxide adds carbon
  return feeder.kind === 'co2'
    ? PH_STEP / (carbonOf(alkalinity, lower, cyanuricAcidMgL, buffer) - carbon)
    : PH_STEP / (alkalinity - alkalinityOf(carbon, lower, cyanuricAcidMgL, buffer))
}
/** Of water below it the answer to come is that at the set point. Common practice, no source. */
const PH_AT_SET_POINT = 7.4
/** Small enough that the water answers in proportion. */
const PH_STEP = 0.05

interface Worked {
  mixingMin: number
  waitMin: number
  onTimeMin: number
  share: number
  band: number
  dose: number
  perUnit: number
  rate: number
  verdict: FeedTuning['verdict']
}

function workingOf(given: TuningCase, worked: Worked): Phrase[] {
  const { feeder, dailyUse } = given
  const { mixingMin, share, band, rate, verdict } = worked
  const value = feeder.role === 'ph' ? 'pH' : 'ORP'
  const told = (distance: number) => distanceWords(distance, feeder.role)
  const lines = [
    say('A dose mixes with a time constant of {0}: a sixth of the turnover.', quantified(mixingMin, 'min')),
    ...(feeder.kind === 'saltGenerator'
      ? [
          say(
            `It runs without a wait and is turned down over a band of ${told(band)}, so that ${value} does not swing.`,
          ),
        ]
      : turnsWords(given, worked)),
  ]
  if (dailyUse !== null && verdict === 'fits') {
    const short = told((band * dailyUse) / 1440 / (rate * share))
    lines.push(say(`On a usual day it stands ${short} short of its set point: that is what makes it feed, no fault.`))
  }
  if (verdict === 'tooSmall') lines.push(tooSmall(given, worked))
  if (verdict === 'tooLarge') {
    lines.push(
      say('The on-time is shorter than pumps are switched for: turn the stroke down, or fit a smaller feeder.'),
    )
  }
  return lines
}

function turnsWords({ feeder }: TuningCase, { onTimeMin, waitMin, share, band, dose, perUnit }: Worked): Phrase[] {
  const isPh = feeder.role === 'ph'
  const value = isPh ? 'pH' : 'ORP'
  const moves = dose * perUnit
  const isWhole = moves > 0.99 * (isPh ? LARGEST_MOVE.ph : LARGEST_MOVE.mv)
  const on = `One on-time of ${minutesWords(onTimeMin)} moves ${value} by ${distanceWords(moves, feeder.role)}`
  return [
    say(isWhole ? `${on}: that much it may be over without harm.` : `${on} only.`),
    isWhole
      ? say('After a wait of {0} most of the dose is mixed and seen.', quantified(waitMin, 'min'))
      : say(
          'So it may feed again after {0}, before all of the dose is seen; meanwhile the other feed has its turn.',
          quantified(waitMin, 'min'),
        ),
    say(
      `It feeds {0} of the time at most; with a band of ${distanceWords(band, feeder.role)} it comes to its set point without swinging.`,
      quantified(share * 100, '%'),
    ),
  ]
}

const tooSmall = ({ feeder }: TuningCase, { onTimeMin }: Worked) =>
  onTimeMin >= LONGEST_ON_MIN || feeder.kind === 'saltGenerator'
    ? say('So set it cannot give what a busy hour takes: fit a larger feeder, or a stronger product.')
    : say(
        'So set it cannot give what a busy hour takes, and more at once overshoots, because the water mixes so slowly: see that the flow is what it should be, and feed ahead of busy hours.',
      )

import type { Phrase } from '../finding.ts'
import { quantified, say } from '../findings/make.ts'
import { alkalinityOf, bufferAt, carbonOf } from '../plant/carbonate.ts'
import { MG_CACO3_PER_MEQ } from '../plant/constants.ts'
import { spreadingMinutes } from '../plant/water.ts'
import type { BodyFacts, FeederFacts } from '../snapshot.ts'
import { acidMeqPerL, activeGPerL } from './product.ts'

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

/** One on-time should move the value by no more than this: what a set point can be over by without harm. Common practice, no source. */
const LARGEST_MOVE = { mv: 10, ph: 0.1 }
/** Four fifths of a dose are mixed after one and a half times the mixing time; the band answers for the rest. */
const SEEN_TIMES = 1.5
/** A probe in its cell answers within about so long. From memory. */
const PROBE_MIN = 6
const SHORTEST_WAIT_MIN = 10
/** Band over τ × rate: 2 is a damping of 0.7, 4 is critical. */
const DAMPING = 2
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
 * On-time, wait and proportional band that reach the set point without overshoot. The dose of one on-time moves the value
 * by no more than it may be over; the wait lets it mix and be seen; the band damps the loop: a feed proportional to the
 * distance, K per minute, into water that mixes with time constant τ overshoots by 4 % at K = 1/(2τ) and by more beyond (a
 * textbook second-order loop with damping 0.7, computed).
 * @returns null where rate, strength or volume are not known
 */
export function feedTuning(given: TuningCase): FeedTuning | null {
  const rate = ratePerMin(given)
  const { volumeL, flowLMin } = given.body
  if (rate === null || !volumeL || !flowLMin) return null
  const isPh = given.feeder.role === 'ph'
  const perUnit = movePerUnit(given)
  const mixingMin = spreadingMinutes({ volumeL, flowLMin })
  const lagMin = mixingMin + PROBE_MIN
  const largest = isPh ? LARGEST_MOVE.ph : LARGEST_MOVE.mv
  // a generator runs on and is turned down; it has no wait
  const steady = given.feeder.kind === 'saltGenerator'
  const waitMin = steady ? 0 : Math.max(SHORTEST_WAIT_MIN, Math.round(SEEN_TIMES * mixingMin + PROBE_MIN))
  const onTimeMin = steady ? STEADY_MIN : Math.min(LONGEST_ON_MIN, largest / perUnit / rate)
  const share = onTimeMin / (onTimeMin + waitMin)
  const band = Math.max(largest, DAMPING * lagMin * rate * share * perUnit)
  const dose = onTimeMin * rate
  const litres = given.feeder.rateLH ? (given.feeder.rateLH / 60) * onTimeMin : null
  const busy = given.dailyUse === null ? null : (BUSY_TIMES * given.dailyUse) / 1440
  const verdict = onTimeMin < SHORTEST_ON_MIN ? 'tooLarge' : busy !== null && rate * share < busy ? 'tooSmall' : 'fits'
  return {
    largestDose: { litres, mgL: isPh ? null : dose, meqL: isPh ? dose : null, moves: dose * perUnit },
    onTimeMin,
    waitMin,
    band,
    verdict,
    working: workingOf(given, { mixingMin, waitMin, onTimeMin, share, band, dose, perUnit, busy, rate, verdict }),
  }
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

/** mV for each mg/L at the target, or pH for each meq/L at the pH of the water. */
function movePerUnit({ feeder, water, targetMgL, slopeMv }: TuningCase): number {
  if (feeder.role !== 'ph') return (slopeMv ?? USUAL_SLOPE_MV) / Math.LN10 / Math.max(0.3, targetMgL)
  const { cyanuricAcidMgL, ph } = water
  const buffer = bufferAt(water.tempC, water.tdsMgL, water.calciumHardnessMgL)
  const alkalinity = water.totalAlkalinityMgL / MG_CACO3_PER_MEQ
  const carbon = carbonOf(alkalinity, 10 ** -ph, cyanuricAcidMgL, buffer)
  const lower = 10 ** (PH_STEP - ph)
  // an acid takes alkalinity, carbon dioxide adds carbon
  return feeder.kind === 'co2'
    ? PH_STEP / (carbonOf(alkalinity, lower, cyanuricAcidMgL, buffer) - carbon)
    : PH_STEP / (alkalinity - alkalinityOf(carbon, lower, cyanuricAcidMgL, buffer))
}
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
  busy: number | null
  rate: number
  verdict: FeedTuning['verdict']
}

function workingOf({ feeder }: TuningCase, worked: Worked): Phrase[] {
  const isPh = feeder.role === 'ph'
  const unit = isPh ? ('pH' as const) : ('mV' as const)
  const value = isPh ? 'pH' : 'ORP'
  const { mixingMin, waitMin, onTimeMin, share, band, dose, perUnit, verdict } = worked
  const lines = [
    say('A dose mixes with a time constant of {0}: a sixth of the turnover.', quantified(mixingMin, 'min')),
    say(
      `One on-time of {0} moves ${value} by {1}: that much it may be over without harm.`,
      quantified(onTimeMin, 'min'),
      quantified(dose * perUnit, unit),
    ),
    say('After a wait of {0} most of the dose is mixed and seen.', quantified(waitMin, 'min')),
    say(
      `So it feeds {0} of the time at most; with a band of {1} ${value} comes to its set point without swinging.`,
      quantified(share * 100, '%'),
      quantified(band, unit),
    ),
  ]
  if (verdict === 'tooSmall') {
    lines.push(say('So set it cannot give what a busy hour takes: allow a longer on-time, or fit a larger feeder.'))
  }
  if (verdict === 'tooLarge') {
    lines.push(
      say('The on-time is shorter than pumps are switched for: turn the stroke down, or fit a smaller feeder.'),
    )
  }
  return lines
}

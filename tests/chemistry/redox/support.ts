import {
  chlorineSpecies,
  type HourRecord,
  type Measured,
  type ProbeWork,
  type ProbeWorkKind,
  type RedoxPair,
  type RedoxRecord,
  type RedoxWater,
  type SetPointAim,
} from '@sightglass/chemistry'
import { DAY, HOUR, NOW } from '../support.ts'

export { DAY, HOUR, NOW }

export const daysAgo = (days: number) => NOW - days * DAY

/** A probe as it might be: what it shows follows from the water by these numbers and nothing else. */
export interface Probe {
  /** mV in 0.3 mg/L of hypochlorous acid at pH 7.2 and 27 °C. */
  offsetMv: number
  slopeMv: number
  phMv: number
  tempMv: number
}
export const PROBE: Probe = { offsetMv: 745, slopeMv: 45, phMv: -25, tempMv: 0 }
export const WATER: RedoxWater = { sanitizerMgL: 2.5, ph: 7.4, cyanuricAcidMgL: 0, tempC: 27, tdsMgL: 1000 }

/** What that probe shows, mV, without noise. */
export function shows(water: RedoxWater, probe: Probe = PROBE): number {
  const { sanitizerMgL, ...rest } = water
  const acid = chlorineSpecies({ freeChlorineMgL: sanitizerMgL, ...rest }).hypochlorousMgL
  return (
    probe.offsetMv +
    probe.slopeMv * Math.log10(acid / 0.3) +
    probe.phMv * (water.ph - 7.2) +
    probe.tempMv * (water.tempC - 27)
  )
}

/** The free chlorine at which that probe stands at a value. */
export function chlorineFor(orpMv: number, water: RedoxWater, probe: Probe = PROBE): number {
  let [low, high] = [0.01, 50]
  for (let turn = 0; turn < 60; turn++) {
    const middle = Math.sqrt(low * high)
    if (shows({ ...water, sanitizerMgL: middle }, probe) < orpMv) low = middle
    else high = middle
  }
  return Math.sqrt(low * high)
}

const measured = (value: number, atMs: number): Measured => ({ value, atMs })

/** A test of everything at one time, and what was shown then. */
export function pair(
  atMs: number,
  water: Partial<RedoxWater>,
  given: { orpMv?: number | null; shownPh?: number | null; combinedMgL?: number | null } = {},
): RedoxPair {
  const whole = { ...WATER, ...water }
  const { orpMv = shows(whole), shownPh = whole.ph, combinedMgL = 0.1 } = given
  return {
    atMs,
    test: {
      sanitizerMgL: whole.sanitizerMgL,
      combinedChlorineMgL: combinedMgL,
      ph: measured(whole.ph, atMs),
      cyanuricAcidMgL: whole.cyanuricAcidMgL > 0 ? measured(whole.cyanuricAcidMgL, atMs) : null,
      tempC: measured(whole.tempC, atMs),
      tdsMgL: measured(whole.tdsMgL, atMs),
    },
    orp: orpMv === null ? null : { from: 'display', value: orpMv, spread: null },
    ph: shownPh === null ? null : { from: 'display', value: shownPh, spread: null },
  }
}

/** A small generator with a seed. */
export function seeded(seed: number) {
  let state = (seed * 2654435761) >>> 0
  const next = () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0
    return ((state ^ (state >>> 15)) >>> 0) / 2 ** 32
  }
  for (let turn = 0; turn < 8; turn++) next()
  const normal = () => Math.sqrt(-2 * Math.log(next() + 1e-12)) * Math.cos(2 * Math.PI * next())
  return { next, normal, between: (low: number, high: number) => low + next() * (high - low) }
}

/** `count` tests over so many days, the last an hour ago: chlorine goes up and down by half, the test kit reads 4 % off. */
export function pairsOf(
  count: number,
  given: {
    days?: number
    seed?: number
    probe?: Probe
    water?: Partial<RedoxWater>
    /** mV on top, by how many days ago. */
    drift?: (daysAgo: number) => number
    at?: (daysAgo: number) => Partial<RedoxWater>
    noiseMv?: number
  } = {},
): RedoxPair[] {
  const { days = 60, seed = 1, probe = PROBE, water = {}, drift = () => 0, at = () => ({}), noiseMv = 1 } = given
  const random = seeded(seed)
  return Array.from({ length: count }, (_, index) => {
    const ago = ((count - 1 - index) / Math.max(1, count - 1)) * days + 1 / 24
    const true_ = { ...WATER, ...water, ...at(ago) }
    true_.sanitizerMgL *= 1.5 ** random.between(-1, 1)
    const orpMv = shows(true_, probe) + drift(ago) + noiseMv * random.normal()
    const tested = { ...true_, sanitizerMgL: true_.sanitizerMgL * (1 + 0.04 * random.normal()) }
    return pair(daysAgo(ago), tested, { orpMv })
  })
}

/** Tests of a body whose ORP a controller holds at `heldMv`: the chlorine is what answers. */
export function heldPairs(
  count: number,
  heldMv: number | ((daysAgo: number) => number),
  given: {
    days?: number
    seed?: number
    probe?: Probe
    water?: Partial<RedoxWater>
    drift?: (daysAgo: number) => number
  } = {},
): RedoxPair[] {
  const { days = 60, seed = 1, probe = PROBE, water = {}, drift = () => 0 } = given
  const random = seeded(seed)
  return Array.from({ length: count }, (_, index) => {
    const ago = ((count - 1 - index) / Math.max(1, count - 1)) * days + 1 / 24
    const surroundings = { ...WATER, ...water }
    const held = typeof heldMv === 'number' ? heldMv : heldMv(ago)
    const chlorine = chlorineFor(held - drift(ago), surroundings, probe)
    return pair(
      daysAgo(ago),
      { ...surroundings, sanitizerMgL: chlorine * (1 + 0.04 * random.normal()) },
      { orpMv: Math.round(held + 1.5 * random.normal()) },
    )
  })
}

export const work = (kind: ProbeWorkKind, ago: number, slopePct?: number): ProbeWork => ({
  kind,
  atMs: daysAgo(ago),
  ...(slopePct === undefined ? {} : { slopePct }),
})

export const record = (given: Partial<RedoxRecord> = {}): RedoxRecord => ({
  oxidant: 'chlorine',
  cyanuricAcidUsed: false,
  pairs: [],
  work: [],
  setPoints: [],
  hours: [],
  ...given,
})

export const AIM: SetPointAim = { targetMgL: 2.5, orpMinMv: null, orpMaxMv: null, phSetPoint: 7.4 }

/** Hours until now in which ORP stands at its set point; `each` changes some by how many hours ago. */
export const hoursOf = (count: number, each: (hoursAgo: number) => Partial<HourRecord> = () => ({})): HourRecord[] =>
  Array.from({ length: count }, (_, index) => {
    const ago = count - index
    const wiggle = (index % 5) - 2
    return {
      hourMs: NOW - ago * HOUR,
      samples: 12,
      coveredMin: 60,
      ph: { min: 7.38, mean: 7.4 + 0.004 * wiggle, max: 7.42 },
      orpMv: { min: 717, mean: 720 + 0.4 * wiggle, max: 723 },
      freeChlorineMgL: null,
      tempC: { min: 26.9, mean: 27, max: 27.1 },
      flowLMin: null,
      phSetPoint: 7.4,
      orpSetPointMv: 720,
      sanitizerFeedMin: 3,
      backupFeedMin: null,
      phFeedMin: 2,
      noFlowMin: 0,
      feedWithoutFlowMin: 0,
      bothFeedsMin: 0,
      ...each(ago),
    }
  })

export const texts = (reasons: readonly { text: string }[]) => reasons.map(({ text }) => text).join(' | ')

import type { RedoxPair, RedoxRecord, RedoxWater } from '@sightglass/chemistry'
import { chlorineFor, daysAgo, type Probe, pair, record, seeded, shows, WATER } from './support.ts'

/** A body drawn at random, with a probe as theory believes probes to be, and what its tests would have shown. */
export interface Body {
  record: RedoxRecord
  probe: Probe
  /** The water as it is now. */
  water: RedoxWater
  /** What the probe shows now in a water, mV, without noise. */
  shows: (water: RedoxWater) => number
}

/** Standard deviations of what is drawn: those that the model believes before it sees a pair (theory.ts), and the errors that it takes
 * a usual test kit to have (observations.ts, history.ts). Drawn from anything else, no interval could be held to its share. */
const DRAWN = {
  probe: (normal: () => number): Probe => ({
    offsetMv: 750 + 40 * normal(),
    slopeMv: Math.max(10, 29.6 + 15 * normal()),
    phMv: Math.min(0, -29.6 + 15 * normal()),
    tempMv: 0.8 * normal(),
  }),
  noiseMv: (normal: () => number) => 1.5 * 2 ** (normal() / 2),
  wanderMv: (normal: () => number) => 0.8 * 2 ** (normal() / 2),
} as const

/**
 * @param held a controller holds the ORP, and the sanitizer is what answers
 * @param count tests, two or three days apart, the last an hour ago
 */
export function bodyOf(seed: number, count: number, held: boolean): Body {
  const { normal, between, next } = seeded(seed)
  const probe = DRAWN.probe(normal)
  const [noiseMv, wanderMv] = [DRAWN.noiseMv(normal), DRAWN.wanderMv(normal)]
  const cyanuricAcidMgL = next() < 0.5 ? 0 : between(20, 70)
  const usual = { ...WATER, ph: between(7.2, 7.6), tempC: between(24, 30), cyanuricAcidMgL }
  const setMv = shows({ ...usual, sanitizerMgL: between(1.5, 4) }, probe)
  const pairs: RedoxPair[] = []
  const setPoints: { atMs: number; orpMv: number }[] = []
  let offset = 0
  let water = usual
  let nowMv = setMv
  for (let index = 0; index < Math.max(1, count); index++) {
    const ago = (Math.max(1, count) - 1 - index) * 2.5 + 1 / 24
    if (index > 0) offset += wanderMv * Math.sqrt(2.5) * normal()
    // every other week the set point is moved, to hold about what is wanted
    if (held && index % 6 === 0) {
      nowMv = setMv + offset + 0.2 * probe.slopeMv * normal()
      setPoints.push({ atMs: daysAgo(ago + 1), orpMv: nowMv })
    }
    const surroundings = { ...usual, ph: usual.ph + 0.08 * normal(), tempC: usual.tempC + normal() }
    const sanitizerMgL = held
      ? Math.min(12, Math.max(0.3, chlorineFor(nowMv - offset + noiseMv * normal(), surroundings, probe)))
      : 2.2 * 1.8 ** between(-1, 1)
    water = { ...surroundings, sanitizerMgL }
    if (count === 0) break
    const tested = {
      ...water,
      sanitizerMgL: Math.max(0.15, sanitizerMgL * (1 + 0.04 * normal()) + 0.08 * normal()),
      ph: water.ph + 0.03 * normal(),
      cyanuricAcidMgL: cyanuricAcidMgL * (1 + 0.08 * normal()),
    }
    const orpMv = shows(water, probe) + offset + (held ? 0 : noiseMv * normal()) + 1.5 * normal()
    pairs.push(pair(daysAgo(ago), tested, { orpMv, shownPh: water.ph + 0.02 * normal() }))
  }
  return {
    record: record({ pairs, setPoints, cyanuricAcidUsed: cyanuricAcidMgL > 0 }),
    probe,
    water,
    shows: (where) => shows(where, probe) + offset,
  }
}

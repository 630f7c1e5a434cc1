// What a database would hold of a plant's probes: tests with what was shown then, work, set points, hours.
import type {
  HourRecord,
  LatestSample,
  Measured,
  Parameter,
  RedoxPair,
  RedoxRecord,
  SetPointAim,
  SetPointChange,
  Shown,
} from '@sightglass/chemistry'
import type { TestReading } from '@sightglass/chemistry/plant'
import type { PlantLife } from '../../../seed/src/faults/plants.ts'
import type { Observed } from './observe.ts'

const MINUTE = 60_000
const DAY = 24 * 60 * MINUTE
/** How far back pairs are given. */
const PAIR_DAYS = 90

export const aimOf = ({ plant }: PlantLife): SetPointAim => ({
  targetMgL: plant.target.sanitizerMgL,
  orpMinMv: null,
  orpMaxMv: null,
  phSetPoint: plant.controller?.phSetPoint ?? null,
})

/** The pairs of an observed plant are made once; a record is what of them lies before a time. */
export function redoxRecords(
  observed: Pick<Observed, 'samples' | 'readings' | 'hours' | 'work'> & { life: Pick<PlantLife, 'plant'> },
) {
  const { life, samples, readings, hours, work } = observed
  const { sanitizerSystem, target } = life.plant
  const pairs = pairsOf(readings, samples)
  const setPoints = setPointsOf(hours)
  return (nowMs: number): RedoxRecord => ({
    oxidant: sanitizerSystem === 'bromine' ? 'bromine' : 'chlorine',
    cyanuricAcidUsed: target.cyanuricAcidMgL > 0,
    pairs: pairs.filter(({ atMs }) => atMs <= nowMs && atMs > nowMs - PAIR_DAYS * DAY),
    work: work.filter(({ atMs }) => atMs <= nowMs),
    setPoints: setPoints.filter(({ atMs }) => atMs <= nowMs),
    hours: hours.filter(({ hourMs }) => hourMs <= nowMs - 60 * MINUTE),
  })
}

function setPointsOf(hours: readonly HourRecord[]): SetPointChange[] {
  const changes: SetPointChange[] = []
  for (const { hourMs, orpSetPointMv } of hours) {
    if (orpSetPointMv !== null && changes.at(-1)?.orpMv !== orpSetPointMv)
      changes.push({ atMs: hourMs, orpMv: orpSetPointMv })
  }
  return changes
}

export function pairsOf(readings: readonly TestReading[], samples: readonly LatestSample[]): RedoxPair[] {
  const carried: Partial<Record<Parameter, Measured>> = {}
  let from = 0
  return readings.map(({ atMs, by, values, displayOrpMv, displayPh }) => {
    for (const parameter of ['ph', 'cyanuricAcidMgL', 'tempC', 'tdsMgL'] as const) {
      const value = values[parameter]
      if (value !== undefined) carried[parameter] = { value, atMs }
    }
    while (from < samples.length && (samples[from] as LatestSample).atMs < atMs - 15 * MINUTE) from++
    const around: LatestSample[] = []
    for (let at = from; at < samples.length && (samples[at] as LatestSample).atMs <= atMs + 15 * MINUTE; at++) {
      const sample = samples[at] as LatestSample
      if (sample.flowOn !== false) around.push(sample)
    }
    const total = values.totalChlorineMgL
    const free = values.freeChlorineMgL
    // only technicians write down what the display shows
    const display = by === 'technician'
    return {
      atMs,
      test: {
        sanitizerMgL: free ?? values.bromineMgL ?? null,
        combinedChlorineMgL: total !== undefined && free !== undefined ? Math.max(0, total - free) : null,
        ph: carried.ph ?? null,
        cyanuricAcidMgL: carried.cyanuricAcidMgL ?? null,
        tempC: carried.tempC ?? null,
        tdsMgL: carried.tdsMgL ?? null,
      },
      orp: shownOf(
        display ? displayOrpMv : null,
        around.map(({ orpMv }) => orpMv),
      ),
      ph: shownOf(
        display ? displayPh : null,
        around.map(({ ph }) => ph),
      ),
    }
  })
}

function shownOf(display: number | null, samples: readonly (number | null)[]): Shown | null {
  if (display !== null) return { from: 'display', value: display, spread: null }
  const known = samples.filter((value) => value !== null).sort((a, b) => a - b)
  const [min, max] = [known[0], known[known.length - 1]]
  const value = known[known.length >> 1]
  return value === undefined || min === undefined || max === undefined
    ? null
    : { from: 'samples', value, spread: { min, max } }
}

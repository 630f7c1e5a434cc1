import type { DrumFacts, DrumLevel, RunTime, TuningCase } from '@sightglass/chemistry'
import { DAY, drum, NOW, POOL } from '../support.ts'

/** 100 m³ turned over in four hours, a pump of 8 L/h. */
const BODY = { ...POOL, volumeL: 100_000, flowLMin: 100_000 / 240 }
export const WATER = {
  sanitizerMgL: 2,
  ph: 7.5,
  totalAlkalinityMgL: 80,
  calciumHardnessMgL: 250,
  cyanuricAcidMgL: 0,
  tdsMgL: 1000,
  tempC: 27,
}
export const CHLORINE: TuningCase = {
  body: BODY,
  feeder: { role: 'primary', kind: 'pump', rateLH: 8, drum: { ...drum('sodiumHypochlorite'), strengthPct: 10 } },
  water: WATER,
  targetMgL: 2,
  dailyUse: 3,
  slopeMv: null,
}
export const ACID: TuningCase = {
  ...CHLORINE,
  feeder: { role: 'ph', kind: 'pump', rateLH: 8, drum: drum('hydrochloricAcid') },
  dailyUse: 0.1,
}
export const acidAt = (totalAlkalinityMgL: number): TuningCase => ({ ...ACID, water: { ...WATER, totalAlkalinityMgL } })

/** A spa of 4 m³ turned over in half an hour, with a pump of 1 L/h. */
const SPA = { ...POOL, useClass: 'spa' as const, volumeL: 4000, flowLMin: 4000 / 30 }
const SPA_WATER = { ...WATER, sanitizerMgL: 3, tempC: 38 }
export const SPA_CHLORINE: TuningCase = {
  body: SPA,
  feeder: { ...CHLORINE.feeder, rateLH: 1 },
  water: SPA_WATER,
  targetMgL: 3,
  dailyUse: 12,
  slopeMv: null,
}
export const SPA_ACID: TuningCase = {
  ...SPA_CHLORINE,
  feeder: { ...ACID.feeder, rateLH: 1 },
  dailyUse: 0.3,
}

/** A drum of 200 L: filled up at the first visits, read two days ago; the pump ran an hour a day, and half an hour more since. */
const LEVELS: DrumLevel[] = [
  { atMs: NOW - 21 * DAY, levelL: 180, deliveredL: 0 },
  { atMs: NOW - 14 * DAY, levelL: 180, deliveredL: 56 },
  { atMs: NOW - 7 * DAY, levelL: 180, deliveredL: 60 },
  { atMs: NOW - 2 * DAY, levelL: 138, deliveredL: 0 },
]
export const DRUM: DrumFacts = drum('sodiumHypochlorite', LEVELS)
export const RUN: RunTime = (fromMs, toMs) => {
  const since = NOW - 2 * DAY
  const before = Math.max(0, Math.min(toMs, since) - fromMs) / DAY
  const after = Math.max(0, toMs - Math.max(fromMs, since)) / DAY
  return before * 60 + after * 90
}

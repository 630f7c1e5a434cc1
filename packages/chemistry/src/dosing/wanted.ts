import type { Citation } from '../finding.ts'
import { CYANURIC_ACID_SEEN_MGL } from '../findings/facts.ts'
import type { CodeProfile, LimitedThing, LimitRule, WaterNow } from '../profile.ts'
import { conditionFits, limitRangeFor, limitRulesFor } from '../profiles/lookup.ts'
import type { BodyFacts } from '../snapshot.ts'
import { LIMITED_THING_WORDS } from '../words.ts'

/** What a plan of doses brings into a range. */
export const WANTED_THINGS = [
  'freeChlorineMgL',
  'bromineMgL',
  'combinedChlorineMgL',
  'ph',
  'totalAlkalinityMgL',
  'calciumHardnessMgL',
  'cyanuricAcidMgL',
  'tdsMgL',
  'saturationIndex',
] as const satisfies readonly LimitedThing[]
export type WantedThing = (typeof WANTED_THINGS)[number]

/** Nothing is dosed while a value lies between min and max: that is wider than what test kits scatter. */
export interface WantedRange {
  min: number | null
  max: number | null
  /** Where a dose ends that comes from below the minimum. */
  fromBelow: number
  /** Where it ends that comes from above the maximum. */
  fromAbove: number
  /** Over this bathers may not use the water; null or absent where no rule says so. */
  closesOver?: number | null
}

/** Whether nothing need be dosed for a value; `margin`: that far from either end. */
export const isWithin = (value: number, { min, max }: WantedRange, margin = 0): boolean =>
  (min === null || value >= min + margin) && (max === null || value <= max - margin)

/** Where a dose ends that brings a value into its range; null while it is inside. */
export function aimInto(value: number, { min, max, fromBelow, fromAbove }: WantedRange): number | null {
  if (min !== null && value < min) return fromBelow
  return max !== null && value > max ? fromAbove : null
}

export interface Wanted {
  ranges: Partial<Record<WantedThing, WantedRange>>
  /** Free chlorine must be at least cyanuric acid divided by this; null without such a limit. */
  cyanuricAcidPerChlorine: number | null
  /** Whose rule it is that no cyanuric acid may be used here; null where it may. */
  cyanuricAcidForbidden: Citation | null
}

const MOST = Number.POSITIVE_INFINITY

/**
 * Where pools are usually held, inside the limits. 10 NYCRR 6-1.30 controls alkalinity at 80–120 and hardness at 180–250 mg/L; the
 * rest is common practice, no source: pH 7.4 because carbon dioxide leaves and pH climbs by itself, the index near even.
 */
const USUAL: Partial<Record<WantedThing, readonly [fromBelow: number, fromAbove: number]>> = {
  ph: [7.4, 7.4],
  totalAlkalinityMgL: [80, MOST],
  calciumHardnessMgL: [200, MOST],
  cyanuricAcidMgL: [30, MOST],
  saturationIndex: [-0.3, 0.3],
}
/** How far inside a limit a dose ends at least: a tenth of the limit, or of the range where that is less. Common practice, no
 * source. */
const MARGIN_SHARE = 0.1
/** Sanitizer is used up until the next test: half as much again as the minimum, at least this more. Common practice, no source. */
const SANITIZER_RESERVE_MGL = 1

/** The ranges that a code profile sets for a body, each with where inside it a dose should end.
 * @param water where it is known: some limits depend on pH or temperature */
export function wantedRanges(profile: CodeProfile, body: BodyFacts, water?: WaterNow): Wanted {
  const forbidden = profile.cyanuricAcidForbidden.find(({ when }) => conditionFits(when, body, water)) ?? null
  const limits = (thing: LimitedThing) => limitRangeFor(profile, body, thing, water)
  const ranges: Wanted['ranges'] = {}
  for (const thing of WANTED_THINGS) {
    const { min, max } = limits(thing)
    const range = rangeOf(thing, min, max)
    if (range) ranges[thing] = range
  }
  const total = limits('totalChlorineMgL').max
  const free = ranges.freeChlorineMgL
  if (free && total && (free.max === null || total.value < free.max)) {
    ranges.freeChlorineMgL = { ...free, ...rangeFrom('freeChlorineMgL', free.min, total.value) }
  }
  for (const rule of limitRulesFor(profile, body, water)) {
    const range = rule.side === 'max' && rule.effect === 'close' ? ranges[rule.thing as WantedThing] : undefined
    if (range) range.closesOver = rule.value
  }
  if (forbidden) ranges.cyanuricAcidMgL = NO_CYANURIC_ACID
  return {
    ranges,
    cyanuricAcidPerChlorine: limits('cyanuricAcidToChlorineRatio').max?.value ?? null,
    cyanuricAcidForbidden: forbidden?.citation ?? null,
  }
}

/** Where none may be used, what a test cannot tell from none is none. */
const NO_CYANURIC_ACID: WantedRange = {
  min: null,
  max: CYANURIC_ACID_SEEN_MGL,
  fromBelow: 0,
  fromAbove: CYANURIC_ACID_SEEN_MGL,
}

const rangeOf = (thing: WantedThing, min: LimitRule | null, max: LimitRule | null): WantedRange | null =>
  min || max ? rangeFrom(thing, min?.value ?? null, max?.value ?? null) : null

/** A range with its aims from its two limits. */
export function rangeFrom(thing: WantedThing, min: number | null, max: number | null): WantedRange {
  const width = min !== null && max !== null ? Math.max(0, max - min) : MOST
  const margin = (limit: number) => MARGIN_SHARE * Math.min(width, Math.abs(limit))
  const low = min === null ? -MOST : min + margin(min)
  const high = max === null ? MOST : max - margin(max)
  const [fromBelow, fromAbove] = USUAL[thing] ?? [sanitizerAim(min), MOST]
  // limits that leave nothing between them: their middle
  const inside = (aim: number) => (low > high ? (low + high) / 2 : Math.min(high, Math.max(low, aim)))
  return { min, max, fromBelow: inside(fromBelow), fromAbove: inside(max === null ? fromBelow : fromAbove) }
}

const sanitizerAim = (min: number | null) => (min === null ? 0 : min + Math.max(SANITIZER_RESERVE_MGL, min / 2))

/** How each is spoken of; starts a sentence. */
export const startWords = (thing: WantedThing): string =>
  thing === 'saturationIndex' ? 'The saturation index' : LIMITED_THING_WORDS[thing]

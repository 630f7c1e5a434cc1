import { CAUTION_KEYS, type FeedView } from '@sightglass/chemistry'
import { z } from 'zod'
import { phrase } from './judgement.ts'
import { drumContent, feederKind, feederRole, id } from './primitives.ts'
import { evidenceLine } from './redoxView.ts'

const number = z.number()
const orNull = number.nullable()
const range = z.object({ low: number, typical: number, high: number })

const forecast = z.object({
  levelL: number,
  lastLevelL: number,
  lastLevelAtMs: number,
  useLPerDay: range,
  daysLeft: z.object({ low: orNull, typical: orNull, high: orNull }),
  from: z.enum(['runTime', 'levels']),
  run: z.object({ litresPerHour: range, minutesPerDay: range }).nullable(),
  doubt: z.enum(['rose', 'fell']).nullable(),
})

const plan = z.object({
  content: drumContent,
  fillL: range,
  fillKg: range.nullable(),
  lasts: z.enum(['sure', 'unsure', 'no', 'unknown']),
  latestMs: orNull,
  orderMs: orNull,
})

const drumView = z.object({
  drum: z.object({ id, name: z.string(), content: drumContent, capacityL: number }),
  feeders: z.array(z.string()),
  levels: z.array(z.object({ atMs: number, levelL: number, deliveredL: number })),
  readEmpty: z.boolean(),
  forecast: forecast.nullable(),
  course: z.array(z.object({ atMs: number, ...range.shape })),
  plan: plan.nullable(),
  wear: z.object({ ratio: number, beforeLH: number, nowLH: number, sinceMs: number, gradual: z.boolean() }).nullable(),
  told: z.array(phrase),
  evidence: z.array(evidenceLine),
})

const settings = z.object({ onTimeMin: number, waitMin: number, band: number })
const series = z.object({
  atMs: z.array(number),
  value: z.array(number),
  sanitizerMgL: z.array(number),
  feedMin: z.array(number),
  setPoint: number,
  overshoot: number,
  reachedMin: orNull,
})

const tuningView = z.object({
  feeder: z.object({ id, name: z.string(), role: feederRole, kind: feederKind }),
  unit: z.enum(['mV', 'pH']),
  today: settings.nullable(),
  advised: settings
    .extend({
      largestDose: z.object({ litres: orNull, mgL: orNull, meqL: orNull, moves: number }),
      verdict: z.enum(['fits', 'tooSmall', 'tooLarge']),
      working: z.array(phrase),
    })
    .nullable(),
  start: z.object({ nowMs: number, hours: number, setPoint: number, sanitizerMgL: number, ph: number }).nullable(),
  run: z.object({ now: series.nullable(), advised: series }).nullable(),
  told: phrase.nullable(),
  assumed: z.array(phrase),
  missing: z.array(phrase),
  cautions: z.array(z.enum(CAUTION_KEYS)),
})

/** Feed, drums and feed settings of one body, as the chemistry package makes them; its times are milliseconds since 1970. */
export const feedView: z.ZodType<FeedView> = z.object({
  atMs: number,
  missing: z.array(phrase),
  days: z.array(z.object({ fromMs: number, heardMin: number })),
  effort: z.array(
    z.object({
      role: feederRole,
      feeders: z.array(z.object({ id, name: z.string(), kind: feederKind })),
      minPerDay: z.array(orNull),
      usualMinPerDay: orNull,
    }),
  ),
  drums: z.array(drumView),
  tuning: z.array(tuningView),
})

import { INCIDENT_KINDS, PARAMETERS, QUANTITIES, type RedoxJudgement, type Snapshot } from '@sightglass/chemistry'
import { z } from 'zod'
import { found } from './judgement.ts'
import {
  drumContent,
  feederKind,
  feederRole,
  id,
  instant,
  sanitizerSystem,
  setting,
  severalWords,
  useClass,
} from './primitives.ts'
import { profile } from './profiles.ts'

const number = z.number().nullable()
const measured = z.object({ value: z.number(), atMs: z.number() })
const spread = z.object({ min: z.number(), mean: z.number(), max: z.number() }).nullable()

const latestSample = z.object({
  atMs: z.number(),
  ph: number,
  orpMv: number,
  freeChlorineMgL: number,
  tempC: number,
  flowLMin: number,
  flowOn: z.boolean().nullable(),
  sanitizerFeedPct: number,
  backupFeedPct: number,
  phFeedPct: number,
  phSetPoint: number,
  orpSetPointMv: number,
})

const hourRecord = z.object({
  hourMs: z.number(),
  samples: z.number(),
  coveredMin: z.number(),
  ph: spread,
  orpMv: spread,
  freeChlorineMgL: spread,
  tempC: spread,
  flowLMin: spread,
  phSetPoint: number,
  orpSetPointMv: number,
  sanitizerFeedMin: number,
  backupFeedMin: number,
  phFeedMin: number,
  noFlowMin: number,
  feedWithoutFlowMin: number,
  bothFeedsMin: number,
})

const drum = z.object({
  id,
  name: z.string(),
  content: drumContent,
  capacityL: z.number(),
  levels: z.array(z.object({ atMs: z.number(), levelL: z.number(), deliveredL: z.number() })),
})

const incidentFacts = z.object({
  id,
  kind: z.enum(INCIDENT_KINDS),
  atMs: z.number(),
  instruction: z.object({ freeChlorineMgL: z.number(), holdMin: z.number(), phMax: number, by: z.string() }).nullable(),
  readings: z.array(z.object({ atMs: z.number(), freeChlorineMgL: z.number(), ph: number, tempC: number })),
})

/** What chemistry worked out of the probes, handed through as it made it. */
const redox = z.looseObject({ atMs: z.number() }) as unknown as z.ZodType<RedoxJudgement>

/** All that is known of one body, as the chemistry package judges it; its times are milliseconds since 1970. */
export const snapshot: z.ZodType<Snapshot> = z.object({
  body: z.object({
    useClass,
    setting,
    sanitizerSystem,
    cyanuricAcidUsed: z.boolean(),
    volumeL: number,
    flowLMin: number,
  }),
  tests: z.partialRecord(z.enum(PARAMETERS), measured),
  combinedChlorine: z.array(measured).optional(),
  lastTestAtMs: number,
  controller: z
    .object({
      channels: z.array(z.enum(QUANTITIES)).readonly(),
      lastHeardAtMs: number,
      latest: latestSample.nullable(),
      hours: z.array(hourRecord),
    })
    .nullable(),
  feeders: z.array(z.object({ id, name: z.string(), role: feederRole, kind: feederKind, drum: drum.nullable() })),
  incidents: z.array(incidentFacts),
  outOfUse: z.object({ fromMs: z.number(), toMs: number, reason: z.string() }).nullable(),
  redox: redox.optional(),
})

export const SNAPSHOTS_AT_ONCE = 100

/** The bodies whose snapshots are wanted, repeated or with commas between. */
export const snapshotsQuery = z.object({
  bodyId: z.preprocess(
    severalWords,
    z
      .array(id, 'must name the bodies of water')
      .max(SNAPSHOTS_AT_ONCE, `names more than ${SNAPSHOTS_AT_ONCE} bodies of water`),
  ),
})

/** What a browser needs to judge and to reckon by itself, with the same package as the server. */
export const snapshotsAnswer = z.object({
  at: instant,
  /** One for each body asked for, in that order. A retired body is not judged any more: it has no snapshot. `equipment`: what
   *  is found of feeders, flow, drums and probes, which rests on weeks that are not in the snapshot. */
  bodies: z.array(
    z.object({ bodyId: id, profileKey: z.string(), snapshot: snapshot.nullable(), equipment: z.array(found) }),
  ),
  /** The code profiles that these bodies are judged by, each once. */
  profiles: z.array(profile),
})
export type SnapshotsAnswer = z.infer<typeof snapshotsAnswer>

import { z } from 'zod'
import { reject } from './imports.ts'
import { id, instant, name } from './primitives.ts'
import { sampleValues } from './ranges.ts'

export const samplePush = z.object({
  /** Made by the gateway: the same batch sent again changes nothing. */
  batchId: id,
  samples: z
    .array(
      z.object({
        bodyId: id,
        at: instant,
        values: sampleValues.refine((v) => Object.keys(v).length > 0, 'holds no value'),
      }),
    )
    .min(1)
    .max(5000),
})
export const samplePushed = z.object({
  batchId: id,
  /** True when this batch had been taken before. */
  repeated: z.boolean(),
  stored: z.number().int(),
  same: z.number().int(),
  differing: z.number().int(),
  /** `line` is the sample's place in the batch, from 1. */
  rejected: z.array(reject),
})

export const gatewayCreate = z.object({ name, controllerIds: z.array(id).min(1).max(500) })
export const gateway = z.object({
  id,
  name,
  controllerIds: z.array(id),
  createdAt: instant,
  lastUsedAt: instant.nullable(),
  revokedAt: instant.nullable(),
})
/** The token is shown in this one answer and stored only as a hash. */
export const gatewayCreated = gateway.extend({ token: z.string() })
export type Gateway = z.infer<typeof gateway>

import { z } from 'zod'
import { body, facility } from './facilities.ts'
import { importRecord } from './imports.ts'
import { finding, standing } from './judgement.ts'
import { outOfUse } from './outOfUse.ts'
import { id, instant, name, quantity } from './primitives.ts'
import { reading } from './readings.ts'
import { triageView } from './triage.ts'

const drumState = z.object({
  drumId: id,
  name,
  content: z.string(),
  capacityL: z.number(),
  levelL: z.number().nullable(),
  levelAt: instant.nullable(),
  daysLeft: z.number().nullable(),
})

/** One parameter as last known, beside its range and whose range it is. */
const latestValue = z.object({
  thing: z.string(),
  value: z.number(),
  at: instant,
  source: z.enum(['test', 'controller', 'derived']),
  min: z.number().nullable(),
  max: z.number().nullable(),
  minCitation: z.string().nullable(),
  maxCitation: z.string().nullable(),
})

/** All that the page of one body shows. */
export const overview = z.object({
  body,
  facility,
  profileName: z.string(),
  standing: standing.nullable(),
  /** The time in which it is out of use, now or from then on; null in use. */
  outOfUse: outOfUse.nullable(),
  assessedAt: instant.nullable(),
  heardAt: instant.nullable(),
  view: triageView.nullable(),
  findings: z.array(finding),
  closedFindings: z.array(finding),
  latest: z.array(latestValue),
  channels: z.array(z.object({ quantity, controllerName: z.string() })),
  drums: z.array(drumState),
  readings: z.array(reading),
  imports: z.array(
    importRecord.pick({ id: true, fileName: true, state: true, counts: true, createdAt: true, person: true }),
  ),
})
export type Overview = z.infer<typeof overview>

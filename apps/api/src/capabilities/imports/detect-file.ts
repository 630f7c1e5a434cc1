import type { Detection, ImportDetect } from '@sightglass/contract'
import type { Context } from '../../platform/context.ts'
import { invalid } from '../../platform/problems.ts'
import { detect } from './detect/index.ts'
import { glimpse } from './files.ts'
import * as q from './queries.ts'

/** Looks at an uploaded file, with the facility's channels and remembered layouts in mind.
 *  @param said what a person knows better */
export async function detectFile(
  { database: { pool }, now }: Context,
  path: string,
  fileName: string,
  facility: Pick<q.FacilityRow, 'id' | 'timeZone'>,
  said: ImportDetect = {},
): Promise<Detection> {
  const { head, tail } = await glimpse(path)
  if (/^[\s\0\uFEFF]*$/.test(head.toString('latin1')))
    throw invalid('The file is empty.', [{ path: 'body.file', message: 'is empty' }])
  const place = { timeZone: facility.timeZone, bodies: await q.selectHeard(pool, facility.id) }
  const recall = (fingerprint: string) => q.selectLayout(pool, facility.id, fingerprint)
  return detect({ head, tail, fileName }, place, now(), recall, said)
}

import type { ImportDetect, importCheck, importRun } from '@sightglass/contract'
import type { z } from 'zod'
import type { Context } from '../../platform/context.ts'
import { conflict, notFound } from '../../platform/problems.ts'
import { detectFile } from './detect-file.ts'
import { removeUpload, uploadPath } from './files.ts'
import { refuseUnfitLayout } from './layout.ts'
import * as q from './queries.ts'
import type { ImportQueue } from './queue.ts'
import { showDetail } from './show.ts'

/** Detects anew how the file is written, with what a person knows better. What was checked before no longer counts. */
export async function detectAnew(context: Context, importId: string, said: ImportDetect) {
  const row = await found(context, importId)
  const facility = await q.selectFacility(context.database.pool, row.facilityId)
  if (!facility) throw notFound('facility', row.facilityId)
  if (row.state === 'done') throw conflict(WHY_NOT.done)
  const detection = await detectFile(context, uploadPath(context.config, row.id), row.fileName, facility, said).catch(
    (error) => {
      if ((error as NodeJS.ErrnoException).code !== 'ENOENT') throw error
      throw conflict('The uploaded file is no longer there: upload it again.')
    },
  )
  if (!(await q.renewDetection(context.database.pool, row.id, detection)))
    throw conflict(WHY_NOT[(await found(context, importId)).state])
  return showDetail(context, row.id)
}

/** Begins to read the whole file with a layout. */
export async function checkImport(
  context: Context,
  queue: ImportQueue,
  importId: string,
  { layout }: z.output<typeof importCheck>,
) {
  const { pool } = context.database
  const row = await found(context, importId)
  refuseUnfitLayout(layout, await q.selectHeard(pool, row.facilityId))
  if (!(await q.beginCheck(pool, row.id, layout))) throw conflict(WHY_NOT[(await found(context, importId)).state])
  queue.add({ importId: row.id, kind: 'check' })
  return showDetail(context, row.id)
}

/** Begins to import what a check has passed. */
export async function runImport(
  context: Context,
  queue: ImportQueue,
  importId: string,
  { rememberAs }: z.output<typeof importRun>,
) {
  const row = await found(context, importId)
  if (!(await q.beginRun(context.database.pool, row.id))) {
    const { state } = await found(context, importId)
    throw conflict(
      state === 'uploaded' || state === 'failed'
        ? 'This file has not been checked: check it with a layout first.'
        : WHY_NOT[state],
    )
  }
  queue.add({ importId: row.id, kind: 'run', rememberAs })
  return showDetail(context, row.id)
}

/** Takes a file away that has not been imported. */
export async function discardImport(context: Context, importId: string): Promise<null> {
  const row = await found(context, importId)
  if (!(await q.discard(context.database.pool, row.id, context.now())))
    throw conflict(WHY_NOT[(await found(context, importId)).state])
  await removeUpload(context.config, row.id)
  return null
}

async function found({ database }: Context, importId: string): Promise<q.ImportRow> {
  const row = await q.selectImport(database.pool, importId)
  if (!row) throw notFound('import', importId)
  return row
}

const WHY_NOT: Record<q.ImportRow['state'], string> = {
  uploaded: 'Another request was faster: look at the import again.',
  checking: 'This file is being checked: wait until that is done.',
  checked: 'Another request was faster: look at the import again.',
  running: 'This file is being imported: wait until that is done.',
  done: 'This file has been imported. To import more, upload another file.',
  failed: 'Another request was faster: look at the import again.',
}

import { type ImportDetail, id, type Problem, person } from '@sightglass/contract'
import type { FastifyRequest } from 'fastify'
import { uuidv7 } from 'uuidv7'
import { z } from 'zod'
import type { Context } from '../../platform/context.ts'
import { conflict, invalid, notFound, ProblemError } from '../../platform/problems.ts'
import { detectFile } from './detect-file.ts'
import { removeUpload, saveUpload } from './files.ts'
import * as q from './queries.ts'
import { showDetail } from './show.ts'

const uploadFields = z.object({ facilityId: id, person })
type Fields = NonNullable<Problem['fields']>

/** Takes a controller export as it comes through the line, and finds out how it is written. */
export async function uploadExport(context: Context, request: FastifyRequest): Promise<ImportDetail> {
  const given: Record<string, unknown> = {}
  let saved: Awaited<ReturnType<typeof receive>> | undefined
  try {
    for await (const part of request.parts({ limits: limitsOf(context) })) {
      if (saved) throw invalid('The file must be the last part.', [{ path: 'body.file', message: 'must come last' }])
      if (part.type === 'file') saved = await receive(context, given, part)
      else given[part.fieldname] = part.value
    }
    if (!saved) throw invalid('There is no file.', [{ path: 'body.file', message: 'is missing' }])
    return await record(context, saved)
  } catch (error) {
    if (saved) await removeUpload(context.config, saved.id)
    throw error
  }
}

const limitsOf = ({ config }: Context) => ({
  fileSize: config.uploadMaxBytes,
  files: 1,
  fields: 10,
  fieldSize: 2000,
  parts: 12,
})

interface FilePart {
  fieldname: string
  filename: string
  file: NodeJS.ReadableStream & { truncated: boolean }
}

/** Nothing is written to disk before facility and person are known. */
async function receive(context: Context, given: Record<string, unknown>, part: FilePart) {
  const read = uploadFields.safeParse(given)
  if (!read.success) {
    const fields: Fields = read.error.issues.map(({ path, message }) => ({
      path: `body.${path.join('.')}`,
      message: given[String(path[0])] === undefined ? 'must come before the file' : message,
    }))
    throw invalid(fields.map(({ path, message }) => `${path}: ${message}`).join('; '), fields)
  }
  if (part.fieldname !== 'file')
    throw invalid('The file must be the part “file”.', [{ path: `body.${part.fieldname}`, message: 'is a file' }])
  const facility = await q.selectFacility(context.database.pool, read.data.facilityId)
  if (!facility) throw notFound('facility', read.data.facilityId)
  if (facility.retired) throw conflict(`${facility.name} is retired: nothing is imported for it any more.`)
  const importId = uuidv7()
  const saved = await saveUpload(context.config, importId, part.file as never)
  const file = { id: importId, facility, person: read.data.person, fileName: nameOf(part.filename), ...saved }
  if (!part.file.truncated) return file
  await removeUpload(context.config, importId)
  const most = Math.floor(context.config.uploadMaxBytes / 1_000_000)
  throw new ProblemError('tooLarge', `The file is larger than ${most} MB: export fewer days at once.`)
}

const nameOf = (given: string) =>
  (given.split(/[\\/]/).at(-1) ?? '').replace(/[\p{Cc}]/gu, '').slice(0, 200) || 'export'

async function record(context: Context, file: Awaited<ReturnType<typeof receive>>): Promise<ImportDetail> {
  const detection = await detectFile(context, file.path, file.fileName, file.facility)
  await q.insertImport(context.database.pool, {
    ...file,
    facilityId: file.facility.id,
    layoutName: detection.knownLayout?.name ?? null,
    detection,
    at: context.now(),
  })
  return showDetail(context, file.id)
}

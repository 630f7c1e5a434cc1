// Uploading, checking and running an export as a browser would.
import { mkdtemp, readFile, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { ImportDetail, Layout } from '@sightglass/contract'
import { QUANTITIES, type Quantity } from '../../../packages/chemistry/src/index.ts'
import {
  type Answer,
  get,
  makeBody,
  makeChannel,
  makeController,
  makeFacility,
  makeRoom,
  post,
  startTestApi,
  type TestApi,
} from '../support/company.ts'

export interface ImportApi extends TestApi {
  uploadDir: string
}

export async function startImportApi(env: Record<string, string> = {}): Promise<ImportApi> {
  const uploadDir = await mkdtemp(join(tmpdir(), 'sightglass-test-uploads-'))
  const api = await startTestApi({ UPLOAD_DIR: uploadDir, REQUESTS_PER_MINUTE: '1000000', ...env })
  return {
    ...api,
    uploadDir,
    async stop() {
      await api.stop()
      await rm(uploadDir, { recursive: true, force: true })
    },
  }
}

/** Parts of a multipart form in the given order; a part with a file name is a file. */
export type Part = { name: string; value: string | Buffer; fileName?: string }

export function multipart(parts: readonly Part[]) {
  const boundary = 'a-boundary-that-stands-nowhere-else'
  const pieces = parts.flatMap(({ name, value, fileName }) => [
    `--${boundary}\r\nContent-Disposition: form-data; name="${name}"${fileName === undefined ? '' : `; filename="${fileName}"`}\r\n`,
    fileName === undefined ? '\r\n' : 'Content-Type: text/csv\r\n\r\n',
    value,
    '\r\n',
  ])
  return {
    headers: { 'content-type': `multipart/form-data; boundary=${boundary}` },
    payload: Buffer.concat([...pieces, `--${boundary}--\r\n`].map((piece) => Buffer.from(piece))),
  }
}

export async function send(api: TestApi, parts: readonly Part[]): Promise<Answer> {
  const answer = await api.app.inject({ method: 'POST', url: '/imports', ...multipart(parts) })
  return {
    status: answer.statusCode,
    body: answer.json(),
    type: String(answer.headers['content-type']),
    headers: answer.headers,
  }
}

export const partsOf = (facilityId: string, content: string | Buffer, fileName = 'export.csv'): Part[] => [
  { name: 'facilityId', value: facilityId },
  { name: 'person', value: 'Tobias Fenn' },
  { name: 'file', value: content, fileName },
]

export async function upload(api: TestApi, facilityId: string, content: string | Buffer, fileName = 'export.csv') {
  const { status, body } = await send(api, partsOf(facilityId, content, fileName))
  if (status !== 201) throw new Error(`the upload answered ${status}: ${JSON.stringify(body)}`)
  return body as ImportDetail
}

/** Waits until a check or a run has ended. */
export async function ended(api: TestApi, importId: string): Promise<ImportDetail> {
  for (;;) {
    const { body } = await get<ImportDetail>(api, `/imports/${importId}`)
    if (body.state !== 'checking' && body.state !== 'running') return body
    await new Promise((resolve) => setTimeout(resolve, 10))
  }
}

export async function check(api: TestApi, importId: string, layout: Layout | null | undefined) {
  const { status, body } = await post(api, `/imports/${importId}/check`, { layout })
  if (status !== 202) throw new Error(`the check answered ${status}: ${JSON.stringify(body)}`)
  return ended(api, importId)
}

export async function run(api: TestApi, importId: string, given: object = {}) {
  const { status, body } = await post(api, `/imports/${importId}/run`, given)
  if (status !== 202) throw new Error(`the run answered ${status}: ${JSON.stringify(body)}`)
  return ended(api, importId)
}

/** Uploads, checks with what was proposed (and changed), and imports. */
export async function bringIn(
  api: TestApi,
  facilityId: string,
  content: string | Buffer,
  change: (layout: Layout) => Layout = (layout) => layout,
  fileName?: string,
) {
  const uploaded = await upload(api, facilityId, content, fileName)
  const proposal = uploaded.detection?.proposal
  if (!proposal) throw new Error(`nothing was proposed: ${JSON.stringify(uploaded.detection)}`)
  const checked = await check(api, uploaded.id, change(proposal))
  if (checked.state !== 'checked') return { uploaded, checked, done: checked }
  return { uploaded, checked, done: await run(api, uploaded.id) }
}

export const example = (name: string) => readFile(new URL(`../../../seed/examples/${name}`, import.meta.url))

/** A facility whose bodies hear every quantity, or those that are given. */
export async function place(
  api: TestApi,
  bodyNames: readonly string[],
  { timeZone = 'America/Chicago', quantities = QUANTITIES as readonly Quantity[] } = {},
) {
  const facility = await makeFacility(api, { timeZone })
  const room = await makeRoom(api, facility.id)
  const bodies: string[] = []
  for (const name of bodyNames) {
    const body = await makeBody(api, facility.id, { name, equipmentRoomId: room.id })
    const controller = await makeController(api, room.id)
    for (const quantity of quantities) await makeChannel(api, controller.id, body.id, quantity)
    bodies.push(body.id)
  }
  return { facilityId: facility.id, bodies }
}

export const only = (ids: readonly string[]) => ids[0] as string

import { createHash } from 'node:crypto'
import { createWriteStream } from 'node:fs'
import { mkdir, open, readdir, rename, rm, stat } from 'node:fs/promises'
import { join } from 'node:path'
import { type Readable, Transform } from 'node:stream'
import { pipeline } from 'node:stream/promises'
import type { Config } from '../../config.ts'

/** Where an uploaded file waits. */
export const uploadPath = ({ uploadDir }: Config, importId: string) => join(uploadDir, importId)
export const spoolPath = ({ uploadDir }: Config, importId: string) => join(uploadDir, `${importId}.rejects`)

/** Writes an upload to disk as it comes, and tells its size and SHA-256. Until it is whole it is called `.part`. */
export async function saveUpload(config: Config, importId: string, upload: Readable) {
  await mkdir(config.uploadDir, { recursive: true, mode: 0o700 })
  const path = uploadPath(config, importId)
  const hash = createHash('sha256')
  let bytes = 0
  const measure = new Transform({
    transform(chunk: Buffer, _encoding, done) {
      hash.update(chunk)
      bytes += chunk.length
      done(null, chunk)
    },
  })
  try {
    await pipeline(upload, measure, createWriteStream(`${path}.part`, { mode: 0o600 }))
    await rename(`${path}.part`, path)
  } catch (error) {
    await rm(`${path}.part`, { force: true })
    throw error
  }
  return { path, bytes, sha256: hash.digest('hex') }
}

export const removeUpload = (config: Config, importId: string) => rm(uploadPath(config, importId), { force: true })

const HEAD_BYTES = 256 * 1024
const TAIL_BYTES = 64 * 1024

/** The beginning of a file, and its end where it is longer. */
export async function glimpse(path: string): Promise<{ head: Buffer; tail: Buffer }> {
  const file = await open(path)
  try {
    const { size } = await file.stat()
    const read = async (from: number, length: number) => (await file.read(Buffer.alloc(length), 0, length, from)).buffer
    const head = await read(0, Math.min(size, HEAD_BYTES))
    const left = Math.min(size - head.length, TAIL_BYTES)
    return { head, tail: left > 0 ? await read(size - left, left) : Buffer.alloc(0) }
  } finally {
    await file.close()
  }
}

const DAY_MS = 86_400_000

/** Uploads that a process left unfinished when it ended. */
export async function removeUnfinished({ uploadDir }: Config, now: Date) {
  for (const name of await readdir(uploadDir).catch(() => [])) {
    const path = join(uploadDir, name)
    if (!/\.(part|rejects)$/.test(name)) continue
    const { mtimeMs } = await stat(path).catch(() => ({ mtimeMs: +now }))
    if (+now - mtimeMs > DAY_MS) await rm(path, { force: true })
  }
}

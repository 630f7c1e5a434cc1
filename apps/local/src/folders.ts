import { existsSync, mkdirSync } from 'node:fs'
import { dirname } from 'node:path'

/** Makes a folder and what is missing above it, one by one: Node's own `recursive` never returns where the system answers
 *  "no such file" to making a folder, as under /proc. */
export function makeFolders(path: string, mode: number) {
  if (existsSync(path)) return
  if (dirname(path) !== path) makeFolders(dirname(path), mode)
  mkdirSync(path, { mode })
}
